import { readArrival } from '../files/arrival.ts';
import { type Checked, refusal } from '../log/refusal.ts';
import { type ClassEntry, entryOf } from './class-entry.ts';
import { entriesOfTable } from './class-table.ts';

/**
 * One file or text into entries: a notebook, an archive (its clips are passed over), several links one a line, or a
 * table of values. Never throws: a file that cannot be read, or whose computation fails, is a sentence.
 */
export function classEntries(bytes: Uint8Array): Checked<readonly ClassEntry[]> {
  const text = bytes[0] === 0x50 && bytes[1] === 0x4b ? null : decoded(bytes);
  if (text !== null && !text.trimStart().startsWith('{') && !text.includes('#/open/')) {
    const table = entriesOfTable(text);
    return table.ok
      ? { ok: true, value: table.entries }
      : refusal(
          {
            en: `This is neither a notebook, an archive nor a link. ${table.sentence}`,
            de: `Das ist weder ein Heft noch ein Archiv oder ein Link. ${table.sentence}`,
          },
          'not a table',
        );
  }
  const arrival = readArrival(bytes, { clips: false });
  if (!arrival.ok) return arrival;
  if (arrival.value.kind === 'plan')
    return refusal(
      { en: 'This is a run sheet: it has no readings.', de: 'Das ist ein Laufplan: Er hat keine Ablesungen.' },
      'a plan',
    );
  try {
    return { ok: true, value: [entryOf(arrival.value.notebook)] };
  } catch (error) {
    return refusal(
      { en: 'The computation failed on this notebook.', de: 'Die Rechnung ist an diesem Heft gescheitert.' },
      String(error),
    );
  }
}

function decoded(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

/** Adds entries to those there are: the same notebook once only, the longer log of two. */
export function addEntries(known: readonly ClassEntry[], added: readonly ClassEntry[]): readonly ClassEntry[] {
  const byId = new Map(known.map((entry) => [entry.id, entry]));
  for (const entry of added) {
    const old = byId.get(entry.id);
    if (!old || entry.events >= old.events) byId.set(entry.id, entry);
  }
  return [...byId.values()];
}
