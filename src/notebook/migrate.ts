/**
 * Brings a raw notebook of an earlier schema up to the present one, step by step. Schema 1 is the first, so there
 * is nothing to do yet; a step for schema n takes a raw value of schema n and returns one of schema n + 1.
 */
const steps: readonly ((raw: object) => object)[] = [];

export function migrate(raw: object): object {
  let current = raw;
  const from = 'schema' in raw && typeof raw.schema === 'number' ? raw.schema : 1;
  for (let schema = from; schema <= steps.length; schema++) {
    const step = steps[schema - 1];
    if (step) current = { ...step(current), schema: schema + 1 };
  }
  return current;
}
