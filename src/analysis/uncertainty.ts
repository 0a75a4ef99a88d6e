import { type MonteCarloResult, type Simulated, simulateWithPauses } from '../numerics/monte-carlo.ts';
import { held, named, nth } from '../numerics/nth.ts';
import type { Random } from '../numerics/random.ts';
import { lawRows, settingOf } from './analyse-experiment.ts';
import { rateOnly } from './analyse-run.ts';
import { bare, uncertainInputs } from './inputs.ts';
import type { EstimatorName, Experiment } from './run-data.ts';
import { type WholeFitOptions, wholeFit } from './whole-fit.ts';

/** What is decided before the draws, and stays as it is in all of them. */
export interface ChainChoice {
  /** Estimator of each run, by label. */
  readonly estimators: Readonly<Record<string, EstimatorName>>;
  /** Orders at which k is computed. */
  readonly orders: Readonly<Record<string, number>>;
  /** Factor by which each run's readings really scattered, over what was stated, by label (`Scatter.scale`). */
  readonly scatter: Readonly<Record<string, number>>;
  /** What the curves chosen for all runs together do to each rate, by label, and to k of the whole fit; absent: nothing. */
  readonly curves?: {
    readonly rates: Readonly<Record<string, CurveEffect>>;
    readonly whole: CurveEffect;
    /** Of the whole fit: held-back gas to start from, s, and the activation energy by which a drift may tell, J/mol. */
    readonly fit: Pick<WholeFitOptions, 'lagStartS' | 'activationJPerMol'>;
  };
}

/** A curve that allows for another order, warming or held-back gas against the plain one. */
export interface CurveEffect {
  /** Of the rate over that of the plain curve. */
  readonly factor: number;
  /** Relative standard uncertainty that not knowing the curve adds, the same error in all runs. */
  readonly u: number;
}

export interface ChainTask {
  readonly experiment: Experiment;
  readonly choice: ChainChoice;
  readonly seed: number;
  readonly draws: number;
}

/** The chain's results: rates in m3/s by run, and k (mol, L, s; or volume) from the rates and from all readings. */
export interface ChainResult {
  readonly rates: readonly { readonly label: string; readonly result: Simulated }[];
  readonly k: Simulated | null;
  readonly kWhole: Simulated | null;
  readonly draws: number;
  readonly failed: number;
  readonly seed: number;
}

/**
 * Monte Carlo through the whole chain (JCGM 101): in every draw each reading's moment and volume, the cylinder's scale,
 * every pour, every stock, baseline, temperature, pressure and activation energy get an error of their own size, and the
 * run rates, the rate law's k and the fit of all readings are computed anew with the estimators and orders that were
 * chosen. Scale, stocks, thermometer and barometer err alike in all runs.
 *
 * Reading errors have the size that the scatter showed: sqrt((8 + S)/(8 + df)) of the stated, t-distributed, because
 * that size is itself known from few readings only.
 *
 * @param onProgress share done, 0..1
 * @param signal to stop
 * Cost: about 1 ms a draw for three runs. The same seed gives the same digits.
 */
export async function propagateByDraws(
  task: ChainTask,
  onProgress: (share: number) => void = () => {},
  signal?: AbortSignal,
): Promise<ChainResult> {
  const { experiment, choice } = task;
  const labels = experiment.runs.map((run) => run.label).filter((label) => choice.estimators[label] !== undefined);
  const setting = settingOf(experiment);
  const inputs = uncertainInputs(experiment);
  const withLaw = Object.keys(choice.orders).length > 0;
  const options: WholeFitOptions = { ...choice.curves?.fit, fixed: choice.orders, pace: setting.pace };
  const near = withLaw ? wholeFit(experiment.runs, options) : null;
  const withWhole = near?.ok === true;
  const draw = (random: Random): number[] | null => {
    const drawn = drawExperiment(experiment, choice, inputs, random);
    const rates: number[] = [];
    const bend = random.normal();
    const runOf = new Map(drawn.runs.map((run) => [run.label, run]));
    const analysed = labels.map((label) => {
      const run = held(runOf, label);
      const one = rateOnly(run, named(choice.estimators, label), setting.activationJPerMol);
      const by = effectOf(choice.curves?.rates[label], bend);
      return one.ok && one.used ? { ...one, used: { ...one.used, rateM3PerS: one.used.rateM3PerS * by } } : one;
    });
    for (const one of analysed) rates.push(one.ok && one.used ? one.used.rateM3PerS : Number.NaN);
    if (!withLaw) return rates;
    const k = meanK(lawRows(analysed, setting), choice.orders);
    if (!withWhole) return [...rates, k];
    // With a lag a fit takes ten times as long, and one step from the answer is near enough.
    const whole = wholeFit(drawn.runs, { ...options, ...(near?.ok && near.lag ? { near } : {}) });
    return [...rates, k, whole.ok ? whole.k * effectOf(choice.curves?.whole, bend) : Number.NaN];
  };
  const result: MonteCarloResult = await simulateWithPauses(
    { draw, seed: task.seed, draws: task.draws, chunk: 100 },
    onProgress,
    signal,
  );
  return {
    rates: labels.map((label, i) => ({ label, result: nth(result.results, i) })),
    k: withLaw ? nth(result.results, labels.length) : null,
    kWhole: withWhole ? nth(result.results, labels.length + 1) : null,
    draws: result.draws,
    failed: result.failed,
    seed: task.seed,
  };
}

const effectOf = (effect: CurveEffect | undefined, z: number): number =>
  effect ? effect.factor * Math.exp(z * effect.u) : 1;

function drawExperiment(
  experiment: Experiment,
  choice: ChainChoice,
  inputs: ReturnType<typeof uncertainInputs>,
  random: Random,
): Experiment {
  let drawn = experiment;
  for (const input of inputs) drawn = input.move(drawn, random.normal());
  return {
    ...drawn,
    runs: drawn.runs.map((run) => {
      const scale = (choice.scatter[run.label] ?? 1) * studentStretch(run.readings.length, random);
      const stripped = bare(run);
      return {
        ...stripped,
        readings: stripped.readings.map((reading) =>
          reading.setAside === undefined
            ? {
                ...reading,
                timeS: reading.timeS + random.normal(0, reading.uTimeS * scale),
                volumeM3: reading.volumeM3 + random.normal(0, reading.uVolumeM3 * scale),
              }
            : reading,
        ),
      };
    }),
  };
}

/** sqrt(df/chi-square) with the pooled degrees of freedom (8 stated, n - 2 seen): makes the draws t-distributed. */
function studentStretch(readings: number, random: Random): number {
  const df = 8 + Math.max(0, readings - 2);
  let sum = 0;
  for (let i = 0; i < df && i < 60; i++) sum += random.normal() ** 2;
  return Math.sqrt(Math.min(df, 60) / sum);
}

/** Mean of ln k over the rows, at given orders; the rows weigh alike, which the linear result shows to be near enough. */
function meanK(rows: ReturnType<typeof lawRows>, orders: Readonly<Record<string, number>>): number {
  let sum = 0;
  for (const row of rows) {
    sum += Math.log(row.rate);
    for (const [name, order] of Object.entries(orders))
      sum -= order * Math.log(row.concentrations[name]?.value ?? Number.NaN);
  }
  return Math.exp(sum / rows.length);
}
