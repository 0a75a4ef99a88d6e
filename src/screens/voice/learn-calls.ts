import type { Lesson } from '../../bench/calls-to-learn.ts';
import { type LearntVoice, noWorse } from '../../hearing/ear/adapt.ts';
import type { OwnEar } from '../../hearing/ear/own-ear.ts';
import { type KeptCall, type KeptVoice, knownCall, withFresh } from '../../hearing/voice-store.ts';

/** A voice to keep, and the sounds that go with it. */
export interface Learning {
  readonly voice: KeptVoice;
  readonly sounds: readonly KeptCall[];
}

/**
 * Learns a voice from calls; what comes out is not kept yet. Where there is a voice already, it stays as it is unless the
 * new one hears the fresh calls no worse: the calls are kept either way.
 *
 * @param kept the sounds that the voice `before` was learnt from
 */
export async function learnCalls(
  ear: Pick<OwnEar, 'learn'>,
  before: KeptVoice | null,
  kept: readonly KeptCall[],
  fresh: readonly KeptCall[],
  progress: (part: number) => void,
): Promise<Learning> {
  const sounds = withFresh(kept, fresh);
  const inUse: LearntVoice | null = before?.learnt?.helps ? before.learnt : null;
  const calls = sounds.map((one) => ({ ...knownCall(one), fresh: fresh.includes(one) }));
  const learnt = await ear.learn(calls, progress, inUse);
  if (before && inUse && !noWorse(learnt)) return { voice: before, sounds };
  const voice: KeptVoice = {
    version: 1,
    name: before?.name ?? '',
    learntWallMs: Date.now(),
    learnt,
    wanted: before?.wanted ?? true,
  };
  return { voice, sounds };
}

/**
 * The sounds of lessons that are not kept yet, or are kept under other words.
 * @param clipOf the sound of a call, where the notebook still has it
 */
export async function freshCalls(
  lessons: readonly Lesson[],
  kept: readonly KeptCall[],
  clipOf: (call: string) => Promise<Blob | undefined>,
): Promise<KeptCall[]> {
  const known = new Map(kept.map(({ call, text }) => [call, text]));
  const found: KeptCall[] = [];
  for (const { call, text } of lessons) {
    if (known.get(call) === text) continue;
    const blob = await clipOf(call);
    if (blob) found.push({ text, clip: new Uint8Array(await blob.arrayBuffer()), call });
  }
  return found;
}
