import type { Speaker } from '../../answering/speaker.ts';
import { textsOf } from '../texts.ts';
import { texts } from './say-words-texts.ts';

/** So long without a sound, the word is asked for again, ms; so many times. */
const quietMs = 12_000;
const mostRepeats = 2;
/** From the end of a call to the next word, ms: the cue, and a breath. */
const breathMs = 350;

const t = textsOf(texts);

/** What asking needs to know and to do. */
export interface AskingOptions {
  readonly speaker: Pick<Speaker, 'say' | 'cancel'>;
  readonly aloud: boolean;
  /** The word to ask for; null when none is left, or nobody asks any more. */
  word(): string | null;
  /** The person asked for a pause. */
  paused(): boolean;
  show(sentence: string): void;
}

/** Asks for one word after the other, and again for a word that nobody said. */
export interface Asking {
  /** Asks for the word of the moment: on the screen at once, aloud where there is a voice. */
  ask(remark?: string): Promise<void>;
  /** Nobody waits for the word any longer. @param another another word is due now, not the same once more */
  answered(another: boolean): void;
  /** Asks for the next word after a breath. */
  askSoon(remark: string): void;
  stop(): void;
}

export function makeAsking({ speaker, aloud: wanted, word, paused, show }: AskingOptions): Asking {
  let aloud = wanted;
  let asked = 0;
  let repeats = 0;
  let quiet: ReturnType<typeof setTimeout> | undefined;
  let breath: ReturnType<typeof setTimeout> | undefined;

  const ask = async (remark = ''): Promise<void> => {
    const mine = ++asked;
    clearTimeout(quiet);
    const wantedWord = word();
    if (wantedWord === null) return;
    if (aloud) {
      show(remark || t().listen);
      const outcome = await speaker.say(wantedWord);
      // No voice in this browser: from now on the screen alone asks.
      if (outcome === 'failed') aloud = false;
    }
    if (mine !== asked || word() === null) return;
    show(`${remark} ${t().now}`.trim());
    quiet = setTimeout(() => {
      const again = repeats++ < mostRepeats;
      if (again && !paused()) void ask(t().notHeard);
      else show(t().whenReady);
    }, quietMs);
  };

  const stop = (): void => {
    clearTimeout(quiet);
    clearTimeout(breath);
    speaker.cancel();
  };

  return {
    ask,
    answered(another) {
      stop();
      asked++;
      if (another) repeats = 0;
    },
    askSoon(remark) {
      breath = setTimeout(() => void ask(remark), breathMs);
    },
    stop,
  };
}
