import { DegenerateData, OutOfRange } from './errors.ts';
import { nth } from './nth.ts';
import { createRandom, type Random } from './random.ts';

/**
 * Propagation of distributions by simulation (JCGM 101:2008): draw the inputs, compute the results, look at what came
 * out. For any number of results at once (rate, orders, k).
 */
export interface MonteCarloTask {
  /** One draw: takes its inputs from `random`, returns the results, always in the same order; null: no result. */
  readonly draw: (random: Random) => readonly number[] | null;
  /** Stored in the notebook; the same seed gives the same digits whatever the chunk size. */
  readonly seed: string | number;
  /** JCGM 101 suggests 10^6 for two reliable digits at 95 %. */
  readonly draws: number;
  /** Of the intervals, default 0.95. */
  readonly coverage?: number;
  /** Draws between two reports of progress. Default 1000. */
  readonly chunk?: number;
}

export interface Simulated {
  readonly mean: number;
  /** Standard deviation of the draws: the standard uncertainty. */
  readonly u: number;
  /** Interval with equal probability left out on either side. */
  readonly symmetric: readonly [low: number, high: number];
  /** Shortest interval of the given coverage. */
  readonly shortest: readonly [low: number, high: number];
  readonly median: number;
}

export interface MonteCarloResult {
  readonly results: readonly Simulated[];
  /** Draws that gave a result. */
  readonly draws: number;
  /** Draws without one (a fit that did not settle): left out, and said. */
  readonly failed: number;
}

/**
 * The simulation in steps: yields the share done (0..1) after every chunk; the caller may stop by not going on. Cost:
 * 8 bytes a result and draw.
 * @throws DegenerateData when fewer than 100 draws give a result
 * @example
 * const steps = simulate({ draw: (random) => [random.normal(10, 1)], seed: 'example', draws: 1000, chunk: 500 });
 * steps.next().value // => 0.5
 */
export function* simulate(task: MonteCarloTask): Generator<number, MonteCarloResult, void> {
  const { draws, chunk = 1000, coverage = 0.95 } = task;
  if (!Number.isInteger(draws) || draws < 100 || draws > 2e7) {
    throw new OutOfRange('A simulation needs from 100 to 20 million draws.', `${draws}`);
  }
  if (!(coverage > 0 && coverage < 1)) throw new OutOfRange('A coverage lies between 0 and 1.', `${coverage}`);
  const random = createRandom(task.seed);
  const columns: Float64Array[] = [];
  let kept = 0;
  for (let i = 0; i < draws; i++) {
    const results = task.draw(random);
    if (results?.every(Number.isFinite)) {
      for (let j = 0; j < results.length; j++) {
        columns[j] ??= new Float64Array(draws);
        nth(columns, j)[kept] = nth(results, j);
      }
      kept += 1;
    }
    if ((i + 1) % chunk === 0 && i + 1 < draws) yield (i + 1) / draws;
  }
  if (kept < 100) throw new DegenerateData('The simulation gave no results to judge by.', `${kept} of ${draws}`);
  const results: Simulated[] = [];
  for (const column of columns) {
    results.push(summarise(column.subarray(0, kept), coverage));
    // Sorting a million numbers takes a moment: a chance to stop in between.
    yield 1;
  }
  return { results, draws: kept, failed: draws - kept };
}

/**
 * The simulation with pauses, for a worker: between chunks it reports the share done, lets messages in, and stops when
 * `signal` is aborted (rejects with the signal's reason).
 * @example
 * const task = { draw: (random) => [random.normal(10, 1)], seed: 'example', draws: 1000 };
 * (await simulateWithPauses(task, () => {})).draws // => 1000
 */
export async function simulateWithPauses(
  task: MonteCarloTask,
  onProgress: (share: number) => void,
  signal?: AbortSignal,
): Promise<MonteCarloResult> {
  const steps = simulate(task);
  for (;;) {
    signal?.throwIfAborted();
    const step = steps.next();
    if (step.done) return step.value;
    onProgress(step.value);
    await new Promise((resolve) => setTimeout(resolve));
  }
}

/**
 * Mean, standard deviation and both intervals of drawn values.
 * Source: JCGM 101:2008, 7.6 and 7.7. @param values sorted in place
 * @example
 * summarise(Float64Array.of(1, 2, 3, 4, 5)).median // => 3
 */
export function summarise(values: Float64Array, coverage = 0.95): Simulated {
  const m = values.length;
  let mean = 0;
  for (const value of values) mean += value / m;
  let squares = 0;
  for (const value of values) squares += (value - mean) ** 2;
  values.sort();
  // 7.7.1: q of the draws lie in the interval; 7.7.2: symmetric from rank (M - q)/2.
  const q = Math.min(m - 1, Math.floor(coverage * m + 0.5));
  const first = Math.floor((m - q + 1) / 2) - (m - q > 0 ? 1 : 0);
  const low = Math.max(0, Math.min(m - 1 - q, first));
  let best = 0;
  for (let r = 1; r + q < m; r++) {
    if (nth(values, r + q) - nth(values, r) < nth(values, best + q) - nth(values, best)) best = r;
  }
  const half = m >> 1;
  return {
    mean,
    u: Math.sqrt(squares / (m - 1)),
    symmetric: [nth(values, low), nth(values, low + q)],
    shortest: [nth(values, best), nth(values, best + q)],
    median: m % 2 === 1 ? nth(values, half) : (nth(values, half - 1) + nth(values, half)) / 2,
  };
}
