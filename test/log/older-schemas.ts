import { schemaVersion } from '../../src/log/event.ts';
import type { Migrations } from '../../src/log/migrate.ts';
import type { Notebook } from '../../src/log/state.ts';

/**
 * Two schemas that never were, before the present one, to try the way of migrations: in the one before it, events had
 * `at` in place of `atMs`, and titles were called names; in the one before that, an event was a list.
 */
interface OldNotebook {
  readonly schema: number;
  readonly id: string;
  readonly events: readonly unknown[];
}

type Members = { readonly [key: string]: unknown };

/** A notebook as it would have been stored under an earlier schema. */
export function downgraded({ id, events }: Notebook, schema: number): OldNotebook {
  const renamed = events.map(({ atMs, body, ...rest }): Members => {
    const { title, ...own } = body as Members;
    return { ...rest, at: atMs, body: title === undefined ? own : { ...own, name: title } };
  });
  if (schema === schemaVersion - 1) return { schema, id, events: renamed };
  return { schema, id, events: renamed.map((event) => Object.entries(event).flat(1)) };
}

export const olderMigrations: Migrations = {
  [schemaVersion - 2]: (raw) => ({
    ...raw,
    events: listOf(raw).map((event) => {
      if (!Array.isArray(event)) throw new Error('an event that is no list');
      const pairs = Array.from({ length: event.length / 2 }, (_, i) => [event[2 * i], event[2 * i + 1]]);
      return Object.fromEntries(pairs);
    }),
  }),
  [schemaVersion - 1]: (raw) => ({
    ...raw,
    events: listOf(raw).map((event) => {
      const { at, body, ...rest } = event as Members;
      const { name, ...own } = body as Members;
      return { ...rest, atMs: at, body: name === undefined ? own : { ...own, title: name } };
    }),
  }),
};

function listOf(raw: object): readonly unknown[] {
  if (!('events' in raw) || !Array.isArray(raw.events)) throw new Error('no events');
  return raw.events;
}
