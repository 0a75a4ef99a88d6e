import { crc32 } from '../log/checksum.ts';
import { type Checked, notebookFromRaw, refusal } from '../log/file.ts';
import { newerSentence } from '../log/migrate.ts';
import type { Notebook } from '../log/state.ts';
import { fromBase64Url, toBase64Url } from './base64url.ts';
import { deflate, inflateBounded, linkWords, TooLarge } from './deflate.ts';
import { type HandOut, handOutFromRaw } from './hand-out.ts';
import { makeMixingCoder } from './mixing-coder.ts';
import { packNotebook, unpackNotebook } from './pack.ts';
import { sessionWords } from './session-words.ts';

/**
 * A notebook or a run sheet as an address. Everything is in the fragment, which browsers keep to themselves: no
 * server sees it. `#/open/n2/…` carries a notebook, `#/open/p2/…` a plan; the figure is the version of the packing.
 * After the prefix, base64url of: CRC-32 (4 bytes, big-endian), and the packed text. Version 1: deflated, the sum that of
 * the text. Version 2: squeezed (`mixing-coder.ts`), the sum that of the squeezed bytes, so that a damaged link costs
 * nothing. Written is version 2; a text too long for that coder goes out in version 1, which is read for ever.
 */

/** Longest payload that is looked at, characters: a notebook of some 50,000 events. */
export const longestLink = 4_000_000;
/** Most text that a link may unfold to, bytes. */
export const largestUnfolded = 64_000_000;
/** Longest text that is squeezed, bytes, some 4,000 events: a second of work on a slow device. */
export const largestSqueezed = 200_000;
/** Most bytes a QR code holds (version 40, error correction L, byte mode: ISO/IEC 18004, table 7). */
export const qrCapacity = 2953;

export type LinkContent =
  | { readonly kind: 'notebook'; readonly notebook: Notebook }
  | { readonly kind: 'plan'; readonly handOut: HandOut };

/** @param base address of the app without a fragment */
export function notebookLink(base: string, notebook: Notebook): string {
  const text = encoder.encode(packNotebook(notebook));
  const payload = text.length <= largestSqueezed ? `n2/${squeezed(text)}` : `n1/${deflated(packNotebook(notebook, 1))}`;
  return `${base.replace(/#.*$/, '')}#/open/${payload}`;
}

/** A teacher's hand-out. */
export function planLink(base: string, { title, plan, setup, groups = [], questions = '' }: HandOut): string {
  const more = groups.length > 0 || questions !== '' ? [groups, questions] : [];
  const text = JSON.stringify(setup || more.length > 0 ? [title, plan, setup ?? null, ...more] : [title, plan]);
  const bytes = encoder.encode(text);
  const payload = bytes.length <= largestSqueezed ? `p2/${squeezed(bytes)}` : `p1/${deflated(text)}`;
  return `${base.replace(/#.*$/, '')}#/open/${payload}`;
}

/**
 * Reads the fragment of a link, a whole link, or a text with a link in it: at the end of a sentence, in brackets, escaped,
 * or broken over lines by a mail program. Never throws, never runs anything, bounded in time and memory.
 */
export function readLink(link: string): Checked<LinkContent> {
  if (link.length > longestLink)
    return refusal('This link is too long to be one of ours.', `${link.length} characters`);
  const found = /#?\/?open\/([a-z])(\d+)\/([\s\S]*)$/.exec(plainLink(link));
  if (!found) return refusal('This link carries no notebook.', 'no #/open/ part');
  const [, kind, version, rest = ''] = found;
  if (kind !== 'n' && kind !== 'p')
    return refusal('This link carries something that is not known here.', `kind ${kind}`);
  if (version !== '1' && version !== '2')
    return refusal(
      'This link was made by another version of Meniscall. Update this one, then open it again.',
      `version ${version}`,
    );
  let first: Checked<string> | null = null;
  for (const payload of payloadsOf(rest)) {
    const text = decode(payload, version);
    if (text.ok) return kind === 'n' ? readNotebook(text.value) : readPlan(text.value);
    first ??= text;
  }
  return first ?? refusal(damaged, 'no payload');
}

/** Whether a text has one of our links in it. */
export const hasLink = (text: string): boolean => /#\/open\//.test(plainLink(text.slice(0, 20_000)));

/** The signs of an address that programs escape, as they were. */
const plainLink = (text: string): string => text.replace(/%23/g, '#').replace(/%2f/gi, '/').replace(/=3D/g, '=');

/**
 * What the payload may be: up to the first sign that it cannot hold; without a line or a dash of the sentence at its end;
 * and, where a mail broke it over lines, with the lines that follow. The sum tells which it is.
 */
function* payloadsOf(rest: string): Generator<string> {
  const lines = rest.split(/=?\r?\n[> \t]*|[ \t]+/, 40).map((line) => /^[A-Za-z0-9_-]*/.exec(line)?.[0] ?? '');
  const whole = /^[A-Za-z0-9_-]*/.exec(rest)?.[0] ?? '';
  yield whole;
  const trimmed = whole.replace(/[-_]{1,3}$/, '');
  if (trimmed !== whole) yield trimmed;
  let joined = '';
  for (const line of lines) {
    joined += line;
    if (joined !== whole) yield joined;
  }
}

function readNotebook(text: string): Checked<LinkContent> {
  let raw: object;
  try {
    raw = unpackNotebook(text);
  } catch (error) {
    return refusal(damaged, String(error));
  }
  const read = notebookFromRaw(raw);
  if (read.ok) return { ok: true, value: { kind: 'notebook', notebook: read.value } };
  return read.sentence === newerSentence ? read : { ...read, sentence: damaged };
}

function readPlan(text: string): Checked<LinkContent> {
  let parts: unknown;
  try {
    parts = JSON.parse(text);
  } catch (error) {
    return refusal(damaged, String(error));
  }
  if (!Array.isArray(parts)) return refusal(damaged, 'not a list');
  const [title, plan, setup, groups, questions] = parts;
  const read = handOutFromRaw({
    format: 'meniscall-plan',
    schema: 1,
    title,
    plan,
    ...(setup === undefined || setup === null ? {} : { setup }),
    ...(groups === undefined ? {} : { groups }),
    ...(questions === undefined ? {} : { questions }),
  });
  return read.ok ? { ok: true, value: { kind: 'plan', handOut: read.value } } : { ...read, sentence: damaged };
}

const damaged =
  'This link is damaged: a part of it is missing or was changed on its way. Ask for it again, or for the notebook as a file.';

const encoder = new TextEncoder();
const coder = makeMixingCoder(encoder.encode(linkWords + sessionWords));

const squeezed = (text: Uint8Array): string => {
  const bytes = coder.squeeze(text);
  return withSum(crc32(bytes), bytes);
};

function deflated(text: string): string {
  const bytes = encoder.encode(text);
  return withSum(crc32(bytes), deflate(bytes));
}

function withSum(sum: number, bytes: Uint8Array): string {
  const whole = new Uint8Array(bytes.length + 4);
  new DataView(whole.buffer).setUint32(0, sum);
  whole.set(bytes, 4);
  return toBase64Url(whole);
}

function decode(payload: string, version: string): Checked<string> {
  const bytes = fromBase64Url(payload);
  if (!bytes || bytes.length < 5) return refusal(damaged, 'not base64url');
  const sum = new DataView(bytes.buffer).getUint32(0);
  const rest = bytes.subarray(4);
  const wrongSum = refusal(damaged, 'the sum does not fit');
  try {
    if (version === '2' && crc32(rest) !== sum) return wrongSum;
    const text = version === '2' ? coder.unsqueeze(rest, largestSqueezed) : inflateBounded(rest, largestUnfolded);
    if (version === '1' && crc32(text) !== sum) return wrongSum;
    return { ok: true, value: new TextDecoder('utf-8', { fatal: true }).decode(text) };
  } catch (error) {
    if (error instanceof TooLarge)
      return refusal('This link unfolds to far more than a notebook can hold and was not opened.', String(error));
    return refusal(damaged, String(error));
  }
}
