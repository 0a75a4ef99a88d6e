import type { Heard, Utterance } from '../../src/hearing/ear.ts';

/** Utterances and words as ears give them. */
export function utterance(id: string, onsetMs: number, lengthMs = 800): Utterance {
  return {
    id,
    onsetMs,
    endMs: onsetMs + lengthMs,
    uOnsetMs: 10,
    samples: new Float32Array(16),
    sampleRate: 16_000,
    onsetIndex: 4,
    clipped: false,
  };
}

export function words(phrase: string, text: string, firstWordsMs: number, more: Partial<Heard> = {}): Heard {
  return {
    ear: 'browser',
    generation: 1,
    phrase,
    alternatives: [{ text, confidence: 0.9 }],
    final: true,
    tentative: false,
    firstWordsMs,
    atMs: firstWordsMs,
    ...more,
  };
}
