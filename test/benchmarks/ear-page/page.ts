import { makeOwnEar } from '../../../src/hearing/ear/own-ear.ts';

declare global {
  interface Window {
    timeEar(sounds: number[][], sampleRate: number): Promise<{ loadMs: number; texts: string[]; ms: number[] }>;
  }
}

/** Loads the ear as the app does and has it hear sounds one after the other; ms from handing over to the answer. */
window.timeEar = async (sounds, sampleRate) => {
  const ear = makeOwnEar();
  const began = performance.now();
  await ear.load();
  const loadMs = performance.now() - began;
  const texts: string[] = [];
  const ms: number[] = [];
  for (const [i, samples] of sounds.entries()) {
    const start = performance.now();
    const answer = await ear.hear({
      id: String(i),
      onsetMs: 0,
      endMs: 0,
      uOnsetMs: 0,
      samples: Float32Array.from(samples),
      sampleRate,
      onsetIndex: 0,
      clipped: false,
    });
    ms.push(performance.now() - start);
    texts.push(answer.best[0]?.text ?? '');
  }
  ear.dispose();
  return { loadMs, texts, ms };
};
