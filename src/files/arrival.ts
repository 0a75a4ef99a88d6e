import { notebookFromRaw } from '../log/file.ts';
import { type Checked, refusal, refusals } from '../log/refusal.ts';
import { type Archive, largestArchive, largestText, readArchive } from './archive.ts';
import { type HandOut, handOutFromRaw } from './hand-out.ts';
import { hasLink, readLink } from './link.ts';

/** What a file, a pasted text or a link can bring. */
export type Arrival = ({ readonly kind: 'notebook' } & Archive) | { readonly kind: 'plan'; readonly handOut: HandOut };

/** Reads a file: an archive, a notebook, a run sheet, or a text with a link. Told from its content. Never throws. */
export function readArrival(bytes: Uint8Array, options: { readonly clips?: boolean } = {}): Checked<Arrival> {
  if (bytes.length > largestArchive) return refusal(refusals.fileTooLarge, `${bytes.length} bytes`);
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) {
    const archive = readArchive(bytes, options);
    return archive.ok ? { ok: true, value: { kind: 'notebook', ...archive.value } } : archive;
  }
  if (bytes.length > largestText) return refusal(refusals.fileTooLarge, `${bytes.length} bytes`);
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (error) {
    return refusal(refusals.unknown, String(error));
  }
  return readArrivalText(text);
}

/** The same for text. */
export function readArrivalText(text: string): Checked<Arrival> {
  const trimmed = text.trim();
  if (!trimmed.startsWith('{')) {
    if (!hasLink(trimmed)) return refusal(refusals.unknown, 'no known beginning');
    const link = readLink(trimmed);
    if (!link.ok) return link;
    const { value } = link;
    return {
      ok: true,
      value: value.kind === 'plan' ? value : { kind: 'notebook', notebook: value.notebook, clips: [], left: [] },
    };
  }
  let raw: unknown;
  try {
    raw = JSON.parse(trimmed);
  } catch (error) {
    return refusal(refusals.fileDamaged, String(error));
  }
  if (typeof raw === 'object' && raw !== null && 'format' in raw && raw.format === 'meniscall-plan') {
    const handOut = handOutFromRaw(raw);
    return handOut.ok ? { ok: true, value: { kind: 'plan', handOut: handOut.value } } : handOut;
  }
  const notebook = notebookFromRaw(raw);
  return notebook.ok
    ? { ok: true, value: { kind: 'notebook', notebook: notebook.value, clips: [], left: [] } }
    : notebook;
}
