import { crc32 } from '../notebook/checksum.ts';
import { type Checked, notebookFromRaw, refusal } from '../notebook/file.ts';
import type { Notebook } from '../notebook/state.ts';
import { fromBase64Url, toBase64Url } from './base64url.ts';
import { deflate, inflateBounded, TooLarge } from './deflate.ts';
import { type HandOut, handOutFromRaw } from './hand-out.ts';
import { packNotebook, unpackNotebook } from './pack.ts';

/**
 * A notebook or a run sheet as an address. Everything is in the fragment, which browsers keep to themselves: no
 * server sees it. `#/open/n1/…` carries a notebook, `#/open/p1/…` a plan; the figure is the version of the packing.
 * After the prefix, base64url of: CRC-32 of the packed text (4 bytes, big-endian), the packed text deflated.
 */

/** Longest payload that is looked at, characters: a notebook of some 50,000 events. */
export const longestLink = 4_000_000;
/** Most text that a link may unfold to, bytes. */
export const largestUnfolded = 64_000_000;
/** Most bytes a QR code holds (version 40, error correction L, byte mode: ISO/IEC 18004, table 7). */
export const qrCapacity = 2953;

export type LinkContent =
  | { readonly kind: 'notebook'; readonly notebook: Notebook }
  | { readonly kind: 'plan'; readonly handOut: HandOut };

/** @param base address of the app without a fragment */
export function notebookLink(base: string, notebook: Notebook): string {
  return `${base.replace(/#.*$/, '')}#/open/n1/${encode(packNotebook(notebook))}`;
}

/** A teacher's hand-out. */
export function planLink(base: string, { title, plan, setup }: HandOut): string {
  return `${base.replace(/#.*$/, '')}#/open/p1/${encode(JSON.stringify(setup ? [title, plan, setup] : [title, plan]))}`;
}

/**
 * Reads the fragment of a link, or a whole link. Never throws, never runs anything, bounded in time and memory.
 */
export function readLink(link: string): Checked<LinkContent> {
  const found = /#?\/?open\/([a-z])(\d+)\/([^/]*)$/.exec(link.slice(0, longestLink).trim());
  if (link.length > longestLink)
    return refusal('This link is too long to be one of ours.', `${link.length} characters`);
  if (!found) return refusal('This link carries no notebook.', 'no #/open/ part');
  const [, kind, version, payload = ''] = found;
  if (kind !== 'n' && kind !== 'p')
    return refusal('This link carries something that is not known here.', `kind ${kind}`);
  if (version !== '1')
    return refusal(
      'This link was made by another version of Meniscall. Update this one, then open it again.',
      `version ${version}`,
    );
  const text = decode(payload);
  if (!text.ok) return text;
  return kind === 'n' ? readNotebook(text.value) : readPlan(text.value);
}

function readNotebook(text: string): Checked<LinkContent> {
  let raw: object;
  try {
    raw = unpackNotebook(text);
  } catch (error) {
    return refusal(damaged, String(error));
  }
  const read = notebookFromRaw(raw);
  return read.ok ? { ok: true, value: { kind: 'notebook', notebook: read.value } } : { ...read, sentence: damaged };
}

function readPlan(text: string): Checked<LinkContent> {
  let parts: unknown;
  try {
    parts = JSON.parse(text);
  } catch (error) {
    return refusal(damaged, String(error));
  }
  if (!Array.isArray(parts)) return refusal(damaged, 'not a list');
  const [title, plan, setup] = parts;
  const read = handOutFromRaw({
    format: 'meniscall-plan',
    schema: 1,
    title,
    plan,
    ...(setup === undefined ? {} : { setup }),
  });
  return read.ok ? { ok: true, value: { kind: 'plan', handOut: read.value } } : { ...read, sentence: damaged };
}

const damaged =
  'This link is damaged: a part of it is missing or was changed on its way. Ask for it again, or for the notebook as a file.';

function encode(text: string): string {
  const bytes = new TextEncoder().encode(text);
  const packed = deflate(bytes);
  const whole = new Uint8Array(packed.length + 4);
  new DataView(whole.buffer).setUint32(0, crc32(bytes));
  whole.set(packed, 4);
  return toBase64Url(whole);
}

function decode(payload: string): Checked<string> {
  const bytes = fromBase64Url(payload);
  if (!bytes || bytes.length < 5) return refusal(damaged, 'not base64url');
  try {
    const text = inflateBounded(bytes.subarray(4), largestUnfolded);
    const sum = new DataView(bytes.buffer).getUint32(0);
    if (crc32(text) !== sum) return refusal(damaged, 'the sum does not fit');
    return { ok: true, value: new TextDecoder('utf-8', { fatal: true }).decode(text) };
  } catch (error) {
    if (error instanceof TooLarge)
      return refusal('This link unfolds to far more than a notebook can hold and was not opened.', String(error));
    return refusal(damaged, String(error));
  }
}
