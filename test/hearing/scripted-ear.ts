import type { EarAnswer, Followed, FollowingEar, Utterance } from '../../src/hearing/ear.ts';
import type { SoundStretch } from '../../src/hearing/microphone.ts';
import type { Clock } from '../../src/hearing/recogniser.ts';

/**
 * An ear that runs along with the sound and finds in it what the test put there. The microphone of the test hands over
 * the sound of an utterance in one stretch, at 1000 samples a second.
 */
export interface ScriptedEar extends FollowingEar {
  /** Gives the sound of an utterance, with 350 ms after it. */
  soundOf(utterance: Utterance, speech: boolean): SoundStretch;
  /** Ears loaded so far. */
  loaded(): number;
}

/** @param answerTo null: it never answers; `delayMs`: after so long */
export function makeScriptedEar(
  clock: Clock,
  answerTo: (utterance: Utterance) => (EarAnswer & { readonly delayMs?: number }) | null,
): ScriptedEar {
  const sounds: { readonly utterance: Utterance; readonly speech: boolean }[] = [];
  let loaded = 0;
  let streamS = 0;
  let before = Promise.resolve();
  return {
    name: 'own',
    async load(progress) {
      loaded++;
      progress?.(1);
    },
    soundOf(utterance, speech) {
      const samples = new Float32Array(Math.round(utterance.endMs - utterance.onsetMs + 350)).fill(sounds.length);
      sounds.push({ utterance, speech });
      return { samples, sampleRate: 1000, startMs: utterance.onsetMs, uStartMs: 0 };
    },
    loaded: () => loaded,
    follow({ samples, sampleRate, first }) {
      if (first) streamS = 0;
      const onsetS = streamS;
      streamS += samples.length / sampleRate;
      const settledS = streamS;
      // The samples of an utterance are its number.
      const one = sounds[samples[0] ?? -1];
      // As the real one, which hands them to its worker.
      structuredClone(samples.buffer, { transfer: [samples.buffer] });
      const answer = one && answerTo(one.utterance);
      if (!one || answer === null || answer === undefined) return new Promise(() => undefined);
      const { utterance, speech } = one;
      const sure = answer.speech > 0.8 && (answer.best[0]?.p ?? 0) > 0.6;
      const endS = onsetS + (utterance.endMs - utterance.onsetMs) / 1000;
      const uOnsetS = utterance.uOnsetMs / 1000;
      const call = { ...utterance, onsetS, endS, uOnsetS, answer, voice: speech, nearness: null };
      const found: Followed = {
        // As the real one: a sound that is no voice, with words that are not sure, is no call.
        calls: speech || sure ? [call] : [],
        settledS,
        hearingS: null,
        room: { callerDb: null, othersDb: null },
      };
      if (first) before = Promise.resolve();
      const readyAt = new Promise<void>((resolve) => {
        if (answer.delayMs) clock.after(answer.delayMs, resolve);
        else resolve();
      });
      // One worker: it answers in order.
      const mine = Promise.all([before, readyAt]).then(() => found);
      before = mine.then(() => undefined);
      return mine;
    },
    dispose: () => undefined,
  };
}
