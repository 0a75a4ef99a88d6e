import { type PouredEvent, plannedRunOf } from '../analysis/poured.ts';
import type { EventBody } from '../log/event.ts';
import type { Sentences } from '../log/refusal.ts';
import type { NotebookState, Run } from '../log/state.ts';
import { solutionsOf } from './reagent-name.ts';

/** No flask of a lesson holds more, mL. */
const largestMl = 10_000;

export type PutRight =
  | { readonly ok: true; readonly event: EventBody }
  /** Why nothing is changed, for the person. */
  | { readonly ok: false; readonly sentences: Sentences };

/**
 * A called pour put right by hand: its volume, its solution, or both. It stands in the place of the call, which stays in
 * the log, and is taken back like any act. 0 mL: nothing of it was poured.
 *
 * @param run whose flask it went into
 * @param really `value` as typed, in mL, null for what is no number; `solution` an id of the plan or "water"
 */
export function putPourRight(
  state: NotebookState,
  run: Run,
  pour: PouredEvent,
  really: { readonly value: string | null; readonly solution: string },
): PutRight {
  const { value } = really;
  const solution = state.plan ? solutionsOf(state.plan).find(({ id }) => id === really.solution) : undefined;
  if (value === null)
    return refused({ en: 'A number such as 10 or 9.5, please.', de: 'Eine Zahl wie 10 oder 9,5, bitte.' });
  if (Number(value) > largestMl)
    return refused({
      en: `No flask holds ${value} mL; nothing was changed.`,
      de: `Kein Kolben fasst ${value} mL; nichts wurde geändert.`,
    });
  if (!solution) return refused({ en: 'Say which solution it was.', de: 'Sag, welche Lösung es war.' });
  if (Number(value) === Number(pour.value) && solution.id === pour.solution)
    return refused({
      en: `It stands at ${pour.value} mL of ${solution.name} already.`,
      de: `Da stehen schon ${pour.value} mL von „${solution.name}“.`,
    });
  const planned = plannedRunOf(state.plan, run.label);
  const plannedMl = (planned?.pours ?? []).reduce(
    (sum, one) => sum + (one.solution === solution.id ? one.volumeMl : 0),
    0,
  );
  return {
    ok: true,
    event: {
      kind: 'poured',
      value,
      reagent: solution.name.slice(0, 80),
      solution: solution.id,
      timeMs: pour.timeMs,
      run: run.id,
      ...(pour.forRun === null ? {} : { forRun: pour.forRun }),
      settled: Math.abs(Number(value) - plannedMl) < 1e-6 ? 'as-planned' : 'accepted',
      replaces: pour.event,
    },
  };
}

const refused = (sentences: Sentences): PutRight => ({ ok: false, sentences });
