import { delMany, get, set, setMany } from 'idb-keyval';
import { z } from 'zod/mini';
import { decodeClip, encodeClip } from './clip.ts';
import type { KnownCall, LearntVoice } from './ear/adapt.ts';

/**
 * The one voice that this device has learnt: kept beside the preferences, never in a notebook, and so in no file,
 * link or archive that leaves. The sounds it was learnt from are kept under a key of their own, so that it can be
 * learnt again with newer weights or more calls; deleting takes both.
 */

/** Characters. */
export const longestName = 40;

const Tally = z.object({ right: z.number(), of: z.number(), p: z.number() });
const Learnt = z.object({
  weights: z.string(),
  head: z.instanceof(Float32Array),
  headBias: z.instanceof(Float32Array),
  calls: z.number(),
  before: Tally,
  after: Tally,
  helps: z.boolean(),
});
const KeptVoice = z.object({
  version: z.literal(1),
  /** Whose voice, if they want to say; '' where not. */
  name: z.string().check(z.maxLength(longestName)),
  learntWallMs: z.number(),
  /** Null: it was learnt with weights that are no longer in use. */
  learnt: z.nullable(Learnt),
  /** The person wants it used, where it helps. */
  wanted: z.boolean(),
  /** The person agreed that calls put right by hand are learnt from as well. */
  fromCorrections: z.boolean(),
});
export type KeptVoice = Omit<z.infer<typeof KeptVoice>, 'learnt'> & { readonly learnt: LearntVoice | null };

const KeptCall = z.object({
  text: z.string(),
  /** A clip (`clip.ts`), some 32 kB for a second. */
  clip: z.instanceof(Uint8Array),
  /** The call of a notebook that it came from; '' for words said to be learnt. */
  call: z.string(),
});
export type KeptCall = z.infer<typeof KeptCall>;

const voiceKey = 'meniscall-voice';
const soundsKey = 'meniscall-voice-sounds';

/** The voice that is kept, or null: none was learnt, or what is there cannot be read. */
export async function loadVoice(): Promise<KeptVoice | null> {
  const parsed = KeptVoice.safeParse(await get(voiceKey));
  return parsed.success ? parsed.data : null;
}

/** The sounds it was learnt from; those that cannot be read are left out. */
export async function loadSounds(): Promise<KeptCall[]> {
  const stored = z.array(z.unknown()).safeParse(await get(soundsKey));
  if (!stored.success) return [];
  return stored.data.flatMap((one) => {
    const parsed = KeptCall.safeParse(one);
    return parsed.success ? [parsed.data] : [];
  });
}

/** Keeps a voice in place of any other; with `sounds`, both in one piece. */
export async function keepVoice(voice: KeptVoice, sounds?: readonly KeptCall[]): Promise<void> {
  if (sounds)
    await setMany([
      [voiceKey, voice],
      [soundsKey, sounds],
    ]);
  else await set(voiceKey, voice);
}

export async function deleteVoice(): Promise<void> {
  await delMany([voiceKey, soundsKey]);
}

export function keptCall({ text, samples, rate }: KnownCall, call = ''): KeptCall {
  return { text, clip: encodeClip(samples, rate), call };
}

/** @throws UnreadableSound when the clip is none */
export function knownCall({ text, clip }: KeptCall): KnownCall {
  const { samples, sampleRate } = decodeClip(clip);
  return { text, samples, rate: sampleRate };
}
