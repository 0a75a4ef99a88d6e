import type { ListeningState } from '../../hearing/listening-step.ts';
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
    return { text: t.closed, hears: false, open: false, room: null, tap: t.openMicrophone };
  if (state.phase === 'opening') {
    return { text: t.opening, hears: false, open: true, room: null, tap: null };
  }
  const stopped = state.troubles.some((trouble) => trouble.stopped && trouble.kind.startsWith('microphone'));
  const needsTap = state.troubles.some((trouble) => trouble.kind === 'needs-tap');
  const tap = stopped || needsTap ? t.openAgain : null;
  const hears = state.hearsSound || state.hearsWords;
  return { text: sentence(state, soundMarks, voice, language, t), hears, open: true, room: roomOf(state, t), tap };
}

function roomOf({ room, hushed }: ListeningState, t: BenchTexts): Hearing['room'] {
  if (room === 'quiet' || hushed) return null;
  const tooLoud = room === 'too loud';
  return { text: tooLoud ? t.tooLoud : t.loud, tooLoud };
}

function sentence(
  state: ListeningState,
  soundMarks: boolean,
  voice: VoiceInUse,
  language: string,
  t: BenchTexts,
): string {
  if (state.hushed) return t.speaking;
  if (state.hearsWords) {
    const known = voiceText(voice, t);
    const own = `${language.startsWith('en') ? '' : t.englishOnly}${known}`;
    if (state.ears.length === 1 && state.ears[0] === 'own') return `${t.onThisDevice}${own}`;
    const names = state.ears.map((ear) => (ear === 'own' ? `${t.ears.own}${own}` : t.ears[ear]));
    return t.listening(names);
  }
  if (state.hearsSound && soundMarks) return t.sounds;
  if (state.ownEar === 'loading') {
    const percent = Math.round(100 * state.ownEarLoaded);
    return state.hearsSound ? t.fetchingHears(percent) : t.fetching(percent);
  }
  if (state.hearsSound && state.ears.length > 0) return t.wordsSoon;
  if (state.hearsSound) return t.soundsOnly;
  return t.deaf;
}

function voiceText(voice: VoiceInUse, t: BenchTexts): string {
  if (voice.kind === 'outdated') return t.voiceOutdated;
  return voice.kind === 'none' ? '' : t.voiceKnown(voice.name);
}
