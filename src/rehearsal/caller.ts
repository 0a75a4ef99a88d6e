import type { Heard, Utterance } from '../hearing/ear.ts';

/**
 * A simulated caller: says a script through the same door as a voice. Nothing is recognised here; each line arrives
 * as a sound with its onset and, a little later, as words.
 */

/** What the caller says, and when the sound begins (page time, ms). */
export interface Line {
  readonly atMs: number;
  readonly text: string;
}

/** The door of `hearing/`, as far as a caller needs it (`Listening.inject`). */
export interface Door {
  utterance(utterance: Utterance): void;
  heard(heard: Heard): void;
}

export interface CallerClock {
  /** Page time, ms. */
  now(): number;
  /** Calls back once after `delayMs`; the result cancels it. */
  after(delayMs: number, callback: () => void): () => void;
}

export const pageClock: CallerClock = {
  now: () => performance.now(),
  after(delayMs, callback) {
    const timer = setTimeout(callback, delayMs);
    return () => clearTimeout(timer);
  },
};

const sampleRate = 16_000;
const leadS = 0.25;
/** From the end of the sound to the words, ms: what a recogniser takes. */
const lagMs = 220;

/**
 * Speaks lines as they are given; `say` may be called while others are under way.
 *
 * @returns `say` for one line, and `stop`, after which nothing more is said
 */
export function makeCaller(door: Door, clock: CallerClock = pageClock) {
  const cancels = new Set<() => void>();
  let count = 0;
  let stopped = false;

  const later = (atMs: number, work: () => void): void => {
    if (stopped) return;
    const cancel = clock.after(Math.max(0, atMs - clock.now()), () => {
      cancels.delete(cancel);
      work();
    });
    cancels.add(cancel);
  };

  return {
    say({ atMs, text }: Line): void {
      count += 1;
      const id = `rehearsal-${count}`;
      const samples = voiceLike(text);
      const endMs = atMs + (samples.length / sampleRate - leadS - 0.2) * 1000;
      later(endMs, () =>
        door.utterance({
          id,
          onsetMs: atMs,
          endMs,
          uOnsetMs: 5,
          samples,
          sampleRate,
          onsetIndex: leadS * sampleRate,
          clipped: false,
        }),
      );
      later(endMs + lagMs, () =>
        door.heard({
          ear: 'rehearsal',
          generation: 1,
          phrase: id,
          alternatives: [{ text, confidence: null }],
          final: true,
          tentative: false,
          firstWordsMs: endMs,
          atMs: endMs + lagMs,
          utterance: id,
        }),
      );
    },
    stop(): void {
      stopped = true;
      for (const cancel of cancels) cancel();
      cancels.clear();
    },
  };
}

/** How long the words take to say, s. */
export const spokenS = (text: string): number => 0.2 + 0.06 * text.length;

/** A buzz with one swell a syllable or so: nobody's voice, but something to play back. */
function voiceLike(text: string): Float32Array {
  const length = Math.round((leadS + spokenS(text) + 0.2) * sampleRate);
  const samples = new Float32Array(length);
  const from = leadS * sampleRate;
  const to = length - 0.2 * sampleRate;
  for (let i = from; i < to; i++) {
    const t = (i - from) / sampleRate;
    const swell = Math.sin((Math.PI * (i - from)) / (to - from)) ** 0.3 * (0.7 + 0.3 * Math.cos(2 * Math.PI * 4 * t));
    let wave = 0;
    for (let harmonic = 1; harmonic <= 8; harmonic++)
      wave += Math.sin(2 * Math.PI * 140 * harmonic * t) / (1 + Math.abs(harmonic - 4));
    samples[i] = 0.15 * swell * wave;
  }
  return samples;
}
