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
import { EarUnavailable, makeOwnEar, type OwnEar } from '../../hearing/ear/own-ear.ts';
import { makeListening } from '../../hearing/listening.ts';
import type { HeardCall } from '../../hearing/pairing.ts';
import { sentenceOf, type TroubleSentence } from '../../hearing/trouble.ts';
import { keepAwake } from '../bench/wake-lock.ts';
import { pageLanguage, textsOf } from '../texts.ts';
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

/** So long without a sound, the word is asked for again, ms; so many times. */
const quietMs = 12_000;
const mostRepeats = 2;
/** From the end of a call to the next word, ms: the cue, and a breath. */
const breathMs = 350;

const t = textsOf(texts);

/** What is shown after a step; '' where nothing needs saying. */
const said = (step: Step): string =>
  step === 'once-more' ? t().like : step === 'skipped' ? t().leftOut : step === 'back' ? t().backOne : '';

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
  const [sounding, setSounding] = createSignal(false);
  const [troubles, setTroubles] = createSignal<readonly TroubleSentence[]>([]);
  const [part, setPart] = createSignal(0);
  // The ear knows English words only, whatever the calls of the bench are in.
  const language = preferences.language.startsWith('en') ? preferences.language : 'en-US';
  const cues = makeCues({ volume: preferences.cueVolume, silent: preferences.silent });
  const ear = makeOwnEar();
  // The bench's own door, so that a sound counts as a call here as it will there. The ear outlives it, to learn.
  const listening = makeListening({
    ears: { browser: 'off', own: true },
    language,
    makeOwnEar: async () => ({ ...ear, dispose() {} }),
  });
  const speaker = makeSpeaker({ listening, language, silent: preferences.silent });
  const letSleep = keepAwake();
  let aloud = !preferences.silent;
  let asked = 0;
  let repeats = 0;
  let over = false;
  let quiet: ReturnType<typeof setTimeout> | undefined;
  let breath: ReturnType<typeof setTimeout> | undefined;
  const heard = new Set<string>();

  const play = (cue: Cue): void => {
    if (cues.play(cue) === 0) return;
    for (const { atMs, lengthMs } of cueTones[cue]) setTimeout(() => listening.cue(lengthMs), atMs);
  };

  /** Asks for the word of the moment: on the screen at once, aloud where there is a voice. */
  const ask = async (remark = ''): Promise<void> => {
    const mine = ++asked;
    clearTimeout(quiet);
    const word = wordOf(round());
    if (word === null || over) return;
    if (aloud) {
      setNow(remark || t().listen);
      const outcome = await speaker.say(word);
      // No voice in this browser: from now on the screen alone asks.
      if (outcome === 'failed') aloud = false;
    }
    if (mine !== asked || over || phase() !== 'saying') return;
    setNow(`${remark} ${t().now}`.trim());
    quiet = setTimeout(() => {
      const again = repeats++ < mostRepeats;
      if (again && !round().paused) void ask(t().notHeard);
      else setNow(t().whenReady);
    }, quietMs);
  };

  const goOn = (step: Step): void => {
    if (step === 'ignored') return;
    clearTimeout(quiet);
    clearTimeout(breath);
    asked++;
    speaker.cancel();
    if (step !== 'repeat') repeats = 0;
    if (round().ended) {
      finish().catch(fail);
      return;
    }
    play(step === 'once-more' ? 'doubtful' : 'taken');
    if (round().paused) {
      setNow(t().standingBy);
      return;
    }
    setNow(said(step) || t().kept);
    breath = setTimeout(() => void ask(said(step)), breathMs);
  };

  const take = (call: HeardCall): void => {
    const { utterance } = call;
    if (!utterance || !call.settled || call.during?.within || heard.has(call.id) || phase() !== 'saying') return;
    heard.add(call.id);
    const best = call.heard[0]?.alternatives.map(({ text, confidence }) => ({ text, p: confidence ?? 0 })) ?? [];
    const { samples, sampleRate: rate } = utterance;
    const next = afterSound(round(), { samples, rate }, best);
    setRound(next.round);
    goOn(next.step);
  };

  const fail = (error: unknown): void => {
    if (over) return;
    close();
    console.error(error);
    setNow(error instanceof NoMicrophone ? t().noMicrophone : error instanceof EarUnavailable ? t().noEar : t().failed);
    setPhase('failed');
    onOver();
  };

  const finish = async (): Promise<void> => {
    close();
    if (callsOf(round()).length < fewestCalls) {
      setNow(t().tooFew(fewestCalls));
      setPhase('too-few');
      onOver();
      return;
    }
    setPhase('learning');
    setNow(t().learningNow);
    await learn(ear, round(), setPart);
    if (over) return;
    setPhase('done');
    onOver();
  };

  /** Everything that sounds or hears; the ear stays for the learning. */
  const close = (): void => {
    clearTimeout(quiet);
    clearTimeout(breath);
    listening.close();
    speaker.cancel();
    letSleep();
  };

  listening.subscribe((event) => {
    if (event.kind === 'call') take(event.call);
    else if (event.kind === 'level') setSounding(event.level.speaking);
    else if (event.kind === 'state')
      setTroubles(event.state.troubles.map((trouble) => sentenceOf(trouble, pageLanguage())));
    else if (event.kind === 'trouble') play('trouble');
  });

  const begin = async (): Promise<void> => {
    cues.prime();
    speaker.prime();
    await Promise.all([listening.open(), ear.load()]);
    if (over) return;
    if (!listening.state().hearsSound) throw new NoMicrophone();
    setPhase('saying');
    await ask();
  };
  begin().catch(fail);

  return {
    phase,
    round,
    now,
    sounding,
    troubles,
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
      cues.dispose();
      speaker.dispose();
      ear.dispose();
    },
  };
}
