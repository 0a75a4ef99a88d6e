import { readArrival } from '../files/arrival.ts';
import { type Checked, refusal, refusals } from '../log/refusal.ts';
import type { Notebook } from '../log/state.ts';
import { type ClassEntry, entryOf } from './class-entry.ts';
import { entriesOfTable } from './class-table.ts';

/** What one file brings to a class: a notebook whose result is to be computed, or results as a table states them. */
export type ClassArrival = { readonly notebook: Notebook } | { readonly entries: readonly ClassEntry[] };

/** One file or text: a notebook, an archive (its clips are passed over), a link, or a table of values. Never throws. */
export function classArrival(bytes: Uint8Array): Checked<ClassArrival> {
  const text = bytes[0] === 0x50 && bytes[1] === 0x4b ? null : decoded(bytes);
  if (text !== null && !text.trimStart().startsWith('{') && !text.includes('#/open/')) {
    const table = entriesOfTable(text);
    if (table.ok) return { ok: true, value: { entries: table.value } };
    const { en, de } = table.sentences;
    return refusal({ en: `${refusals.unknown.en} ${en}`, de: `${refusals.unknown.de} ${de}` }, 'not a table');
  }
  const arrival = readArrival(bytes, { clips: false });
  if (!arrival.ok) return arrival;
  if (arrival.value.kind === 'plan')
    return refusal(
      { en: 'This is a run sheet: it has no readings.', de: 'Das ist ein Laufplan: Er hat keine Ablesungen.' },
      'a plan',
    );
  return { ok: true, value: { notebook: arrival.value.notebook } };
}

/** The entries of what arrived. Never throws: a computation that fails is a sentence. */
export function classEntries(arrived: Checked<ClassArrival>): Checked<readonly ClassEntry[]> {
  if (!arrived.ok) return arrived;
  if ('entries' in arrived.value) return { ok: true, value: arrived.value.entries };
  try {
    return { ok: true, value: [entryOf(arrived.value.notebook)] };
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

/** A group that came again. */
export interface Double {
  readonly name: string;
  /**
   * 'same': nothing new in it. 'longer': it has more entries and takes the place of the earlier one. 'shorter': the
   * earlier one has more and stays. 'readings': another notebook with the very same readings.
   */
  readonly kind: 'same' | 'longer' | 'shorter' | 'readings';
  /** The group that was there first. */
  readonly as: string;
}

/** Adds entries to those there are. A notebook counts once, whatever its copies are called: the one with the longer log. */
export function addEntries(
  known: readonly ClassEntry[],
  added: readonly ClassEntry[],
): { readonly entries: readonly ClassEntry[]; readonly doubles: readonly Double[] } {
  const entries = [...known];
  const doubles: Double[] = [];
  const places = new Map<string, number>();
  const keysOf = ({ id, origin, readings }: ClassEntry): string[] => [
    `id ${id}`,
    `origin ${origin}`,
    ...(readings === null ? [] : [`readings ${readings}`]),
  ];
  const remember = (entry: ClassEntry, place: number): void => {
    for (const key of keysOf(entry)) places.set(key, place);
  };
  entries.forEach(remember);
  for (const entry of added) {
    const place = keysOf(entry)
      .map((key) => places.get(key))
      .find((found) => found !== undefined);
    const old = place === undefined ? undefined : entries[place];
    if (place === undefined || !old) {
      remember(entry, entries.length);
      entries.push(entry);
      continue;
    }
    const copy = old.id === entry.id || old.origin === entry.origin;
    const longer = entry.events > old.events;
    // What was added here to a notebook that comes again unchanged stays.
    if (copy && longer) {
      entries[place] = entry;
      remember(entry, place);
    }
    const kind = !copy ? 'readings' : longer ? 'longer' : entry.events === old.events ? 'same' : 'shorter';
    doubles.push({ name: entry.name, kind, as: old.name });
  }
  return { entries, doubles };
}
