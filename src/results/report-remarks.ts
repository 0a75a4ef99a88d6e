import type { NotebookAnalysis } from '../analysis/notebook-analysis.ts';
import { type PouredEvent, replacedBy } from '../analysis/poured.ts';
import { generalCautions } from '../chemistry/cautions.ts';
import type { Reaction } from '../chemistry/reactions.ts';
import type { NotebookState, Run, TimedEvent } from '../log/state.ts';
import { statusOf, zeroOf } from './readings-table.ts';

/** Name of a stock or dilution of the plan, by its id. */
export const solutionName = (state: NotebookState, id: string): string =>
  [...(state.plan?.stocks ?? []), ...(state.plan?.dilutions ?? [])].find((solution) => solution.id === id)?.name ?? id;

/** What limits the figures, a sentence each: flags not dealt with, doubts, gaps of the clock, what was not stated. */
export function limitsOf(state: NotebookState, { analysis, notes, reaction }: NotebookAnalysis): string[] {
  const limits: string[] = [];
  if (state.invented) limits.push('The figures of this notebook are invented, to show what a result looks like.');
  for (const result of analysis.runs) {
    if (!result.ok) continue;
    // One cause may have put several readings off: its sentence is said once.
    for (const sentence of new Set(result.flags.map((flag) => flag.sentence)))
      limits.push(`Run ${result.run.label}, not set aside: ${sentence}`);
  }
  const readings = state.runs.flatMap((run) => run.readings);
  const doubtful = readings.filter((reading) => statusOf(reading) === 'used, in doubt').length;
  if (doubtful > 0)
    limits.push(
      `${doubtful} ${doubtful === 1 ? 'reading is' : 'readings are'} used though what was heard was in doubt.`,
    );
  const open = state.calls.filter(
    (call) => call.run !== null && (call.outcome === 'unresolved' || call.outcome === 'waiting'),
  ).length;
  if (open > 0)
    limits.push(
      `${open} ${open === 1 ? 'call' : 'calls'} during the runs gave no value and ${open === 1 ? 'is' : 'are'} not in the table.`,
    );
  const baseless = state.runs.filter((run) => run.baseline === null).map((run) => run.label);
  if (baseless.length > 0)
    limits.push(
      `No baseline was called for run ${baseless.join(', ')}: gas made before the first reading is not known.`,
    );
  limits.push(...notes);
  for (const run of state.runs) {
    const joints = state.joints.filter(({ atMs }) => atMs > run.startedMs && atMs < (run.endedMs ?? state.lastMs));
    for (const joint of joints) limits.push(`Run ${run.label}: ${jointText[joint.why]}`);
  }
  limits.push(...(reaction?.remarks ?? []));
  return limits;
}

const jointText = {
  reload: 'the page was opened anew during the run; times across that moment rest on the device’s clock.',
  'unknown-gap':
    'the page was opened anew during the run and the device’s clock could not be trusted; times across that moment are not known.',
  'clock-doubted': 'the device slept or its clock was set during the run.',
} as const;

/** What happened in a run and before it, a line each; of a pour that was put right there is one line, at its own moment. */
export function happeningsOf(state: NotebookState, run: Run): string[] {
  const replaced = new Set(run.timed.flatMap((timed) => (timed.kind === 'poured' ? (timed.replaces ?? []) : [])));
  return [...run.timed]
    .filter(({ event }) => !replaced.has(event))
    .sort((a, b) => a.timeMs - b.timeMs)
    .map((timed) => happeningText(state, run, timed));
}

/** One timed event as a line: "Run 1, 54.0 s: leak." */
function happeningText(state: NotebookState, run: Run, timed: TimedEvent): string {
  const seconds = (timed.timeMs - zeroOf(run)) / 1000;
  const when = `Run ${run.label}, ${seconds < 0 ? '−' : ''}${Math.abs(seconds).toFixed(1)} s`;
  switch (timed.kind) {
    case 'happened':
      return `${when}: ${timed.what.replace('-', ' ')}.`;
    case 'baseline':
      return `${when}: baseline ${timed.value} mL.`;
    case 'temperature':
      return `${when}: temperature ${timed.value} °C.`;
    case 'poured': {
      const called = replacedBy(state, timed).at(-1);
      const before = called ? ` (put right by hand; ${pourText(state, called)} was understood)` : '';
      return `${when}: poured ${pourText(state, timed)}${before}.`;
    }
    case 'note':
      return `${when}: note: ${timed.text}`;
  }
}

const pourText = (state: NotebookState, { value, solution, reagent }: PouredEvent): string =>
  `${value} mL of ${solution === null ? reagent : solutionName(state, solution)}`;

/** Cautions for doing it again, and who has the last word. */
export function cautionsOf(reaction: Reaction | null): string[] {
  const own = reaction?.cautions ?? [];
  return [
    ...new Set([...own, ...generalCautions].map(({ sentence }) => sentence)),
    'The label on the bottle, local rules and a qualified supervisor come before anything said here.',
  ];
}
