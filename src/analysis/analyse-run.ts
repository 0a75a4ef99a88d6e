import { nth } from '../numerics/nth.ts';
import type { RateEstimate } from './estimate.ts';
import { estimateAll, estimateOne } from './estimate-all.ts';
import { firstOrderFromStart } from './first-order-from-start.ts';
import { ceilingOf, warmingPerS, withLevelHead } from './gas-frame.ts';
import { type Flag, flagOutliers } from './outliers.ts';
import { type Estimates, type Recommendation, recommend } from './recommend.ts';
import { raised } from './rising-head.ts';
import { type EstimatorName, type Measured, type Refused, type RunData, refuse } from './run-data.ts';
import { frameRun, type RunFrame } from './run-frame.ts';
import type { RunModel } from './verdict.ts';

/** Everything computed from one run. */
export interface RunAnalysis {
  readonly ok: true;
  readonly run: RunData;
  readonly frame: RunFrame;
  readonly estimates: Estimates;
  readonly recommended: Recommendation | null;
  /** What is used further on: the person's choice where it could be computed, else the recommended one. */
  readonly used: RateEstimate | null;
  readonly usedBy: 'recommendation' | 'choice' | null;
  readonly flags: readonly Flag[];
  /** The used estimate with every flag dealt with: suggested values taken, the others set aside. Null without flags. */
  readonly withoutFlags: RateEstimate | null;
  /** The used estimate over all readings, none set aside; null when none is. */
  readonly withAll: RateEstimate | null;
  readonly ceilingM3: Measured | null;
  /** The first-order estimate with the curve held to `run.possibleStart`: beside, never in place of, the free one. */
  readonly fromPossibleStart: RateEstimate | null;
  /** Why nothing is recommended, when the volumes fall with time or stay the same. */
  readonly falling: string | null;
  /** How its rate falls, judged together with the other runs; null for a run by itself. */
  readonly model: RunModel | null;
  /** true: the rate is a mean over the run and not a starting rate, because nothing tells how much it fell. */
  readonly meanRate: boolean;
}

export interface AnalysisOptions {
  /** Ea, to correct for a drift of temperature within the run. */
  readonly activationJPerMol?: Measured;
  /** Leave out the search for outliers (inner loops). */
  readonly withoutFlags?: boolean;
  /** Which of the flags to keep: the others are explained by what all runs show together. */
  readonly keepFlag?: (run: RunData, flag: Flag) => boolean;
}

/**
 * One run from readings to rate: three estimates, the recommended one, flags, and the rate with and without them.
 * Never throws on bad readings: a run that cannot be computed is a refusal with a sentence.
 */
export function analyseRun(run: RunData, options: AnalysisOptions = {}): RunAnalysis | Refused {
  const ceilingM3 = ceilingOf(run);
  const warming = warmingPerS(run, options.activationJPerMol);
  const framed = frameRun(run, ceilingM3, undefined, warming);
  if (!framed.ok) return framed;
  const { frame } = framed;
  const gainU = run.gainURelative ?? 0;
  const estimates = estimateAll(frame, gainU);
  const { keepFlag } = options;
  const found = options.withoutFlags ? [] : flagsOf(run, frame, ceilingM3, warming);
  const flags = keepFlag ? found.filter((flag) => keepFlag(run, flag)) : found;
  const falling = fallingSentence(run, frame, estimates);
  const recommended = falling === null ? recommendApart(run, flags, estimates, warming) : null;
  const { used, usedBy } = choose(estimates, recommended, run.chosen);
  return {
    ok: true,
    run,
    frame,
    estimates,
    recommended,
    used,
    usedBy,
    flags,
    withoutFlags: flags.length > 0 && used ? same(applyFlags(run, flags), used.estimator, warming) : null,
    withAll:
      used && run.readings.some((r) => r.setAside !== undefined)
        ? same(withNoneSetAside(run), used.estimator, warming)
        : null,
    ceilingM3,
    fromPossibleStart: fromPossibleStart(run, frame, gainU),
    falling,
    model: null,
    meanRate: used?.at === 'whole-run',
  };
}

/** Flags look at the readings as they were called: marks a step apart, numbers that sound alike. */
function flagsOf(run: RunData, frame: RunFrame, ceilingM3: Measured | null, warming: number): readonly Flag[] {
  if (!frame.head) return flagOutliers(run, frame);
  const asCalled = frameRun(withLevelHead(run), ceilingM3, undefined, warming);
  return asCalled.ok ? flagOutliers(run, asCalled.frame) : [];
}

function fromPossibleStart(run: RunData, frame: RunFrame, gainU: number): RateEstimate | null {
  const { possibleStart } = run;
  if (!possibleStart) return null;
  const start = (possibleStart.timeS - frame.firstTimeS) / frame.timeScaleS;
  const { volumeM3 } = possibleStart;
  const startM3 = frame.head ? raised(frame.head, volumeM3) : volumeM3;
  const baseline = { value: (startM3 - frame.firstM3) / frame.volumeScaleM3, u: frame.baseline?.u ?? 0 };
  const estimate = firstOrderFromStart(frame, start, baseline, gainU);
  return estimate.ok ? estimate : null;
}

/**
 * The recommendation, judged without the flagged readings: a surge at the start or a late last call looks like a bend,
 * and is none. The readings stay in the rate until the person sets them aside.
 */
function recommendApart(
  run: RunData,
  flags: readonly Flag[],
  estimates: Estimates,
  warming: number,
): Recommendation | null {
  if (flags.length === 0) return recommend(estimates);
  const settled = applyFlags(run, flags);
  const framed = frameRun(settled, ceilingOf(settled), undefined, warming);
  const apart = framed.ok ? recommend(estimateAll(framed.frame, run.gainURelative ?? 0)) : null;
  if (!apart || !estimates[apart.name].ok) return recommend(estimates);
  const which = flags.length === 1 ? 'the flagged reading' : `the ${flags.length} flagged readings`;
  const still = flags.length === 1 ? 'It still counts' : 'They still count';
  return {
    name: apart.name,
    reason: `Judged with ${which} put right or left out: ${apart.reason} ${still} in the rate until dealt with.`,
  };
}

/** A sentence when the volumes stay the same, or fall with time beyond chance or at every reading; null when they do not. */
function fallingSentence(run: RunData, frame: RunFrame, { line }: Estimates): string | null {
  if (frame.v.every((v) => v === frame.v[0]))
    return `The volumes of run ${run.label} do not change, so no gas came and no rate is recommended. Look for a loose stopper or a blocked tube, or wait for the reaction to begin.`;
  if (!line.ok || !(line.rateM3PerS < 0)) return null;
  const always = frame.v.every((v, i) => i === 0 || v <= nth(frame.v, i - 1));
  if (!always && !(line.high95 < 0)) return null;
  return `The volumes of run ${run.label} fall with time, which displaced gas cannot do: no starting rate is recommended. Look whether the volume left was called instead, or times were mixed up.`;
}

/** The run's rate by one estimator and nothing else: for moving inputs through the chain. */
export function rateOnly(
  run: RunData,
  estimator: EstimatorName,
  activationJPerMol: Measured | null,
): RunAnalysis | Refused {
  const ceilingM3 = ceilingOf(run);
  const framed = frameRun(run, ceilingM3, undefined, warmingPerS(run, activationJPerMol ?? undefined));
  if (!framed.ok) return framed;
  const notAsked = refuse('no-spread', 'Not asked for.');
  const one = estimateOne(framed.frame, run.gainURelative ?? 0, estimator);
  if (!one.ok) return one;
  return {
    ok: true,
    run,
    frame: framed.frame,
    estimates: { line: notAsked, quadratic: notAsked, firstOrder: notAsked, [estimator]: one },
    recommended: null,
    used: one,
    usedBy: 'choice',
    flags: [],
    withoutFlags: null,
    withAll: null,
    ceilingM3,
    fromPossibleStart: null,
    falling: null,
    model: null,
    meanRate: one.at === 'whole-run',
  };
}

function choose(
  estimates: Estimates,
  recommended: Recommendation | null,
  chosen: EstimatorName | undefined,
): Pick<RunAnalysis, 'used' | 'usedBy'> {
  const own = chosen ? estimates[chosen] : null;
  if (own?.ok) return { used: own, usedBy: 'choice' };
  const best = recommended ? estimates[recommended.name] : null;
  return best?.ok ? { used: best, usedBy: 'recommendation' } : { used: null, usedBy: null };
}

/** The run with every flag dealt with: suggested values taken, readings without a suggestion set aside. */
export function applyFlags(run: RunData, flags: readonly Flag[]): RunData {
  const byIndex = new Map(flags.map((flag) => [flag.index, flag]));
  return {
    ...run,
    readings: run.readings.map((reading, i) => {
      const flag = byIndex.get(i);
      if (!flag) return reading;
      return flag.suggestedM3 === undefined
        ? { ...reading, setAside: flag.cause }
        : { ...reading, volumeM3: flag.suggestedM3 };
    }),
  };
}

function withNoneSetAside(run: RunData): RunData {
  return { ...run, readings: run.readings.map(({ setAside: _, ...reading }) => reading) };
}

/** The same estimator over other readings; where it cannot be had there, the recommended one. */
function same(run: RunData, estimator: EstimatorName, warming: number): RateEstimate | null {
  const framed = frameRun(run, ceilingOf(run), undefined, warming);
  if (!framed.ok) return null;
  const estimate = estimateOne(framed.frame, run.gainURelative ?? 0, estimator);
  if (estimate.ok) return estimate;
  const all = estimateAll(framed.frame, run.gainURelative ?? 0);
  return choose(all, recommend(all), undefined).used;
}
