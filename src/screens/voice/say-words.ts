import { type Accessor, createSignal } from 'solid-js';
import { type Cue, cueTones, makeCues } from '../../answering/cues.ts';
import { makeSpeaker } from '../../answering/speaker.ts';
import type { Preferences } from '../../bench/preferences.ts';
import {
  afterSound,
  afterWish,
  beginRound,
  callsOf,
  fewestCalls,
  type Round,
  type Step,
  type Wish,
  wordOf,
} from '../../bench/word-round.ts';
import type { KnownCall } from '../../hearing/ear/adapt.ts';
import { EarUnavailable, makeOwnEar, type OwnEar } from '../../hearing/ear/own-ear.ts';
import { makeListening } from '../../hearing/listening.ts';
import type { HeardCall } from '../../hearing/pairing.ts';
import { sentenceOf, type TroubleSentence } from '../../hearing/trouble.ts';
import { keepAwake } from '../bench/wake-lock.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { makeAsking } from './asking.ts';
import { texts } from './say-words-texts.ts';

export type Phase = 'opening' | 'saying' | 'learning' | 'done' | 'too-few' | 'failed';

/** The step while it goes on: asks for words aloud and on the screen, listens, and hands over what was said. */
export interface SayWords {
  readonly phase: Accessor<Phase>;
  readonly round: Accessor<Round>;
  /** What is going on, in a sentence. */
  readonly now: Accessor<string>;
  readonly sounding: Accessor<boolean>;
  readonly troubles: Accessor<readonly TroubleSentence[]>;
  /** Share of the learning that is done, 0..1. */
  readonly part: Accessor<number>;
  wish(wish: Wish): void;
  /** Closes the microphone and stops; nothing is kept of what was not learnt. */
  dispose(): void;
}

class NoMicrophone extends Error {}

const t = textsOf(texts);

/** What is shown after a step; '' where nothing needs saying. */
const said = (step: Step): string =>
  step === 'once-more' ? t().like : step === 'skipped' ? t().leftOut : step === 'back' ? t().backOne : '';

const whyNot = (error: unknown): string =>
  error instanceof NoMicrophone ? t().noMicrophone : error instanceof EarUnavailable ? t().noEar : t().failed;

/** The sound of a call that is over and was not said over the page's own voice. */
function soundOf({ utterance, settled, during }: HeardCall): Pick<KnownCall, 'samples' | 'rate'> | null {
  return utterance && settled && !during?.within ? { samples: utterance.samples, rate: utterance.sampleRate } : null;
}

const answerOf = ({ heard: [first] }: HeardCall): { readonly text: string; readonly p: number }[] =>
  first?.alternatives.map(({ text, confidence }) => ({ text, p: confidence ?? 0 })) ?? [];

/**
 * Begins at once: call it in a tap.
 * @param words what is asked for, in order
 * @param learn what to do with the calls that were said
 * @param onOver the step is over, in whatever way
 */
export function makeSayWords(
  preferences: Preferences,
  words: readonly string[],
  learn: (ear: OwnEar, round: Round, progress: (part: number) => void) => Promise<void>,
  onOver: () => void,
): SayWords {
  const [phase, setPhase] = createSignal<Phase>('opening');
  const [round, setRound] = createSignal(beginRound(words));
  const [now, setNow] = createSignal(t().opening);
  const [part, setPart] = createSignal(0);
  const door = makeDoor(preferences, (call) => take(call));
  let over = false;
  const heard = new Set<string>();
  const asking = makeAsking({
    speaker: door.speaker,
    aloud: !preferences.silent,
    word: () => (over || phase() !== 'saying' ? null : wordOf(round())),
    paused: () => round().paused,
    show: setNow,
  });

  const goOn = (step: Step): void => {
    if (step === 'ignored') return;
    asking.answered(step !== 'repeat');
    if (round().ended) return void finish().catch(fail);
    door.play(step === 'once-more' ? 'doubtful' : 'taken');
    if (round().paused) setNow(t().standingBy);
    else {
      setNow(said(step) || t().kept);
      asking.askSoon(said(step));
    }
  };

  const take = (call: HeardCall): void => {
    const sound = soundOf(call);
    if (!sound || heard.has(call.id) || phase() !== 'saying') return;
    heard.add(call.id);
    const next = afterSound(round(), sound, answerOf(call));
    setRound(next.round);
    goOn(next.step);
  };

  const end = (how: Phase, sentence = now()): void => {
    setNow(sentence);
    setPhase(how);
    onOver();
  };

  const fail = (error: unknown): void => {
    if (over) return;
    close();
    console.error(error);
    end('failed', whyNot(error));
  };

  const finish = async (): Promise<void> => {
    close();
    if (callsOf(round()).length < fewestCalls) return end('too-few', t().tooFew(fewestCalls));
    setPhase('learning');
    setNow(t().learningNow);
    await learn(door.ear, round(), setPart);
    if (!over) end('done');
  };

  const close = (): void => {
    asking.stop();
    door.close();
  };

  const begin = async (): Promise<void> => {
    await door.open();
    if (over) return;
    setPhase('saying');
    await asking.ask();
  };
  begin().catch(fail);

  return {
    phase,
    round,
    now,
    sounding: door.sounding,
    troubles: door.troubles,
    part,
    wish(wish) {
      if (phase() !== 'saying') return;
      setRound(afterWish(round(), wish));
      goOn(wish);
    },
    dispose() {
      if (over) return;
      over = true;
      close();
      door.dispose();
    },
  };
}

/**
 * All that sounds or hears, as on the bench, so that a sound counts as a call here as it will there. The ear outlives its
 * closing, to learn.
 */
function makeDoor(preferences: Preferences, onCall: (call: HeardCall) => void) {
  const [sounding, setSounding] = createSignal(false);
  const [troubles, setTroubles] = createSignal<readonly TroubleSentence[]>([]);
  // The ear knows English words only, whatever the calls of the bench are in.
  const language = preferences.language.startsWith('en') ? preferences.language : 'en-US';
  const cues = makeCues({ volume: preferences.cueVolume, silent: preferences.silent });
  const ear = makeOwnEar();
  const listening = makeListening({
    ears: { browser: 'off', own: true },
    language,
    makeOwnEar: async () => ({ ...ear, dispose() {} }),
  });
  const speaker = makeSpeaker({ listening, language, silent: preferences.silent });
  const letSleep = keepAwake();
  const play = (cue: Cue): void => {
    if (cues.play(cue) === 0) return;
    for (const { atMs, lengthMs } of cueTones[cue]) setTimeout(() => listening.cue(lengthMs), atMs);
  };
  listening.subscribe((event) => {
    if (event.kind === 'call') onCall(event.call);
    else if (event.kind === 'level') setSounding(event.level.speaking);
    else if (event.kind === 'state')
      setTroubles(event.state.troubles.map((trouble) => sentenceOf(trouble, pageLanguage())));
    else if (event.kind === 'trouble') play('trouble');
  });
  return {
    ear,
    speaker,
    sounding,
    troubles,
    play,
    async open(): Promise<void> {
      cues.prime();
      speaker.prime();
      await Promise.all([listening.open(), ear.load()]);
      if (!listening.state().hearsSound) throw new NoMicrophone();
    },
    close(): void {
      listening.close();
      letSleep();
    },
    dispose(): void {
      cues.dispose();
      speaker.dispose();
      ear.dispose();
    },
  };
}
