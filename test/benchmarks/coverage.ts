import { fileURLToPath } from 'node:url';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { analyseRun, applyFlags, type RunAnalysis } from '../../src/analysis/analyse-run.ts';
import type { RateEstimate } from '../../src/analysis/estimate.ts';
import type { Experiment, RunData } from '../../src/analysis/run-data.ts';
import {
  peroxideIodide,
  type SimulatedTruth,
  type SimulationErrors,
  type SimulationPlan,
  simulateExperiment,
  usualErrors,
} from '../../src/analysis/simulate.ts';
import { createRandom } from '../../src/numerics/random.ts';

/**
 * Does a stated 95 % interval contain the truth 95 times in 100? Simulated experiments with known truth: rate law and
 * constant of Liebhafsky and Mohammad (1933), eleven readings a run, three runs, errors of time, reading, scale, pours,
 * stocks, thermometer and barometer as in `usualErrors`. Prints figures; never fails.
 */
export interface CoverageRow {
  readonly what: string;
  readonly value: number;
  /** Number of trials behind it. */
  readonly of: number;
  /** What is aimed at, in words. */
  readonly aim: string;
}

export interface CoverageTable {
  readonly title: string;
  readonly experiments: number;
  readonly rows: readonly CoverageRow[];
}

export interface Scenario {
  readonly title: string;
  readonly plan: SimulationPlan;
  readonly errors: SimulationErrors;
  /** What the analysis is not told. */
  readonly hide?: 'uncertainties' | 'ceiling' | 'both';
  /** Only the runs, not the rate law. */
  readonly runsOnly?: boolean;
}

/** The classroom case with less of the reagent used up: 22 mL of about 120. */
const shallow: SimulationPlan = {
  ...peroxideIodide,
  runs: [
    { label: '1', concentrations: { H2O2: 380, 'I-': 30 } },
    { label: '2', concentrations: { H2O2: 760, 'I-': 30 } },
    { label: '3', concentrations: { H2O2: 380, 'I-': 60 } },
  ],
};

export const scenarios: readonly Scenario[] = [
  { title: 'clean runs', plan: peroxideIodide, errors: usualErrors },
  {
    title: 'one run in three has a misheard value, suggestions taken',
    plan: peroxideIodide,
    errors: { ...usualErrors, misheard: 1 / 3 },
  },
  { title: 'clean runs, little used up', plan: shallow, errors: usualErrors },
  {
    title: 'clean runs, the caller half as good again as thought',
    plan: peroxideIodide,
    errors: { ...usualErrors, toldTime: 1 / 1.5, toldVolume: 1 / 1.5 },
  },
  {
    title: 'clean runs, uncertainties not told (as from a table)',
    plan: peroxideIodide,
    errors: usualErrors,
    hide: 'uncertainties',
    runsOnly: true,
  },
  {
    title: 'a misheard value in one run of three, uncertainties not told',
    plan: peroxideIodide,
    errors: { ...usualErrors, misheard: 1 / 3 },
    hide: 'uncertainties',
    runsOnly: true,
  },
  {
    title: 'clean runs, neither uncertainties nor ceiling told',
    plan: peroxideIodide,
    errors: usualErrors,
    hide: 'both',
    runsOnly: true,
  },
  {
    title: 'a missed or doubled mark in every run',
    plan: peroxideIodide,
    errors: { ...usualErrors, missedMark: 1 },
    runsOnly: true,
  },
  {
    title: 'a late call (two fifths of a step) in every run',
    plan: peroxideIodide,
    errors: { ...usualErrors, lateCall: 1 },
    runsOnly: true,
  },
  { title: 'a leak in every run', plan: peroxideIodide, errors: { ...usualErrors, leak: 1 }, runsOnly: true },
];

class Tally {
  private readonly sums = new Map<string, { sum: number; of: number; aim: string }>();
  add(what: string, value: number | boolean, aim = ''): void {
    const entry = this.sums.get(what) ?? { sum: 0, of: 0, aim };
    entry.sum += Number(value);
    entry.of += 1;
    this.sums.set(what, entry);
  }
  rows(): CoverageRow[] {
    return [...this.sums].map(([what, { sum, of, aim }]) => ({ what, value: sum / of, of, aim }));
  }
}

const within = (truth: number, interval: { low95: number | null; high95: number | null }): boolean =>
  interval.low95 !== null && interval.high95 !== null && truth >= interval.low95 && truth <= interval.high95;

const between = '0.94 to 0.96';

/** Simulates `experiments` experiments of a scenario and counts. Cost: some 30 ms an experiment. */
export function coverageTable(
  scenario: Scenario = scenarios[0]!,
  experiments = 2000,
  seed = 'coverage',
): CoverageTable {
  const random = createRandom(`${seed} ${scenario.title}`);
  const tally = new Tally();
  for (let e = 0; e < experiments; e++) {
    const { experiment, truth } = simulateExperiment(scenario.plan, scenario.errors, random);
    const told = experiment.runs.map((run) => hidden(run, scenario.hide));
    const settled = told.map((run, i) => judgeRun(run, truth.runs[i]!, tally));
    if (!scenario.runsOnly) judgeLaw({ ...experiment, runs: settled }, truth, tally);
  }
  return { title: scenario.title, experiments, rows: tally.rows() };
}

function hidden(run: RunData, hide: Scenario['hide']): RunData {
  if (hide === undefined) return run;
  const { gas, ...rest } = run;
  return {
    ...rest,
    ...(gas && hide === 'uncertainties' ? { gas } : {}),
    ...(hide === 'ceiling' ? {} : { uStated: false }),
  };
}

type RunTruth = SimulatedTruth['runs'][number];

/** Counts for one run; returns the run as the person would leave it: every flag's suggestion taken. */
function judgeRun(run: RunData, truth: RunTruth, tally: Tally): RunData {
  const first = analyseRun(run);
  if (!first.ok) {
    tally.add('runs refused', 1);
    return run;
  }
  judgeFlags(first, truth, tally);
  const settled = first.flags.length > 0 ? applyFlags(run, first.flags) : run;
  const analysis = first.flags.length > 0 ? analyseRun(settled, { withoutFlags: true }) : first;
  if (!analysis.ok || !analysis.used) {
    tally.add('runs refused', 1);
    return run;
  }
  const { used, estimates } = analysis;
  tally.add('coverage of the recommended rate', covers(used, truth), between);
  tally.add('bias of the recommended rate', used.rateM3PerS / target(used, truth) - 1, 'below 0.01 either way');
  tally.add('u of the recommended rate, relative', used.u / used.rateM3PerS);
  for (const [name, words] of [
    ['line', 'straight line'],
    ['quadratic', 'parabola'],
    ['firstOrder', 'first order'],
  ] as const) {
    const estimate = estimates[name];
    if (!estimate.ok) continue;
    tally.add(`bias of the ${words} as starting rate`, estimate.rateM3PerS / target(estimate, truth) - 1);
    if (name !== 'line') tally.add(`coverage of the ${words}`, covers(estimate, truth));
  }
  return settled;
}

/** The true value of what an estimate claims: the starting rate, or the slope at the first reading. */
const target = (estimate: RateEstimate, truth: RunTruth): number =>
  estimate.at === 'first-reading' ? truth.firstReadingM3PerS : truth.zeroGasM3PerS;

const covers = (estimate: RateEstimate, truth: RunTruth): boolean => within(target(estimate, truth), estimate);

function judgeFlags(analysis: RunAnalysis, truth: RunTruth, tally: Tally): void {
  const { flags } = analysis;
  const { misheard, shiftedFrom, late, leakFrom } = truth;
  if (misheard) {
    const flag = flags.find(({ index }) => index === misheard.index);
    tally.add('power: misheard value flagged', flag !== undefined, '0.99 or more');
    tally.add('cause right: misheard', flag?.cause === 'misheard', '0.95 or more');
    tally.add(
      'suggested value right',
      flag?.suggestedM3 !== undefined && Math.abs(flag.suggestedM3 - misheard.trueM3) < 1e-9,
    );
    tally.add(
      'other readings flagged as well',
      flags.some(({ index }) => index !== misheard.index),
    );
  } else if (shiftedFrom !== null) {
    tally.add(
      'power: shifted marks flagged',
      flags.some(({ cause }) => cause === 'shifted-mark'),
    );
    tally.add('first shifted reading right', flags[0]?.cause === 'shifted-mark' && flags[0].index === shiftedFrom);
  } else if (late !== null) {
    const flag = flags.find(({ index }) => index === late);
    tally.add('power: late call flagged', flag !== undefined);
    tally.add('cause right: late call', flag?.cause === 'late-call');
  } else if (leakFrom !== null) {
    tally.add('power: leak flagged', flags.length > 0);
    tally.add(
      'cause right: slow-down',
      flags.some(({ cause }) => cause === 'slow-down'),
    );
  } else {
    tally.add('clean runs with any flag', flags.length > 0, '0.05 or less');
  }
}

function judgeLaw(experiment: Experiment, truth: SimulatedTruth, tally: Tally): void {
  const { law, whole } = analyseExperiment(experiment, { withoutFlags: true });
  const k = truth.k * 1000;
  if (law.ok) {
    for (const [name, order] of Object.entries(law.orders)) {
      tally.add(`coverage of the order in ${name}, table of rates`, within(truth.orders[name]!, order), between);
      tally.add(`u of the order in ${name}, table of rates`, order.u);
    }
    tally.add(
      'true orders accepted',
      Object.entries(truth.orders).every(([n, x]) => law.accepted?.orders[n] === x),
    );
    if (law.accepted) {
      tally.add('coverage of k at accepted orders, table of rates', within(k, law.accepted), between);
      tally.add('bias of k, table of rates', law.accepted.k / k - 1);
    }
  } else tally.add('rate laws refused', 1);
  if (whole.ok) {
    for (const [name, order] of Object.entries(whole.orders)) {
      tally.add(`coverage of the order in ${name}, all readings`, within(truth.orders[name]!, order), between);
      tally.add(`u of the order in ${name}, all readings`, order.u);
    }
    tally.add('coverage of k with orders free, all readings', within(k, whole), between);
    if (whole.accepted) {
      tally.add('coverage of k at accepted orders, all readings', within(k, whole.accepted), between);
      tally.add('bias of k, all readings', whole.accepted.k / k - 1);
      tally.add('u of k, all readings, relative', whole.accepted.u / whole.accepted.k);
    }
  } else tally.add('fits of all readings refused', 1);
}

/** A table as plain text; a coverage is shown with the standard error of a count. */
export function tableText({ title, experiments, rows }: CoverageTable): string {
  const lines = rows.map(({ what, value, of, aim }) => {
    const error = value >= 0 && value <= 1 && of > 1 ? Math.sqrt((value * (1 - value)) / of) : null;
    const isShare = error !== null && !/^(bias|u) of/.test(what);
    return `  ${what.padEnd(58)} ${value.toFixed(4).padStart(8)}${isShare ? ` ± ${error.toFixed(4)}` : '         '}  n=${of}${aim ? `  (aim: ${aim})` : ''}`;
  });
  return [`${title} (${experiments} experiments)`, ...lines].join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const quick = process.argv.includes('--quick');
  const only = process.argv.find((argument) => argument.startsWith('--only='))?.slice(7);
  for (const scenario of scenarios) {
    if (only && !scenario.title.includes(only)) continue;
    const begun = performance.now();
    const table = coverageTable(scenario, quick ? 100 : 2000, 'coverage');
    console.log(tableText(table));
    console.log(`  ${((performance.now() - begun) / table.experiments).toFixed(1)} ms an experiment\n`);
  }
}
