import { fisherUpperTail } from '../numerics/distributions.ts';
import { relativeLikelihoods } from '../numerics/information-criterion.ts';
import { nth } from '../numerics/nth.ts';
import { applyFlags, type RunAnalysis } from './analyse-run.ts';
import { type Course, conversionTime, momentsOf } from './course.ts';
import type { RateEstimate } from './estimate.ts';
import { type CourseFit, fitCourses, startPace } from './fit-courses.ts';
import { ceilingOf } from './gas-frame.ts';
import { juryOf } from './jury.ts';
import { nothingBends } from './recommend.ts';
import type { Refused, RunData } from './run-data.ts';
import { combineContributions, halfWidth95, judgeScatter, type Scatter } from './scatter.ts';
import {
  canTie,
  isTold,
  mostGas,
  speciesThatTie,
  type Tie,
  tempered,
  tiesOf,
  unstated,
  withFittedCeilings,
  withTriedCeilings,
} from './tied-ceilings.ts';
import type { RateForm } from './verdict.ts';
import { usualActivationJPerMol, warmingOf, warmingPrecision } from './warming.ts';
import { pointsOf, type RunPoints, type WholePoints, wholePoints } from './whole-points.ts';

/** How the rate falls within the runs: with the power `order` of what is left of the limiting reagent. */
export interface WithinOrder {
  readonly order: number;
  /** With what a wrong ceiling does. */
  readonly u: number;
  /** From the readings alone. */
  readonly uReadings: number;
  readonly df: number;
  readonly form: RateForm;
  /** Akaike weight of the curves with the fitted power against those of first order, 0..1. */
  readonly weight: number;
  /** Gas held back at first: time constant of its release, one for all runs; null where none shows. */
  readonly lag: { readonly seconds: number; readonly u: number } | null;
  /** Akaike weight of the curves with such a lag, 0..1. */
  readonly lagWeight: number;
  /** Labels of the runs that it comes from. */
  readonly runs: readonly string[];
  /** Of each of them, the starting rate over the curves tried. */
  readonly rates: ReadonlyMap<string, StartingRate>;
  /** Of runs with flagged readings, the same with every flag dealt with. */
  readonly settled: ReadonlyMap<string, StartingRate>;
}

/** A run's rate at zero gas, averaged over the curves by their Akaike weights. */
export interface StartingRate {
  readonly rateM3PerS: number;
  /** From the readings and from not knowing the curve. */
  readonly uReadings: number;
  /** The part of it that all runs share: not knowing the curve. */
  readonly uCurve: number;
  readonly df: number;
  /** About the best curve. */
  readonly scatter: Scatter;
  /** Reading minus that curve, m3, in the order of the run's readings that count. */
  readonly residualsM3: readonly number[];
  readonly course: Course;
  /** Moment of mixing on the run's own clock, s. */
  readonly mixedS: number;
  readonly ceilingM3: number;
}

/** One species stands for the limiting reagent, at 1 mol/L: only the fall of the rate is looked at here. */
const stand = 'limiting';

const alone = (run: RunData): RunData => {
  const ceiling = ceilingOf(run);
  return {
    ...run,
    concentrations: { [stand]: { value: 1000, u: 0, uCommonRelative: 0 } },
    ...(ceiling ? { ceilingM3: ceiling } : {}),
  };
};

/** The run's curve to its known or tied ceiling, where the person did not choose another estimate. */
function toCeiling({ estimates: { firstOrder }, used, usedBy }: RunAnalysis): RateEstimate | null {
  if (!used || (usedBy === 'choice' && used.estimator !== 'firstOrder')) return null;
  return firstOrder.ok && firstOrder.ceilingM3 && firstOrder.ceilingM3.from !== 'fitted' ? firstOrder : null;
}

/** Fewer readings tell neither bend nor scatter. */
const leastReadings = 3;

interface Candidate {
  readonly freeOrder: boolean;
  readonly lag: boolean;
  /** Power where it is not fitted; 1 unless given. */
  readonly order?: number;
  /** Reagent by whose amounts the ceilings of all runs are tied, their common factor fitted; absent: ceilings are given. */
  readonly tiedBy?: string;
  /** Each run has a bend of its own, from this one on, whatever its amounts: what tied ceilings are tested against. */
  readonly apartFrom?: number;
}

const candidates: readonly Candidate[] = [
  { freeOrder: false, lag: false },
  { freeOrder: true, lag: false },
  { freeOrder: false, lag: true },
  { freeOrder: true, lag: true },
];

/**
 * With an unknown ceiling its factor takes the place of the power: a fall of the rate is told, not what share of the reagent it
 * is. First and second order fall alike at the start, and not quite alike further on.
 */
const tiedCandidates = (species: readonly string[]): readonly Candidate[] =>
  species.flatMap((tiedBy) =>
    [1, 2].flatMap((order) => [false, true].map((lag) => ({ freeOrder: false, lag, order, tiedBy }))),
  );

interface Fitted extends Candidate {
  readonly fit: CourseFit;
  readonly weight: number;
}

/**
 * The power with which the rate falls within the runs, and whether gas is held back at first, one for all of them: the
 * runs that have a baseline and a ceiling are fitted together, each with a rate of its own, with first order and with a
 * fitted power, with and without a lag; the four are weighed by AICc. A reaction of another order, saturation, warming,
 * a leak and gas that is held back all show here, whatever the runs say together. Where the ceilings are tied, their
 * common factor is fitted in place of the power.
 * @returns null where no run tells
 */
export function withinOrder(
  runs: readonly (RunAnalysis | Refused)[],
  activationJPerMol: number = usualActivationJPerMol,
): WithinOrder | null {
  const able = runs.flatMap((analysis) => {
    if (!analysis.ok || !toCeiling(analysis)) return [];
    if (analysis.frame.index.length < leastReadings || analysis.run.startS !== undefined) return [];
    return startPaceOf(analysis.run) === null ? [] : [analysis];
  });
  if (able.length === 0) return null;
  // A reading that is off must not bend the curve of all the others.
  const points = wholePoints(
    able.map(({ run, flags }) => alone(applyFlags(run, flags))),
    stand,
  );
  if (!points.ok || points.runs.some((one) => one.times.length < 2)) return null;
  const tiedBy = able.find(({ run }) => run.ceilingTiedBy !== undefined)?.run.ceilingTiedBy;
  const fitted = weighed(points, activationJPerMol, tiedBy === undefined ? null : tiesOf(able.map(({ run }) => run)));
  const order = powerOf(fitted);
  if (!order) return null;
  const dealtWith = able.map(({ run }, r) => [run.label, startingRate(points, fitted, r)] as const);
  const rates = new Map(
    able.map(({ run, flags }, r) => {
      const settled = nth(dealtWith, r)[1];
      const own = flags.length > 0 ? asItStands(run, fitted, r) : null;
      return [run.label, own ? onSameCurve(own, settled) : settled] as const;
    }),
  );
  const settled = new Map(dealtWith.filter((_, r) => nth(able, r).flags.length > 0));
  const u = Math.hypot(order.u, ceilingShare(runs, order.value));
  return {
    order: order.value,
    u,
    uReadings: order.u,
    df: order.df,
    form: formOf(order.value, u),
    weight: sumOf(fitted.filter(({ freeOrder }) => freeOrder)),
    lag: lagOf(fitted),
    lagWeight: sumOf(fitted.filter(({ lag }) => lag)),
    runs: able.map(({ run }) => run.label),
    rates,
    settled,
  };
}

/**
 * Beyond this share of the ceiling that a run shows by itself, a tied ceiling is not to be trusted: near the end a small error
 * of a volume is a large one of the time at which it was reached, and one of a ceiling still more. The run needs no help either.
 */
const mostShare = 0.9;

function nearItsEnd({ estimates: { firstOrder }, run }: RunAnalysis): boolean {
  const ceiling = firstOrder.ok ? firstOrder.ceilingM3?.value : undefined;
  return ceiling !== undefined && mostGas(run) > mostShare * ceiling;
}

/** What starting amounts tell of the ceilings, see `tieCeilings`. */
export type Ties = ReadonlyMap<RunData, RunData> | 'bends-differ' | null;

/**
 * The runs with ceilings that are tied by their starting amounts, see `tied-ceilings.ts`; null where they have their own, or
 * nothing can be told of them; 'bends-differ' where the readings speak against such ceilings. Where what is used up is not
 * known and the readings speak against every stated reagent, a reagent that nobody stated may be the same in all runs.
 * @param runs as they were analysed without a ceiling
 * @param withoutUnstated leaves such a reagent out
 */
export function tieCeilings(
  runs: readonly (RunAnalysis | Refused)[],
  activationJPerMol: number = usualActivationJPerMol,
  withoutUnstated = false,
): Ties {
  const able = runs.flatMap((one) => (one.ok && one.used && one.falling === null ? [one] : []));
  const given = able.map(({ run }) => run);
  const [species] = speciesThatTie(given);
  if (species === undefined || !canTie(given) || able.some(nearItsEnd)) return null;
  const byStated = tieBy(species, able, activationJPerMol);
  if (byStated !== 'bends-differ' || given.some(({ gas, limits }) => gas ?? limits?.limiting)) return byStated;
  return withoutUnstated || equalRunsDiffer(able) ? byStated : (tieBy(unstated, able, activationJPerMol) ?? byStated);
}

/** Pours of one and the same volume are alike to this share, and flasks beside one another to this many kelvin: judgements, no source. */
const samePour = 0.02;
const sameKelvin = 1;
/** Rates that differ by more than this factor come from other amounts, not from pouring the same ones. A judgement. */
const samePace = 1.2;

/** Whether runs that have the same of every stated reagent started at other rates: then something else was not the same. */
function equalRunsDiffer(able: readonly RunAnalysis[]): boolean {
  const near = (a: number, b: number): boolean => Math.abs(a - b) <= samePour * Math.max(a, b);
  const alike = ({ run: a }: RunAnalysis, { run: b }: RunAnalysis): boolean =>
    Math.abs((a.temperatureK?.value ?? 0) - (b.temperatureK?.value ?? 0)) <= sameKelvin &&
    near(a.gas?.solutionM3.value ?? 1, b.gas?.solutionM3.value ?? 1) &&
    Object.entries(a.concentrations ?? {}).every(([name, { value }]) =>
      near(value, b.concentrations?.[name]?.value ?? 0),
    );
  const differ = ({ used: a }: RunAnalysis, { used: b }: RunAnalysis): boolean => {
    if (!a || !b || !(a.rateM3PerS > 0 && b.rateM3PerS > 0)) return false;
    const off = Math.abs(Math.log(a.rateM3PerS / b.rateM3PerS));
    return off > Math.log(samePace) && off > 3 * Math.hypot(a.u / a.rateM3PerS, b.u / b.rateM3PerS);
  };
  return able.some((one, i) => able.slice(i + 1).some((other) => alike(one, other) && differ(one, other)));
}

/** @param species by whose amounts the ceilings are tried; where it is a stated one, the others may tie them as well */
function tieBy(species: string, able: readonly RunAnalysis[], activationJPerMol: number): Ties {
  const settled = able.map(({ run, flags }) => applyFlags(run, flags));
  const tried = withTriedCeilings(settled, species);
  const tied = tried.filter(({ ceilingTiedBy }) => ceilingTiedBy !== undefined);
  const tie = tiesOf(tied);
  // Some of very many runs tell the one unknown well enough to place the ceilings; the fits of all find it anew.
  const some = new Set(juryOf(tied) ?? tied);
  const points = wholePoints([...some].map(alone), stand);
  if (!points.ok) return null;
  const ofSome = tie.map(({ species: name, ratios }) => ({
    species: name,
    ratios: ratios.filter((_, i) => some.has(nth(tied, i))),
  }));
  const curves = weighed(points, activationJPerMol, ofSome);
  const [best] = curves;
  const by = best?.tiedBy;
  if (!best || by === undefined) return null;
  const bend = bendOf(best);
  // The factor is in units of the first species' ceilings, those of the others have the same mean.
  const ratios = nth(
    tie.map(({ ratios: own }) => own),
    tie.findIndex((one) => one.species === by),
  );
  const ratiosOfSome = ratios.filter((_, i) => some.has(nth(tied, i)));
  if (fitBetterApart(points, best, bend.value, ratiosOfSome, activationJPerMol)) return 'bends-differ';
  const placed = tied.map((run, i): RunData => {
    const { value, u } = run.ceilingM3 ?? { value: Number.NaN, u: 0 };
    return { ...run, ceilingTiedBy: by, ceilingM3: { value: value / nth(ratios, i), u } };
  });
  const over = placed.some((run) => mostGas(run) * bend.value > mostShare * (run.ceilingM3?.value ?? 0));
  if (over && points.runs.some((_, r) => isOpen(startingRate(points, curves, r)))) return null;
  // The curves that the ceilings are for are of first order: where that fits, its own bend is theirs.
  const first = curves.find((one) => one.order === 1 && one.lag === best.lag && one.tiedBy === by) ?? best;
  const fitted = withFittedCeilings(placed, bendOf(first), first.order ?? 1);
  const ceilings = new Map(fitted.map(({ label, ceilingM3 }) => [label, ceilingM3]));
  return new Map(
    able.flatMap(({ run }) => {
      const ceilingM3 = ceilings.get(run.label);
      return ceilingM3 ? [[run, { ...run, ceilingTiedBy: by, ceilingM3 }] as const] : [];
    }),
  );
}

/** Tried ceiling over the fitted one, and its standard uncertainty. */
const bendOf = ({ fit: { fit, scatter } }: Fitted): { value: number; u: number } => ({
  value: fit.shared[0] ?? Number.NaN,
  u: Math.sqrt(Math.max(fit.covariance[0]?.[0] ?? 0, 0)) * scatter.scale,
});

/**
 * A starting rate that is so uncertain, relative to itself, where runs were read near their end: it is far from the readings,
 * and the curves that it is an average over lie on one side of it.
 */
const mostOpen = 0.2;
const isOpen = ({ rateM3PerS, uReadings }: StartingRate): boolean => uReadings > mostOpen * rateM3PerS;

/** Models within 2 of each other in AICc have "substantial" support alike (Burnham and Anderson 2002, 2.6). */
const asWell = 2;
/** What was stated may be too small by half; only a mean square beyond four times it is a curve that does not fit. */
const gross = 4;
/** Probability below which the readings speak against ceilings that are tied. */
const unlikely = 0.01;

/**
 * Whether the readings lie so much nearer to curves with a bend of their own in each run that the amounts cannot be what
 * bends them: F test of the tied curves against these. Tied curves may need a lag to make up for wrong bends; against curves
 * apart that need none, AICc decides.
 */
function fitBetterApart(
  points: WholePoints,
  best: Fitted,
  bend: number,
  ratios: readonly number[],
  activationJPerMol: number,
): boolean {
  const more = points.runs.length - 1;
  const fitApart = (lag: boolean): CourseFit | null =>
    fitCandidate(points, { ...best, lag, apartFrom: bend }, activationJPerMol, ratios);
  const withoutLag = best.lag ? fitApart(false) : null;
  if (withoutLag && withoutLag.aicc < best.fit.aicc - asWell) return true;
  const apart = fitApart(best.lag);
  // Three readings a run leave nothing to test with: then tied curves at twice the stated errors have the wrong bends.
  if (!apart || apart.df < 1) return (best.fit.scatter.mswd ?? 0) > gross && best.fit.scatter.basis === 'scatter';
  const sumOfSquares = ({ fit }: CourseFit): number => fit.sumOfSquares + fit.penalty;
  const gain = Math.max(0, sumOfSquares(best.fit) - sumOfSquares(apart)) / more;
  const { scale, df } = apart.scatter;
  return scale > 0 && fisherUpperTail(gain / scale ** 2, more, df) < unlikely;
}

const sumOf = (fitted: readonly Fitted[]): number => fitted.reduce((sum, { weight }) => sum + weight, 0);

function startPaceOf(run: RunData): number | null {
  const points = wholePoints([alone(run)], stand);
  const own = points.ok ? points.runs[0] : undefined;
  return own ? startPace(own, (log) => conversionTime(log, 1)) : null;
}

/**
 * Every curve that could be fitted with its Akaike weight, the likeliest first.
 * @param tie reagents by which the ceilings may be tied; null: they are given
 */
function weighed(points: WholePoints, activationJPerMol: number, tie: readonly Tie[] | null): Fitted[] {
  const some = juryOf(points.runs);
  const few = some ? { ...points, runs: some } : points;
  const counted = { ...few, count: few.runs.reduce((sum, { times }) => sum + times.length, 0) };
  const ratiosFor = (own: WholePoints, { tiedBy }: Candidate): readonly number[] => {
    const ratios = tie?.find(({ species }) => species === tiedBy)?.ratios ?? [];
    return own === points ? ratios : ratios.filter((_, i) => few.runs.includes(nth(points.runs, i)));
  };
  const tried: (Candidate & { readonly fit: CourseFit })[] = [];
  const aiccOf = ({ freeOrder, lag, order, tiedBy }: Candidate): number =>
    tried.find((one) => one.freeOrder === freeOrder && one.lag === lag && one.order === order && one.tiedBy === tiedBy)
      ?.fit.aicc ?? Number.POSITIVE_INFINITY;
  const bestOf = (): number => Math.min(...tried.map(({ fit }) => fit.aicc));
  for (const candidate of tie ? tiedCandidates(tie.map(({ species }) => species)) : candidates) {
    const without = aiccOf({ ...candidate, lag: false });
    // Both at once only where a lag by itself gains something: it is the dearest of the fits.
    if (candidate.freeOrder && candidate.lag && !(aiccOf({ ...candidate, freeOrder: false }) < aiccOf(plain))) continue;
    if (candidate.tiedBy !== undefined && candidate.lag && without > bestOf()) continue;
    const fit = fitCandidate(counted, candidate, activationJPerMol, ratiosFor(counted, candidate));
    if (fit && Number.isFinite(fit.aicc)) tried.push({ ...candidate, fit });
  }
  if (tried.length === 0) {
    const first = tie?.[0] ? { ...plain, tiedBy: tie[0].species } : plain;
    const fit = fitCandidate(points, first, activationJPerMol, ratiosFor(points, first));
    return fit ? [{ ...first, fit, weight: 1 }] : [];
  }
  const sure = tried.filter(({ fit }) => isDetermined(fit));
  const kept = sure.length > 0 ? sure : tried;
  const likelihoods = relativeLikelihoods(tempered(kept.map(({ tiedBy, fit }) => ({ by: tiedBy, aicc: fit.aicc }))));
  const total = likelihoods.reduce((sum, one) => sum + one, 0);
  return kept
    .map((one, i) => ({ ...one, weight: nth(likelihoods, i) / total }))
    .flatMap((one): Fitted[] => {
      if (!some) return [one];
      // The others follow the curves of these, each with its own rate.
      const fit =
        one.weight > 0.01 ? fitCandidate(points, one, activationJPerMol, ratiosFor(points, one), one.fit) : null;
      return fit ? [{ ...one, fit }] : [];
    })
    .sort((a, b) => b.weight - a.weight || a.fit.aicc - b.fit.aicc);
}

/** A curve that leaves a rate open by more than a factor of e says nothing of it, however well it lies on the readings. */
const isDetermined = ({ fit, scatter }: CourseFit): boolean =>
  fit.ownCovariance.every((own) => Math.sqrt(Math.max(own[0]?.[0] ?? 0, 0)) * scatter.scale <= 1);

const plain: Candidate = { freeOrder: false, lag: false };

/**
 * @param ratios by run, the ceiling that its shares count from over that by the candidate's reagent, where ceilings are tied
 * @param told the curve of some of the runs, which the others follow
 */
function fitCandidate(
  points: WholePoints,
  { freeOrder, lag, order: given = 1, tiedBy, apartFrom }: Candidate,
  activationJPerMol: number,
  ratios: readonly number[],
  told?: CourseFit,
): CourseFit | null {
  const { runs, spanS } = points;
  const tied = tiedBy !== undefined;
  const apart = apartFrom !== undefined;
  const first = freeOrder || (tied && !apart);
  const lagAt = first ? 1 : 0;
  const warmingAt = lagAt + (lag ? 1 : 0);
  const called = runs.map(({ run }) => warmingOf(run, activationJPerMol));
  const middle = runs.map(middleOf);
  const paces = runs.map((own) => startPace(own, (log) => conversionTime(log, 1)));
  if (paces.some((pace) => pace === null)) return null;
  return fitCourses(points, {
    ...(told ? { held: told.fit.covariance } : {}),
    sharedStart: told?.fit.shared ?? [
      ...(first ? [tied ? 1 / given : 1] : []),
      ...(lag ? [Math.log(spanS / 4)] : []),
      0,
    ],
    sharedScales: [...(first ? [1] : []), ...(lag ? [1] : []), 1 / spanS],
    precision: [
      ...(first ? [0] : []),
      ...(lag ? [0] : []),
      warmingPrecision(
        activationJPerMol,
        runs.map(({ run }) => run),
        spanS,
      ),
    ],
    ownStart: paces.map((pace, run) => [pace ?? 0, ...(apart ? [apartFrom * (ratios[run] ?? 1)] : [])]),
    ownScales: [1, ...(apart ? [1] : [])],
    courseOf: (values, run) => ({
      pacePerS: Math.exp(values[warmingAt + 1] ?? 0),
      order: freeOrder ? (values[0] ?? 1) : given,
      ...(apart ? { bend: values[warmingAt + 2] ?? 1 } : tied ? { bend: (values[0] ?? 1) * (ratios[run] ?? 1) } : {}),
      ...(lag ? { lagS: Math.exp(values[lagAt] ?? 0) } : {}),
      warmingPerS: (called[run] ?? 0) + (values[warmingAt] ?? 0),
      anchorS: called[run] ? (middle[run] ?? 0) - (values.at(-1) ?? 0) * spanS : 0,
    }),
  });
}

const middleOf = ({ times }: RunPoints): number => times.reduce((sum, t) => sum + t, 0) / times.length;

/**
 * The fitted power, from the likelier of the fits with and without a lag. A lag and a power trade places along a curve,
 * not a line: the power is uncertain by as much as its likelihood ratio to first order says, where that is more.
 */
function powerOf(fitted: readonly Fitted[]): { value: number; u: number; df: number } | null {
  const one = fitted.find(({ freeOrder }) => freeOrder);
  // What share of the reagent is used up is not known apart from the power.
  if (fitted[0]?.tiedBy !== undefined) return { value: 1, u: Number.POSITIVE_INFINITY, df: fitted[0].fit.scatter.df };
  if (!one) return fitted.length > 0 ? { value: 1, u: 10, df: 1 } : null;
  const { fit, scatter } = one.fit;
  const u = Math.sqrt(Math.max(fit.covariance[0]?.[0] ?? 0, 0)) * scatter.scale;
  const value = fit.shared[0] ?? 1;
  const first = fitted.find(({ freeOrder, lag }) => !freeOrder && lag === one.lag)?.fit.fit;
  const gain = first ? (first.sumOfSquares + first.penalty - fit.sumOfSquares - fit.penalty) / scatter.scale ** 2 : 0;
  const byLikelihood = first ? Math.abs(value - 1) / Math.sqrt(Math.max(gain, 1)) : 0;
  return { value, u: Math.max(u, byLikelihood), df: Math.max(scatter.df, 1) };
}

/** A lag counts as seen where the curves with one are that much likelier. */
const clearly = 0.9;

function lagOf(fitted: readonly Fitted[]): WithinOrder['lag'] {
  const one = fitted.find(({ lag }) => lag);
  if (!one || sumOf(fitted.filter(({ lag }) => lag)) < clearly) return null;
  const at = one.freeOrder || one.tiedBy !== undefined ? 1 : 0;
  const seconds = Math.exp(one.fit.fit.shared[at] ?? Number.NaN);
  const u = Math.sqrt(Math.max(one.fit.fit.covariance[at]?.[at] ?? 0, 0)) * one.fit.scatter.scale;
  return { seconds, u: seconds * u };
}

/**
 * Rates averaged over the curves by their Akaike weights; the spread between them is part of the uncertainty (Burnham
 * and Anderson, Model Selection and Multimodel Inference, 2nd ed. 2002, formula 4.9).
 */
function startingRate(points: WholePoints, fitted: readonly Fitted[], run: number): StartingRate {
  const own = points.runs[run];
  const [best] = fitted;
  const course = best?.fit.courses[run];
  if (!own || !best || !course) throw new RangeError('No such run.');
  const parts = fitted.map(({ fit, weight }) => {
    const rate = (fit.courses[run]?.pacePerS ?? Number.NaN) * own.ceilingM3;
    const { ownCovariance, ownAlone } = fit.fit;
    const all = Math.max(ownCovariance[run]?.[0]?.[0] ?? 0, 0);
    const ofRun = Math.min(Math.max(ownAlone[run]?.[0]?.[0] ?? 0, 0), all);
    const unit = rate * fit.scatter.scale;
    return { weight, rate, u: unit * Math.sqrt(all), uCurve: unit * Math.sqrt(all - ofRun) };
  });
  const { rate, u } = average(parts);
  const { u: uCurve } = average(parts.map((part) => ({ ...part, u: part.uCurve })));
  const state = best.fit.fit.states[run] ?? { residuals: [], weights: [] };
  return {
    rateM3PerS: rate,
    uReadings: u,
    uCurve,
    df: Math.max(best.fit.scatter.df, 1),
    ...(own.gathered
      ? { ...looksOf(own, course, state, best.fit.df / points.count), residualsM3: residualsOf(own, course, best, run) }
      : looksOf(own, course, state, best.fit.df / points.count)),
    course,
    mixedS: (best.fit.mixed[run]?.value ?? 0) + own.firstS,
    ceilingM3: own.ceilingM3,
  };
}

function average(parts: readonly { weight: number; rate: number; u: number }[]): { rate: number; u: number } {
  const rate = parts.reduce((sum, part) => sum + part.weight * part.rate, 0);
  const variance = parts.reduce((sum, part) => sum + part.weight * (part.u ** 2 + (part.rate - rate) ** 2), 0);
  return { rate, u: Math.sqrt(variance) };
}

/** Scatter of one run about its curve, and the residuals as volumes. */
function looksOf(
  own: RunPoints,
  course: Course,
  { residuals, weights }: { readonly residuals: readonly number[]; readonly weights: readonly number[] },
  share: number,
): Pick<StartingRate, 'scatter' | 'residualsM3'> {
  const slopes = momentsOf(course, own.logs)?.slopes ?? [];
  const sum = residuals.reduce((total, r, i) => total + (weights[i] ?? 0) * r * r, 0);
  const stated = own.run.uStated !== false;
  return {
    scatter: judgeScatter(sum, Math.max(0, residuals.length * share), { stated, assumed: 1 }),
    // Called later than the curve says: the reading lies below it.
    residualsM3: residuals.map((r, i) => (-r * own.ceilingM3) / (slopes[i] ?? Number.NaN)),
  };
}

/** Reading minus curve of each reading, where the fit saw means of neighbours. */
function residualsOf({ run, ceilingM3 }: RunPoints, course: Course, { fit }: Fitted, r: number): number[] {
  const each = pointsOf(run);
  const { times = [], slopes = [] } = momentsOf(course, each.logs) ?? {};
  const mixed = fit.mixed[r]?.value ?? Number.NaN;
  return each.times.map((time, i) => ((mixed + (times[i] ?? 0) - time) * ceilingM3) / (slopes[i] ?? Number.NaN));
}

/** Standard uncertainties from the curve of all runs within which a flagged reading lies on it after all. */
const onCurve = 3.5;
/** A curve that is off by more than that follows a wrong reading. */
const mostScale = 2;
/** Held-back gas shows in this first share of a run's readings. */
const atStart = 0.4;

/** Whether every flag is at the start of its run, where a surge and held-back gas look alike; false without any flag. */
export function flagsAtStart(runs: readonly (RunAnalysis | Refused)[]): boolean {
  const flagged = runs.flatMap((one) => (one.ok && one.flags.length > 0 ? [one] : []));
  return (
    flagged.length > 0 &&
    flagged.every(({ flags, frame }) =>
      flags.every(({ index }) => frame.index.indexOf(index) < atStart * frame.index.length),
    )
  );
}

/**
 * Which flags are none: a run by itself takes the first readings for a surge where gas is held back, though they lie on the
 * curve that all runs show together. By run, the indices of such readings; empty where no gas is held back.
 */
export function explainedFlags(
  runs: readonly (RunAnalysis | Refused)[],
  within: WithinOrder | null,
): ReadonlyMap<RunData, ReadonlySet<number>> {
  const found = new Map<RunData, ReadonlySet<number>>();
  if (!within?.lag) return found;
  for (const analysis of runs) {
    if (!analysis.ok || analysis.flags.length === 0) continue;
    const { run, flags } = analysis;
    const curve = within.settled.get(run.label) ?? within.rates.get(run.label);
    const points = pointsOf(alone(run));
    const moments = curve && momentsOf(curve.course, points.logs);
    if (!curve || !moments) continue;
    const flagged = new Set(flags.map(({ index }) => index));
    const explained = points.index.filter((index, i) => {
      if (!flagged.has(index)) return false;
      const off = nth(points.times, i) + points.firstS - curve.mixedS - nth(moments.times, i);
      const u = Math.hypot(nth(points.uTimes, i), nth(points.uShares, i) * nth(moments.slopes, i));
      return Math.abs(off) <= onCurve * u * Math.min(curve.scatter.scale, mostScale);
    });
    if (explained.length > 0) found.set(run, new Set(explained));
  }
  return found;
}

/** A run with flagged readings by itself, as it stands, on the curves that the others have shown. */
function asItStands(run: RunData, fitted: readonly Fitted[], r: number): StartingRate | null {
  const points = wholePoints([alone(run)], stand);
  const [best] = fitted;
  if (!points.ok || !best) return null;
  const refitted = fitted.flatMap((one): Fitted[] => {
    const shape = one.fit.courses[r];
    const pace = points.runs[0] && startPace(points.runs[0], (log) => conversionTime(log, 1));
    if (!shape || pace === null || pace === undefined) return [];
    const fit = fitCourses(points, {
      sharedStart: [],
      sharedScales: [],
      precision: [],
      ownStart: [[pace]],
      ownScales: [1],
      courseOf: ([value = 0]) => ({ ...shape, pacePerS: Math.exp(value) }),
    });
    return fit && fit.df > 0 ? [{ ...one, fit }] : [];
  });
  const total = sumOf(refitted);
  return refitted.length === 0
    ? null
    : startingRate(
        points,
        refitted.map((one) => ({ ...one, weight: one.weight / total })),
        0,
      );
}

/** A rate found on curves held as they are, with what is not known of the curve. */
function onSameCurve(own: StartingRate, { rateM3PerS, uCurve }: StartingRate): StartingRate {
  const same = (uCurve / rateM3PerS) * own.rateM3PerS;
  return { ...own, uReadings: Math.hypot(own.uReadings, same), uCurve: Math.hypot(own.uCurve, same) };
}

/** (1 - f/(1 + e))^x falls like (1 - f)^(x/(1 + e)): a ceiling that is off by e changes the power by x e. */
function ceilingShare(runs: readonly (RunAnalysis | Refused)[], order: number): number {
  const relative = runs.flatMap((run) =>
    run.ok && run.ceilingM3 && run.ceilingM3.value > 0 && run.run.ceilingTiedBy === undefined
      ? [run.ceilingM3.u / run.ceilingM3.value]
      : [],
  );
  return relative.length === 0 ? 0 : Math.abs(order) * (relative.reduce((a, b) => a + b, 0) / relative.length);
}

/** The plainest form that the power allows within two standard uncertainties. */
function formOf(order: number, u: number): RateForm {
  const plain: readonly (readonly [number, RateForm])[] = [
    [1, 'first-order'],
    [0, 'zero-order'],
    [2, 'second-order'],
    [2 / 3, 'shrinking-solid'],
  ];
  return plain.find(([value]) => Math.abs(order - value) <= 2 * u)?.[1] ?? 'nth-order';
}

/** A run's rate from the curves that all runs show together. The run as it is where that cannot be had or was chosen by the person. */
export function averaged(analysis: RunAnalysis | Refused, within: WithinOrder | null): RunAnalysis | Refused {
  if (!analysis.ok || !within || !analysis.used || analysis.usedBy === 'choice') return analysis;
  const first = toCeiling(analysis);
  const rate = within.rates.get(analysis.run.label);
  if (!first || !rate) return analysis;
  const { form, order, weight, lag } = within;
  const tied = analysis.run.ceilingTiedBy !== undefined;
  const otherwise = analysis.used.estimator !== 'firstOrder';
  return {
    ...analysis,
    ...(otherwise
      ? {
          recommended: {
            name: 'firstOrder',
            reason: tied
              ? first.ceilingM3 && isTold(first.ceilingM3)
                ? 'The bends of all runs together tell how the rate falls.'
                : nothingBends
              : `The ceiling is known, and the rate falls with the power ${order.toFixed(1)} of what is left.`,
          },
        }
      : {}),
    used: { ...withRate(first, rate), ...(lag || tied ? { shape: drawn(first.shape, rate, analysis.run) } : {}) },
    meanRate: false,
    model: { form, order, lag, mixedS: rate.mixedS, weight, ceiling: tied ? 'tied' : 'given' },
  };
}

/** Points of a drawn curve. */
const pieces = 120;

/** The curve with held-back gas, to draw: sampled from mixing to a little beyond the last reading. */
function drawn(
  { head }: RateEstimate['shape'],
  { course, mixedS, ceilingM3 }: StartingRate,
  { baselineM3, readings }: RunData,
): RateEstimate['shape'] {
  const baseline = baselineM3?.value ?? 0;
  const highest = readings.reduce((most, { volumeM3 }) => Math.max(most, volumeM3 - baseline), 0);
  const share = Math.min((1.1 * highest) / ceilingM3, 0.995);
  const shares = Array.from({ length: pieces + 1 }, (_, i) => (share * i) / pieces);
  const times = momentsOf(
    course,
    shares.map((one) => -Math.log1p(-one)),
  )?.times;
  return {
    kind: 'sampled',
    originS: mixedS,
    timesS: times ?? shares,
    volumesM3: shares.map((one) => baseline + one * ceilingM3),
    ...(head ? { head } : {}),
  };
}

function withRate(first: RateEstimate, rate: StartingRate): RateEstimate {
  const { df, scatter, residualsM3 } = rate;
  // Engines differ in the last bits of exp and log: so many digits are the same on all of them.
  const rateM3PerS = Number(rate.rateM3PerS.toPrecision(9));
  const uReadings = Number(rate.uReadings.toPrecision(6));
  const uCurve = Number(rate.uCurve.toPrecision(6));
  // A ceiling that was fitted with the rate is not uncertain once more.
  const uShared = first.ceilingM3?.from === 'tied' ? { ...first.uShared, ceiling: 0 } : first.uShared;
  const total = combineContributions([
    { u: uReadings, df },
    ...Object.values(uShared).map((u) => ({ u, df: Number.POSITIVE_INFINITY })),
  ]);
  const half = halfWidth95(total);
  return {
    ...first,
    rateM3PerS,
    uReadings,
    uCurve,
    uShared,
    dfReadings: df,
    scatter,
    residualsM3,
    u: total.u,
    df: total.df,
    low95: rateM3PerS - half,
    high95: rateM3PerS + half,
  };
}
