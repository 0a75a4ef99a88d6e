import { crc32 } from '../log/checksum.ts';
import { notebookFromRaw } from '../log/file.ts';
import { type Checked, refusal, refusals } from '../log/refusal.ts';
import type { Notebook } from '../log/state.ts';
import { fromBase64Url, toBase64Url } from './base64url.ts';
import { fromDecimal } from './decimal.ts';
import { type Dictionary, deflate, firstWords, inflateBounded, laterWords, TooLarge } from './deflate.ts';
import { type HandOut, handOutFromRaw } from './hand-out.ts';
import { packNotebook, unpackNotebook } from './pack.ts';

/**
 * A notebook or a run sheet as an address. Everything is in the fragment, which browsers keep to themselves: no
 * server sees it. `#/open/n3/…` carries a notebook, `#/open/p3/…` a plan; the figure is the version of the packing.
 * After the prefix, base64url of: CRC-32 of the deflated bytes (4 bytes, big-endian), and the packed text, deflated.
 * Version 4 is version 3 in decimal digits, for QR codes. Version 1 knew fewer words and summed the text; it is read for
 * ever. Version 2, of trial versions only, had a coder
 * of its own that made links a quarter shorter; in a QR code, digits make up for it (133 modules a side for three runs
 * called by voice, with either).
 */

/** Longest payload that is looked at, characters: a notebook of some 50,000 events. */
export const longestLink = 4_000_000;
/** Most text that a link may unfold to, bytes. */
export const largestUnfolded = 64_000_000;

export type LinkContent =
  | { readonly kind: 'notebook'; readonly notebook: Notebook }
  | { readonly kind: 'plan'; readonly handOut: HandOut };

/** @param base address of the app without a fragment */
export function notebookLink(base: string, notebook: Notebook): string {
  return `${base.replace(/#.*$/, '')}#/open/n3/${packed(packNotebook(notebook))}`;
}

/** Of more events no link is tried: the page would stand still for seconds, and half as many again cannot be read. */
const mostEventsTried = 50_000;

/** As `notebookLink`; null for a notebook that is too large: its link would be refused by `readLink`, or is not tried. */
export function readableLink(base: string, notebook: Notebook): string | null {
  if (notebook.events.length > mostEventsTried) return null;
  const link = notebookLink(base, notebook);
  return readLink(link).ok ? link : null;
}

/** A teacher's hand-out. */
export function planLink(base: string, { title, plan, setup, groups = [], questions = '' }: HandOut): string {
  const more = groups.length > 0 || questions !== '' ? [groups, questions] : [];
  const text = JSON.stringify(setup || more.length > 0 ? [title, plan, setup ?? null, ...more] : [title, plan]);
  return `${base.replace(/#.*$/, '')}#/open/p3/${packed(text)}`;
}

/**
 * Reads the fragment of a link, a whole link, or a text with a link in it: at the end of a sentence, in brackets, escaped,
 * or broken over lines by a mail program. Never throws, never runs anything, bounded in time and memory.
 */
export function readLink(link: string): Checked<LinkContent> {
  if (link.length > longestLink) return refusal(refusals.linkTooLong, `${link.length} characters`);
  const found = /#?\/?open\/([a-z])(\d+)\/([\s\S]*)$/.exec(plainLink(link));
  if (!found) return refusal(refusals.linkEmpty, 'no #/open/ part');
  const [, kind, version, rest = ''] = found;
  if (kind !== 'n' && kind !== 'p') return refusal(refusals.linkUnknown, `kind ${kind}`);
  if (version === '2') return refusal(refusals.linkTrial, 'version 2');
  if (version !== '1' && version !== '3' && version !== '4') return refusal(refusals.linkOther, `version ${version}`);
  let first: Checked<string> | null = null;
  for (const payload of payloadsOf(rest)) {
    const text = decode(payload, version);
    if (text.ok) return kind === 'n' ? readNotebook(text.value) : readPlan(text.value);
    first ??= text;
  }
  return first ?? refusal(refusals.linkDamaged, 'no payload');
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
    return refusal(refusals.linkDamaged, String(error));
  }
  const read = notebookFromRaw(raw);
  if (read.ok) return { ok: true, value: { kind: 'notebook', notebook: read.value } };
  return read.sentences === refusals.newer ? read : refusal(refusals.linkDamaged, read.cause);
}

function readPlan(text: string): Checked<LinkContent> {
  let parts: unknown;
  try {
    parts = JSON.parse(text);
  } catch (error) {
    return refusal(refusals.linkDamaged, String(error));
  }
  if (!Array.isArray(parts)) return refusal(refusals.linkDamaged, 'not a list');
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
  return read.ok
    ? { ok: true, value: { kind: 'plan', handOut: read.value } }
    : refusal(refusals.linkDamaged, read.cause);
}

function packed(text: string): string {
  const bytes = deflate(new TextEncoder().encode(text), laterWords);
  const whole = new Uint8Array(bytes.length + 4);
  new DataView(whole.buffer).setUint32(0, crc32(bytes));
  whole.set(bytes, 4);
  return toBase64Url(whole);
}

function decode(payload: string, version: '1' | '3' | '4'): Checked<string> {
  const bytes = version === '4' ? fromDecimal(payload) : fromBase64Url(payload);
  if (!bytes || bytes.length < 5) return refusal(refusals.linkDamaged, 'not base64url, or not digits');
  const sum = new DataView(bytes.buffer).getUint32(0);
  const rest = bytes.subarray(4);
  const words: Dictionary = version === '1' ? firstWords : laterWords;
  // The sum of the deflated bytes first: a damaged link costs nothing.
  if (version !== '1' && crc32(rest) !== sum) return refusal(refusals.linkDamaged, 'the sum does not fit');
  try {
    const text = inflateBounded(rest, largestUnfolded, words);
    if (version === '1' && crc32(text) !== sum) return refusal(refusals.linkDamaged, 'the sum does not fit');
    return { ok: true, value: new TextDecoder('utf-8', { fatal: true }).decode(text) };
  } catch (error) {
    if (error instanceof TooLarge) return refusal(refusals.linkTooLarge, String(error));
    return refusal(refusals.linkDamaged, String(error));
  }
}
