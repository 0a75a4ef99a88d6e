import { schemaVersion } from './event.ts';

/** Takes a raw notebook ({ schema, id, events }) of one schema to the next; may throw for what is none. */
export type MigrationStep = (raw: object) => object;
/** By the schema that a step starts from. */
export type Migrations = Readonly<Record<number, MigrationStep>>;

/** Schema 1 is the first, so there is nothing to do yet. */
const ownMigrations: Migrations = {};

/** The schema that a raw notebook says it has; one that says nothing is of the first. */
export const schemaOf = (raw: object): number => ('schema' in raw && typeof raw.schema === 'number' ? raw.schema : 1);

/**
 * Brings a raw notebook of an earlier schema up to the present one, step by step. Where no step is known it comes back
 * as far as it got, for the schema check to refuse.
 * @throws what a step throws for a damaged notebook
 */
export function migrate(raw: object, migrations: Migrations = ownMigrations): object {
  let current = raw;
  for (let schema = schemaOf(raw); schema < schemaVersion; schema++) {
    const step = migrations[schema];
    if (!step) break;
    current = { ...step(current), schema: schema + 1 };
  }
  return current;
}

/** A notebook that a later version of the program wrote: this one would misread it. */
export class NewerNotebook extends Error {
  override readonly name = 'NewerNotebook';
  constructor() {
    super('This notebook was written by a newer version of Meniscall.');
  }
}
