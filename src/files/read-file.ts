import { type Checked, refusal, refusals } from '../log/refusal.ts';
import { largestArchive, largestText } from './archive.ts';

/**
 * The bytes of a file that a person chose: all of them, or a refusal that says why. A file that is too large is refused
 * before any of it is in memory. Never throws.
 */
export async function readFile(file: Blob): Promise<Checked<Uint8Array<ArrayBuffer>>> {
  try {
    const zipped = (await file.slice(0, 2).text()) === 'PK';
    if (file.size > (zipped ? largestArchive : largestText))
      return refusal(refusals.fileTooLarge, `${file.size} bytes`);
    // Chromium gives a file that was deleted the size 0: only reading it tells.
    const bytes = new Uint8Array(await file.arrayBuffer());
    // Some browsers hand out what is left of a file that became shorter meanwhile.
    if (bytes.length !== file.size) return refusal(refusals.fileChanged, `${bytes.length} of ${file.size} bytes`);
    return bytes.length === 0 ? refusal(refusals.fileEmpty) : { ok: true, value: bytes };
  } catch (error) {
    // File API, 4.3: a file that was changed, moved or deleted since it was chosen, or that may not be read.
    const name = error instanceof Error || error instanceof DOMException ? error.name : '';
    const changed = name === 'NotReadableError' || name === 'NotFoundError';
    return refusal(changed ? refusals.fileChanged : refusals.fileUnread, String(error));
  }
}
