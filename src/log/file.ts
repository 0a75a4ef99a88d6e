import { z } from 'zod/mini';
import { checksumOf } from './checksum.ts';
import { NotebookEvent, schemaVersion } from './event.ts';
import { type Migrations, migrate, newerSentence, schemaOf } from './migrate.ts';
import { orderFault } from './notebook-json.ts';
import type { Notebook } from './state.ts';

/**
 * The notebook as a file: everything but the sound clips. Strict at the top, so that a damaged key is not taken for an
 * absent one.
 */
export const NotebookFile = z.strictObject({
  $schema: z.optional(z.string().check(z.maxLength(200))),
  format: z.literal('meniscall-notebook'),
  schema: z.int().check(z.gte(1), z.lte(schemaVersion)),
  id: z.string().check(z.minLength(1), z.maxLength(60)),
  /** `checksumOf([id, events])`. Taken out by a person who changes a file on purpose; then nothing is compared. */
  check: z.optional(z.string().check(z.regex(/^[0-9a-f]{8}$/))),
  events: z.array(NotebookEvent).check(z.minLength(1), z.maxLength(1_000_000)),
});

const Envelope = z.extend(NotebookFile, { events: z.array(z.unknown()).check(z.minLength(1), z.maxLength(1_000_000)) });

/** zod gathers all that is wrong and runs out of stack when that is hundreds of thousands of things. */
function parsedEvent(item: unknown): ReturnType<typeof NotebookEvent.safeParse> {
  try {
    return NotebookEvent.safeParse(item);
  } catch {
    return NotebookEvent.safeParse(null);
  }
}

const damagedFile = (issue: { path: PropertyKey[]; message: string } | undefined, where = ''): Refusal =>
  refusal(
    'This notebook file is damaged and was not opened.',
    `${where}${issue?.path.map(String).join('.') ?? ''}: ${issue?.message ?? 'invalid'}`,
  );

/** Refusal of something from outside: a sentence for the person, the cause for the developer. */
export interface Refusal {
  readonly ok: false;
  readonly sentence: string;
  readonly cause: string;
}
export type Checked<T> = { readonly ok: true; readonly value: T } | Refusal;

export const refusal = (sentence: string, cause = ''): Refusal => ({ ok: false, sentence, cause });

/** Reads what `notebookToJson` wrote, of this or an earlier schema. Never throws. */
export function notebookFromJson(text: string, migrations?: Migrations): Checked<Notebook> {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    return refusal('This is not a notebook file: it is not JSON.', String(error));
  }
  return notebookFromRaw(raw, migrations);
}

/** As `notebookFromJson`, from a parsed value. */
export function notebookFromRaw(raw: unknown, migrations?: Migrations): Checked<Notebook> {
  if (typeof raw !== 'object' || raw === null || !('format' in raw) || raw.format !== 'meniscall-notebook')
    return refusal('This is not a Meniscall notebook.', 'format is missing or another');
  const schema = schemaOf(raw);
  if (schema > schemaVersion) return refusal(newerSentence, `schema ${schema} > ${schemaVersion}`);
  let current: object;
  try {
    current = migrate(raw, migrations);
  } catch (error) {
    return damagedFile(undefined, `migration from schema ${schema}: ${error}`);
  }
  const file = Envelope.safeParse(current);
  if (!file.success) return damagedFile(file.error.issues[0]);
  const { id, check } = file.data;
  const events: NotebookEvent[] = [];
  // One by one, so that a million damaged events cost no more than the first of them.
  for (const [index, item] of file.data.events.entries()) {
    const event = parsedEvent(item);
    if (!event.success) return damagedFile(event.error.issues[0], `events.${index}.`);
    events.push(event.data);
  }
  // The sum is of what was written, in the schema in which it was.
  const sum = schema < schemaVersion ? checksumOf(rawContent(raw)) : checksumOf([id, events]);
  if (check !== undefined && check !== sum)
    return refusal(
      'This notebook file was changed after it was written, or damaged on its way. If you changed it on purpose, take the line "check" out and open it again.',
      `check ${check} is not ${sum}`,
    );
  const order = orderFault(events);
  if (order) return refusal('This notebook file is damaged and was not opened.', order);
  return { ok: true, value: { id, events } };
}

const rawContent = (raw: object): unknown[] => ['id' in raw ? raw.id : null, 'events' in raw ? raw.events : null];
