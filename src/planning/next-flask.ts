import { plannedRunOf, poursBefore, poursOf, volumesOf } from '../analysis/poured.ts';
import type { NotebookState } from '../log/state.ts';
import { runBeingPrepared, written } from './pour-check.ts';
import { solutionsOf } from './reagent-name.ts';

/** One solution of the flask that is being filled. */
export interface FlaskLine {
  readonly name: string;
  /** What the plan says, mL. */
  readonly plannedMl: string;
  /** What was called as poured, mL; null before it was called. */
  readonly pouredMl: string | null;
  /** Called and not as planned. */
  readonly differs: boolean;
}

export interface NextFlask {
  /** Label of the planned run. */
  readonly label: string;
  readonly lines: readonly FlaskLine[];
}

/** The flask that is being filled now, with what was called of it so far; null without a plan, or when all are done. */
export function nextFlaskOf(state: NotebookState, water = 'water'): NextFlask | null {
  const planned = runBeingPrepared(state);
  if (!state.plan || !planned) return null;
  const open = state.runs.find((run) => run.id === state.openRun);
  const here = open && plannedRunOf(state.plan, open.label) === planned;
  const names = new Map(solutionsOf(state.plan, water).map((solution) => [solution.id, solution.name]));
  const volumes = volumesOf(planned, here ? poursOf(state, open) : poursBefore(state, planned.label));
  const lines = volumes
    .filter((volume) => volume.volumeMl > 0 || (volume.plannedMl ?? 0) > 0)
    .map(
      ({ solution, volumeMl, plannedMl, from }): FlaskLine => ({
        name: names.get(solution) ?? solution,
        plannedMl: written(plannedMl ?? 0),
        pouredMl: from === 'poured' ? written(volumeMl) : null,
        differs: from === 'poured' && Math.abs(volumeMl - (plannedMl ?? 0)) > 1e-6,
      }),
    );
  return { label: planned.label, lines };
}
