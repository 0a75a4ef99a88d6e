import type { ListeningState } from '../../hearing/listening.ts';
import type { VoiceInUse } from '../voice/in-use.ts';
import { type BenchTexts, texts } from './texts.ts';

/** What the bench says about hearing; it never claims more than is so. */
export interface Hearing {
  readonly text: string;
  /** Something said now would be noticed. */
  readonly hears: boolean;
  /** The microphone is open, or is being opened. */
  readonly open: boolean;
  /** What is said of how loud the room is beside the caller, or null. */
  readonly room: { readonly text: string; readonly tooLoud: boolean } | null;
  /** Label of the button that must be tapped, or null. */
  readonly tap: string | null;
}

/**
 * @param state null before the hearing part of the page is here
 * @param soundMarks the person chose that every sound is the next mark
 * @param voice what the ear of the page's own knows of the person's voice
 * @param t texts in the page's language
 * @param language BCP-47 tag of the calls; the ear of the page's own knows English words only
 */
export function hearingOf(
  state: ListeningState | null,
  soundMarks: boolean,
  voice: VoiceInUse = { kind: 'none' },
  language = 'en',
  t: BenchTexts = texts.en,
): Hearing {
  if (state === null || state.phase === 'closed')
    return { text: 'The microphone is closed', hears: false, open: false, room: null, tap: 'Open the microphone' };
  if (state.phase === 'opening') {
    return { text: 'Opening the microphone…', hears: false, open: true, room: null, tap: null };
  }
  const stopped = state.troubles.some((trouble) => trouble.stopped && trouble.kind.startsWith('microphone'));
  const needsTap = state.troubles.some((trouble) => trouble.kind === 'needs-tap');
  const tap = stopped || needsTap ? 'Open the microphone again' : null;
  const hears = state.hearsSound || state.hearsWords;
  return { text: sentence(state, soundMarks, voice, language), hears, open: true, room: roomOf(state, t), tap };
}

function roomOf({ room, hushed }: ListeningState, t: BenchTexts): Hearing['room'] {
  if (room === 'quiet' || hushed) return null;
  const tooLoud = room === 'too loud';
  return { text: tooLoud ? t.tooLoud : t.loud, tooLoud };
}

function sentence(state: ListeningState, soundMarks: boolean, voice: VoiceInUse, language: string): string {
  if (state.hushed) return 'Speaking; listening again in a moment';
  if (state.hearsWords) {
    const only = language.startsWith('en') ? '' : ', English words only';
    const names = state.ears.map((ear) =>
      ear === 'own' ? `${earNames.own}${only}${voiceText(voice)}` : earNames[ear],
    );
    return `Hears words: ${names.join(' and ')}`;
  }
  if (state.hearsSound && soundMarks) return 'Hears sounds: each is the next mark';
  if (state.ownEar === 'loading') {
    const percent = Math.round(100 * state.ownEarLoaded);
    return state.hearsSound
      ? `Hears sounds; fetching the words, ${percent} %`
      : `Does not hear yet; fetching the words, ${percent} %`;
  }
  if (state.hearsSound && state.ears.length > 0) return 'Hears sounds; words start again in a moment';
  if (state.hearsSound) return 'Hears sounds, no words: each is the next mark, in doubt';
  return 'Does not hear';
}

function voiceText(voice: VoiceInUse): string {
  if (voice.kind === 'outdated') return ' (without the voice it learnt: learn it again)';
  if (voice.kind === 'none') return '';
  return voice.name ? ` (knows the voice of ${voice.name})` : ' (knows a voice)';
}

const earNames: Readonly<Record<ListeningState['ears'][number], string>> = {
  browser: 'the browser’s recogniser',
  own: 'on this device',
  sound: 'sounds',
  rehearsal: 'a rehearsal',
};
