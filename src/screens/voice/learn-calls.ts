import { type CallPutRight, wordsSaid } from '../../bench/calls-put-right.ts';
import { decodeClip } from '../../hearing/clip.ts';
import type { OwnEar } from '../../hearing/ear/own-ear.ts';
import { type KeptCall, type KeptVoice, knownCall } from '../../hearing/voice-store.ts';
import { en } from '../../language/words/en.ts';

/** Learns a voice from calls; what comes out is not kept yet. */
export async function learnCalls(
  ear: OwnEar,
  calls: readonly KeptCall[],
  before: Pick<KeptVoice, 'name' | 'fromCorrections'>,
  progress: (part: number) => void,
): Promise<KeptVoice> {
  const learnt = await ear.learn(calls.map(knownCall), progress);
  const { name, fromCorrections } = before;
  return { version: 1, name, fromCorrections, learntWallMs: Date.now(), learnt, wanted: true };
}

/** Calls put right by hand, with the words that were said; those whose words cannot be told are counted only. */
export async function callsToLearn(
  ear: OwnEar,
  calls: readonly CallPutRight[],
  clipOf: (call: string) => Promise<Blob | undefined>,
): Promise<{ readonly calls: KeptCall[]; readonly leftOut: number }> {
  const found: KeptCall[] = [];
  let leftOut = 0;
  await ear.useVoice(null);
  for (const { call, value } of calls) {
    const blob = await clipOf(call);
    if (!blob) {
      leftOut++;
      continue;
    }
    const clip = new Uint8Array(await blob.arrayBuffer());
    const { samples, sampleRate } = decodeClip(clip);
    const answer = await ear.hear({
      id: call,
      onsetMs: 0,
      endMs: (1000 * samples.length) / sampleRate,
      uOnsetMs: 0,
      samples,
      sampleRate,
      onsetIndex: 0,
      clipped: false,
    });
    const text = wordsSaid(value, answer.best, en);
    if (text === null) leftOut++;
    else found.push({ text, clip, call });
  }
  return { calls: found, leftOut };
}
