import { z } from 'zod/mini';
import { keepValues, keptValue } from '../log/kept-values.ts';
import { decodeClip, encodeClip } from './clip.ts';
import type { KnownCall, LearntVoice } from './ear/adapt.ts';
import { learningRule } from './ear/learning-rule.ts';

/**
 * The voices that this device has learnt: kept beside the preferences, never in a notebook, and so in no file, link or
 * archive that leaves. One is that of the person who calls now; the others wait beside it. The sounds that a voice was
 * learnt from are kept too, so that it can be learnt again with newer weights or more calls; deleting takes both.
 */

/** Characters. */
export const longestName = 40;

const Tally = z.object({ right: z.number(), of: z.number(), p: z.number() });
const Fresh = z.object({ now: Tally, next: Tally });
const Learnt = z.object({
  weights: z.string(),
  /** Voices kept before rules had numbers are of the first. */
  rule: z._default(z.number(), 1),
  head: z.instanceof(Float32Array),
  headBias: z.instanceof(Float32Array),
  calls: z.number(),
  before: Tally,
  after: Tally,
  helps: z.boolean(),
  fresh: z.optional(Fresh),
});
const KeptVoice = z.object({
  version: z.literal(1),
  /** Whose voice, if they want to say; '' where not. */
  name: z.string().check(z.maxLength(longestName)),
  learntWallMs: z.number(),
  /** Null: it was learnt with weights, or by a rule, no longer in use. Its sounds stay, to learn it again. */
  learnt: z.pipe(
    z.nullable(Learnt),
    z.transform((learnt) => (learnt?.rule === learningRule ? learnt : null)),
  ),
  /** The person wants it used, where it helps. */
  wanted: z.boolean(),
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
const othersKey = 'meniscall-voice-others';

const Other = z.object({ voice: KeptVoice, sounds: z.array(KeptCall) });

/** So many calls of a person are learnt from, and of the same words. Learning takes a second for every ten. */
export const mostCalls = 96;
export const mostAlike = 6;

/**
 * What was kept, with what was said since. Of the same words the newest stay; beyond `mostCalls` the oldest from work go
 * before words that were said to be learnt. A call that is there already takes its new words.
 *
 * @example
 * const called = (call: string, text: string) => ({ call, text, clip: new Uint8Array() });
 * withFresh([called('a', 'fifty')], [called('a', 'fifteen'), called('b', 'eight')]).map(({ text }) => text) // => ['fifteen', 'eight']
 */
export function withFresh(kept: readonly KeptCall[], fresh: readonly KeptCall[]): KeptCall[] {
  const isAnew = ({ call }: KeptCall) => call !== '' && fresh.some((one) => one.call === call);
  const all = [...kept.filter((one) => !isAnew(one)), ...fresh];
  const left = all.filter(({ text }, i) => all.slice(i + 1).filter((one) => one.text === text).length < mostAlike);
  while (left.length > mostCalls) {
    const oldest = left.findIndex(({ call }) => call !== '');
    left.splice(Math.max(0, oldest), 1);
  }
  return left;
}

/** The voice that is kept, or null: none was learnt, or what is there cannot be read. */
export async function loadVoice(): Promise<KeptVoice | null> {
  const parsed = KeptVoice.safeParse(await keptValue(voiceKey));
  return parsed.success ? parsed.data : null;
}

/** The sounds it was learnt from; those that cannot be read are left out. */
export async function loadSounds(): Promise<KeptCall[]> {
  const stored = z.array(z.unknown()).safeParse(await keptValue(soundsKey));
  if (!stored.success) return [];
  return stored.data.flatMap((one) => {
    const parsed = KeptCall.safeParse(one);
    return parsed.success ? [parsed.data] : [];
  });
}

/** Keeps a voice in place of any other; with `sounds`, both in one piece. */
export async function keepVoice(voice: KeptVoice, sounds?: readonly KeptCall[]): Promise<void> {
  await keepValues({ [voiceKey]: voice, ...(sounds ? { [soundsKey]: sounds } : {}) });
}

/** The voices of others who call on this device. */
export async function loadOthers(): Promise<KeptVoice[]> {
  return (await othersWithSounds()).map(({ voice }) => voice);
}

async function othersWithSounds(): Promise<z.infer<typeof Other>[]> {
  const stored = z.array(z.unknown()).safeParse(await keptValue(othersKey));
  if (!stored.success) return [];
  return stored.data.flatMap((one) => {
    const parsed = Other.safeParse(one);
    return parsed.success ? [parsed.data] : [];
  });
}

/**
 * Puts the voice aside and takes up that of somebody else, in one piece.
 * @param to index in `loadOthers()`; null: somebody whom this device does not know
 * @returns the voice that is now in place, and the others
 */
export async function changeCaller(
  to: number | null,
): Promise<{ readonly voice: KeptVoice | null; readonly others: readonly KeptVoice[] }> {
  const [voice, sounds, waiting] = [await loadVoice(), await loadSounds(), await othersWithSounds()];
  const next = to === null ? undefined : waiting[to];
  const others: { voice: KeptVoice; sounds: KeptCall[] }[] = waiting.filter((one) => one !== next);
  if (voice) others.push({ voice, sounds });
  await keepValues({ [voiceKey]: next?.voice, [soundsKey]: next?.sounds, [othersKey]: others });
  return { voice: next?.voice ?? null, others: others.map((one) => one.voice) };
}

/** Deletes the voice of the person who calls now; those of others stay. */
export async function deleteVoice(): Promise<void> {
  await keepValues({ [voiceKey]: undefined, [soundsKey]: undefined });
}

export function keptCall({ text, samples, rate }: KnownCall, call = ''): KeptCall {
  return { text, clip: encodeClip(samples, rate), call };
}

/** @throws UnreadableSound when the clip is none */
export function knownCall({ text, clip }: KeptCall): KnownCall {
  const { samples, sampleRate } = decodeClip(clip);
  return { text, samples, rate: sampleRate };
}
