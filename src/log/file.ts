import { z } from 'zod/mini';
import { checksumOf } from './checksum.ts';
import { latestMs, mostPages, mostRuns, NotebookEvent, schemaVersion } from './event.ts';
import { type Migrations, migrate, schemaOf } from './migrate.ts';
import { orderFault } from './notebook-json.ts';
import { type Checked, type Issue, type Refusal, refusal, refusals, type Sentences, wrongPart } from './refusal.ts';
import type { Notebook } from './state.ts';

/** Most events of a notebook that is taken in: three times a hundred runs of 500 readings. */
export const mostEvents = 300_000;

/**
 * The notebook as a file: everything but the sound clips. Strict at the top, so that a damaged key is not taken for an
 * absent one.
 */
export const NotebookFile = z.strictObject({
  $schema: z.optional(z.string().check(z.maxLength(200))),
  format: z.literal('meniscall-notebook'),
  schema: z.int().check(z.gte(1), z.lte(schemaVersion)),
  /** Part of the address of its second copy: no half of a character, and neither "." nor "..", which name folders. */
  id: z.string().check(z.minLength(1), z.maxLength(60), z.regex(/^(?!\.{1,2}$)[^\p{Cs}]*$/u)),
  /** `checksumOf([id, events])`. Taken out by a person who changes a file on purpose; then nothing is compared. */
  check: z.optional(z.string().check(z.regex(/^[0-9a-f]{8}$/))),
  events: z.array(NotebookEvent).check(z.minLength(1), z.maxLength(mostEvents)),
});

const Envelope = z.extend(NotebookFile, {
  events: z.array(z.unknown()).check(z.minLength(1), z.maxLength(mostEvents)),
});

/** zod gathers all that is wrong and runs out of stack when that is hundreds of thousands of things. */
function parsedEvent(item: unknown): ReturnType<typeof NotebookEvent.safeParse> {
  try {
    return NotebookEvent.safeParse(item);
  } catch {
    return NotebookEvent.safeParse(null);
  }
}

const damagedFile = (issue: Issue | undefined, entry?: number): Refusal => {
  const wrong = entry === undefined ? wrongPart(issue) : refusals.entry(entry, wrongPart(issue));
  return refusal(
    refusals.notebookDamaged(wrong),
    `${issue?.path.map(String).join('.') ?? ''}: ${issue?.message ?? ''}`,
  );
};

/** Reads what `notebookToJson` wrote, of this or an earlier schema. Never throws. */
export function notebookFromJson(text: string, migrations?: Migrations): Checked<Notebook> {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    return refusal(refusals.notJson, String(error));
  }
  return notebookFromRaw(raw, migrations);
}

/** As `notebookFromJson`, from a parsed value. */
export function notebookFromRaw(raw: unknown, migrations?: Migrations): Checked<Notebook> {
  if (typeof raw !== 'object' || raw === null || !('format' in raw) || raw.format !== 'meniscall-notebook')
    return refusal(refusals.notANotebook, 'format is missing or another');
  const schema = schemaOf(raw);
  if (schema > schemaVersion) return refusal(refusals.newer, `schema ${schema} > ${schemaVersion}`);
  let current: object;
  try {
    current = migrate(raw, migrations);
  } catch (error) {
    return refusal(refusals.notebookDamaged(wrongPart(undefined)), `migration from schema ${schema}: ${error}`);
  }
  const file = Envelope.safeParse(current);
  if (!file.success) return damagedFile(file.error.issues[0]);
  const { id, check } = file.data;
  const events: NotebookEvent[] = [];
  // One by one, so that a million damaged events cost no more than the first of them.
  for (const [index, item] of file.data.events.entries()) {
    const event = parsedEvent(item);
    if (!event.success) return damagedFile(event.error.issues[0], index + 1);
    events.push(event.data);
  }
  // The sum is of what was written, in the schema in which it was.
  const sum = schema < schemaVersion ? checksumOf(rawContent(raw)) : checksumOf([id, events]);
  if (check !== undefined && check !== sum) return refusal(refusals.notebookChanged, `check ${check} is not ${sum}`);
  const full = events.findIndex(({ atMs, page }) => atMs > latestMs / 2 || page > mostPages / 2);
  if (full >= 0) return refusal(refusals.notebookDamaged(refusals.entry(full + 1, noRoom)), 'no room to carry it on');
  const order = orderFault(events);
  if (order)
    return refusal(refusals.notebookDamaged({ en: order, de: 'die Reihenfolge der Einträge stimmt nicht' }), order);
  const crowded = crowdedPart(events);
  if (crowded) return refusal(refusals.notebookDamaged(crowded), crowded.en);
  return { ok: true, value: { id, events } };
}

/** What is recorded after it would be beyond the bounds of the schema, and so not be there at the next opening. */
const noRoom = { en: 'its time or page is too large', de: 'die Zeit oder die Seite ist zu groß' };

/** Most entries about one call: words, judgements, corrections. A person makes a few. */
const mostOfACall = 1000;
/** Most acts on runs as a whole, and on the clock. */
const mostRunActs = 10_000;

const runActs: ReadonlySet<string> = new Set([
  'run-renamed',
  'run-removed',
  'run-returned',
  'run-split',
  'run-joined',
  'runs-ordered',
  'clock-settled',
  'clips-deleted',
]);

/**
 * What there is far more of than a person can have made, or null. Folding costs the square of these, so that a file of a
 * few megabytes would keep the page for minutes.
 */
function crowdedPart(events: readonly NotebookEvent[]): Sentences | null {
  const runs = new Set<string>();
  const ofCall = new Map<string, number>();
  let acts = 0;
  for (const { body } of events) {
    if (body.kind === 'run-started' || body.kind === 'readings-entered') runs.add(body.run);
    if (body.kind === 'run-split') runs.add(body.into);
    if (runActs.has(body.kind)) acts++;
    const call = 'reading' in body ? body.reading.replace(/#\d+$/, '') : 'call' in body ? body.call : undefined;
    if (call !== undefined) ofCall.set(call, (ofCall.get(call) ?? 0) + 1);
  }
  if (runs.size > mostRuns) return { en: `it has more than ${mostRuns} runs`, de: `es hat mehr als ${mostRuns} Läufe` };
  if (acts > mostRunActs)
    return {
      en: `it has more than ${mostRunActs} changes of runs`,
      de: `es hat mehr als ${mostRunActs} Änderungen an Läufen`,
    };
  for (const count of ofCall.values())
    if (count > mostOfACall)
      return {
        en: `it has more than ${mostOfACall} entries about one call`,
        de: `es hat mehr als ${mostOfACall} Einträge zu einem Ruf`,
      };
  return null;
}

const rawContent = (raw: object): unknown[] => ['id' in raw ? raw.id : null, 'events' in raw ? raw.events : null];
