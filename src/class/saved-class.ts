import { promisifyRequest } from 'idb-keyval';
import { z } from 'zod/mini';
import { completed, strictDatabase } from '../log/database.ts';
import { NotebookEvent, wallClock } from '../log/event.ts';
import type { ClassEntry } from './class-entry.ts';

/** The class as it is kept on the device. */
export interface SavedClass {
  readonly entries: readonly ClassEntry[];
  /** What is compared; null: k where there is one. */
  readonly quantity: string | null;
  /** Numbers in place of names. */
  readonly anonymous: boolean;
}

/** Raise it when an entry changes its meaning: an older class is then not shown, since it would mislead. */
const version = 1;
const key = 'class';
const database = strictDatabase('meniscall-class', 1, ['all']);

const text = z.string().check(z.maxLength(4000));
const number = z.number();
const numbers = z.record(text, number);
const measured = z.object({ value: number, u: number });

const Quantity = z.object({
  value: number,
  u: number,
  unit: text,
  uLabels: z.optional(number),
  uReaction: z.optional(number),
});
/** What a group is told: the worst reason. */
const Against = z.discriminatedUnion('code', [
  z.object({ code: z.literal('misfit'), runs: z.array(text), p: number }),
  z.object({ code: z.literal('bends-differ') }),
  z.object({ code: z.literal('no-simple-order'), species: text, value: number, u: number }),
  z.object({ code: z.literal('saturating'), species: text, constant: number, u: number }),
  z.object({ code: z.literal('wild-order'), species: text, value: number }),
]);
const Lack = z.discriminatedUnion('code', [
  z.object({ code: z.enum(['no-readings', 'no-concentrations', 'no-simple-order', 'no-uncertainty']) }),
  z.object({ code: z.literal('open-order'), species: z.array(text) }),
  z.object({ code: z.literal('does-not-fit'), reasons: z.tuple([Against], z.unknown()) }),
  z.object({ code: z.literal('refused'), reason: text, sentence: text }),
  z.object({ code: z.literal('unsettled'), count: number, runs: z.array(text) }),
  z.object({ code: z.literal('late-rates'), runs: z.array(text) }),
  z.object({ code: z.literal('constant-open'), species: z.nullable(text) }),
]);
const RunDone = z.object({
  label: text,
  volumesMl: numbers,
  temperatureC: z.nullable(number),
  headspaceCounts: z.boolean(),
  used: number,
  setAside: number,
  doubtful: number,
});
const LawRow = z.object({
  label: text,
  rate: number,
  uRate: z.nullable(number),
  // Infinite where an uncertainty was stated.
  dfRate: z.union([number, z.literal(Number.POSITIVE_INFINITY)]),
  uReadings: z.optional(number),
  concentrations: z.record(text, z.object({ value: number, u: number, uCommonRelative: number })),
});

/** What the screens rely on in an entry that lies in the database, where anything may have happened to it. */
const Entry = z.object({
  id: text.check(z.minLength(1)),
  name: text,
  title: text,
  group: text,
  members: text,
  begunWallMs: z.nullable(wallClock),
  events: number,
  invented: z.boolean(),
  origin: text,
  readings: z.nullable(z.string()),
  reaction: z.nullable(z.object({ id: text, name: text })),
  unit: z.enum(['amount', 'volume', 'value']),
  orders: z.nullable(numbers),
  law: text,
  quantities: z.record(text, Quantity),
  lack: z.nullable(Lack),
  did: z.array(RunDone),
  rows: z.array(LawRow),
  referenceK: z.nullable(number),
  activation: z.nullable(measured),
  stocks: z.array(z.object({ name: text, species: text, strength: text })),
  hPa: z.nullable(number),
  added: z.array(z.enum(['pressure', 'temperature'])),
  notebook: z.nullable(z.object({ id: text, events: z.array(NotebookEvent) })),
});
const Named = z.object({ name: text });
const Saved = z.object({
  version: z.literal(version),
  entries: z.array(z.unknown()),
  quantity: z.nullable(text),
  anonymous: z.boolean(),
});

/** Keeps the class; without entries nothing is kept. Rejects where the browser keeps nothing. */
export const saveClass = (saved: SavedClass): Promise<void> =>
  database('readwrite', (store, transaction) => {
    if (saved.entries.length === 0) store('all').delete(key);
    else store('all').put({ version, ...saved }, key);
    return completed(transaction);
  });

/**
 * The class that was kept last, without the entries that cannot be read: `damaged` has their names. Null without a class.
 * Rejects where the browser keeps nothing.
 */
export async function loadClass(): Promise<(SavedClass & { readonly damaged: readonly string[] }) | null> {
  const { data } = Saved.safeParse(await database('readonly', (store) => promisifyRequest(store('all').get(key))));
  if (!data) return null;
  // A schema passes over a key of this name, and what lies under it would be shown.
  const odd = '__proto__';
  const whole = (entry: unknown): entry is ClassEntry =>
    Entry.safeParse(entry).success && !Object.hasOwn((entry as ClassEntry).quantities, odd);
  const { quantity, anonymous } = data;
  return {
    entries: data.entries.filter(whole),
    quantity,
    anonymous,
    damaged: data.entries.filter((entry) => !whole(entry)).map((entry) => Named.safeParse(entry).data?.name ?? '…'),
  };
}
