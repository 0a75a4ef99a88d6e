import type { Plan, PlannedRun } from '../log/plan.ts';
import type { NotebookState, Run, TimedEvent } from '../log/state.ts';

/** What is in a run's flask of one solution, mL: as planned, unless it was called otherwise. */
export interface PouredVolume {
  /** Id of a stock or dilution of the plan, or "water". */
  readonly solution: string;
  readonly volumeMl: number;
  /** What the plan says for this run, null when the plan does not put it there. */
  readonly plannedMl: number | null;
  /** Capacity of the vessel it is measured with, mL, where the plan says. */
  readonly vesselMl: number | null;
  readonly from: 'planned' | 'poured';
  /** How the call was settled; null when nothing was called and the plan stands. */
  readonly settled: PouredEvent['settled'] | null;
  /** The call was put right by hand. */
  readonly putRight: boolean;
}

export type PouredEvent = Extract<TimedEvent, { kind: 'poured' }>;

/**
 * The planned run that a called run carries out: the same label, else the number it begins with ("2 again", "2b",
 * "run 2"). Null when the plan has none.
 */
export function plannedRunOf(plan: Plan | null, label: string): PlannedRun | null {
  if (!plan) return null;
  const bare = bareLabel(label);
  const exact = plan.runs.find((run) => bareLabel(run.label) === bare);
  if (exact) return exact;
  const number = /^\d+/.exec(bare)?.[0];
  return (number && plan.runs.find((run) => bareLabel(run.label) === number)) || null;
}

const bareLabel = (label: string): string =>
  label
    .trim()
    .toLowerCase()
    .replace(/^run\s+/, '')
    .replace(/^0+(?=\d)/, '');

/**
 * Volumes in the flask of `run`: the plan's, overridden by what was called as poured. Every call states how much of
 * the solution is in the flask in all (the pour check sees to that), so the latest call of a solution is the one
 * that counts. A solution that was called but could not be told (`solution` null) is left out; see `unknownPours`.
 *
 * @returns one entry per solution, those of the plan first; empty when there is neither plan nor call.
 */
export function pouredVolumes(state: NotebookState, run: Run): readonly PouredVolume[] {
  return volumesOf(plannedRunOf(state.plan, run.label), poursOf(state, run));
}

/** Calls about this run's flask whose reagent is not one of the plan's solutions. */
export function unknownPours(state: NotebookState, run: Run): readonly PouredEvent[] {
  return poursOf(state, run).filter((pour) => pour.solution === null);
}

/** As `pouredVolumes`, from a planned run and the calls that belong to it, in order of the log. */
export function volumesOf(planned: PlannedRun | null, pours: readonly PouredEvent[]): readonly PouredVolume[] {
  const volumes = new Map<string, PouredVolume>();
  for (const { solution, volumeMl, vesselMl } of planned?.pours ?? []) {
    const before = volumes.get(solution);
    const total = volumeMl + (before?.volumeMl ?? 0);
    volumes.set(solution, {
      solution,
      volumeMl: total,
      plannedMl: total,
      vesselMl: vesselMl ?? before?.vesselMl ?? null,
      from: 'planned',
      settled: null,
      putRight: false,
    });
  }
  for (const { solution, value, settled, replaces } of pours) {
    if (solution === null) continue;
    const before = volumes.get(solution);
    volumes.set(solution, {
      solution,
      volumeMl: Number(value),
      plannedMl: before?.plannedMl ?? null,
      vesselMl: before?.vesselMl ?? null,
      from: 'poured',
      settled,
      putRight: replaces !== null,
    });
  }
  return [...volumes.values()];
}

/** The calls about a run's flask that count: the latest of each solution, and those that could not be told, in order of the log. */
export function countingPours(state: NotebookState, run: Run): readonly PouredEvent[] {
  const pours = poursOf(state, run);
  return pours.filter(
    ({ solution }, i) => solution === null || pours.findLastIndex((other) => other.solution === solution) === i,
  );
}

/** The calls that a pour put right, latest first: itself is not among them. */
export function replacedBy(state: NotebookState, pour: PouredEvent): readonly PouredEvent[] {
  const all = state.timed.filter(isPour);
  const found: PouredEvent[] = [];
  for (let now = pour; now.replaces !== null; ) {
    const before = all.find(({ event }) => event === now.replaces);
    // A file from elsewhere may go round in a circle.
    if (!before || before === pour || found.includes(before)) break;
    found.push(before);
    now = before;
  }
  return found;
}

/**
 * The calls of pours that belong to a run, in order of the log (a later word replaces an earlier one): those that name it and came after an earlier run of the
 * same label was started, and those made within it or before it without naming a run.
 */
export function poursOf(state: NotebookState, run: Run): readonly PouredEvent[] {
  const key = flaskOf(state, run.label);
  let since = Number.NEGATIVE_INFINITY;
  let until = run.endedMs ?? Number.POSITIVE_INFINITY;
  for (const other of state.runs) {
    if (other.id === run.id || flaskOf(state, other.label) !== key) continue;
    if (other.startedMs < run.startedMs) since = Math.max(since, other.startedMs);
    else until = Math.min(until, other.startedMs);
  }
  const own = new Set(run.timed.map((timed) => timed.event));
  return pourEvents(state.timed).filter((pour) => {
    if (pour.forRun === null) return own.has(pour.event);
    if (flaskOf(state, pour.forRun) !== key) return false;
    if (pour.run === run.id) return true;
    const inAnother = state.runs.some((other) => other.id === pour.run && flaskOf(state, other.label) === key);
    return !inAnother && pour.timeMs > since && pour.timeMs <= until;
  });
}

/** The calls of pours for a planned run that has not been started (again) yet, in order of the log. */
export function poursBefore(state: NotebookState, label: string): readonly PouredEvent[] {
  const key = flaskOf(state, label);
  let since = Number.NEGATIVE_INFINITY;
  for (const run of state.runs) if (flaskOf(state, run.label) === key) since = Math.max(since, run.startedMs);
  return pourEvents(state.timed).filter(
    (pour) => pour.forRun !== null && flaskOf(state, pour.forRun) === key && pour.timeMs > since,
  );
}

/** What two labels share when they mean the same flask of the plan: "2", "02" and the repeat "2b". */
const flaskOf = (state: NotebookState, label: string): string =>
  bareLabel(plannedRunOf(state.plan, label)?.label ?? label);

const isPour = (event: TimedEvent): event is PouredEvent => event.kind === 'poured';

/** The pours that stand, in order of the log: one that was put right is in the place of the call that it replaces. */
function pourEvents(timed: readonly TimedEvent[]): PouredEvent[] {
  const standing: PouredEvent[] = [];
  const place = new Map<string, number>();
  for (const pour of timed.filter(isPour)) {
    const at = (pour.replaces === null ? undefined : place.get(pour.replaces)) ?? standing.length;
    standing[at] = pour;
    place.set(pour.event, at);
  }
  return standing;
}
