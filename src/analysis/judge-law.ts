import { chiSquareUpperTail, fisherUpperTail, studentUpperTail } from '../numerics/distributions.ts';
import { durbinWatson } from '../numerics/durbin-watson.ts';
import type { RunAnalysis } from './analyse-run.ts';
import type { RateEstimate } from './estimate.ts';
import { isWild } from './judge-order.ts';
import { lateRuns } from './late-rate.ts';
import type { RateLaw } from './rate-law.ts';
import type { Experiment, Refused } from './run-data.ts';
import { t95 } from './scatter.ts';
import { unstated } from './tied-ceilings.ts';
import {
  type Headline,
  type HeadlineFigure,
  type InputWithoutUncertainty,
  standingOf,
  type Unsettled,
  type Verdict,
  type VerdictCode,
  type VerdictReason,
  verdictOf,
} from './verdict.ts';
import type { WholeResult } from './whole-result.ts';
import type { WithinOrder } from './within-order.ts';

type Runs = readonly (RunAnalysis | Refused)[];

/** Everything that a verdict rests on. */
export interface Evidence {
  readonly experiment: Experiment;
  readonly runs: Runs;
  readonly law: RateLaw | Refused;
  readonly whole: WholeResult | Refused;
  readonly within: WithinOrder | null;
  /** The runs bend otherwise than their starting amounts ask for, see `tieCeilings`. */
  readonly bendsDiffer: boolean;
}

/** Each test refuses at 1 %, so that a clean experiment has a reservation once in twenty at most. */
const unlikely = 0.01;
/** How the rate falls within a run is one test for all runs, and the only one that sees warming: 3 %. */
const suspicious = 0.03;
/** An order that leaves this much open is not settled by its nearest whole number. */
const nearEnough = 0.05;

/**
 * Whether a rate law fits, and if not, why. Looks at the runs (flags that nobody settled, mean rates, scatter and pattern
 * of the residuals, how the rate falls within a run), at the orders, and at how the runs and the two fits agree.
 */
export function judgeLaw(evidence: Evidence, unsettled: Unsettled | null): Verdict {
  const { law, experiment, runs, bendsDiffer } = evidence;
  const missing = missingUncertainties(experiment);
  const reasons: VerdictReason[] = [
    ...(unsettled?.differ ? [{ code: 'unsettled', count: unsettled.count, runs: unsettled.runs } as const] : []),
    ...(missing.length > 0 ? [{ code: 'inputs-without-uncertainty', inputs: missing } as const] : []),
    ...ofRuns(runs),
    ...(bendsDiffer ? [{ code: 'bends-differ' } as const] : []),
    ...(experiment.runs.some(({ ceilingTiedBy }) => ceilingTiedBy === unstated)
      ? [{ code: 'used-up-unstated' } as const]
      : []),
  ];
  if (!law.ok) return verdictOf([...reasons, { code: 'no-law', sentence: law.sentence }]);
  return verdictOf([
    ...reasons,
    ...ofSolids(experiment, law),
    ...ofOrders(evidence, law),
    ...ofWithin(evidence, law),
    ...ofAgreement(evidence, law),
    ...ofConstant(evidence, law),
  ]);
}

/** Masses further apart than this share are not the same: common practice, no source. */
const sameMass = 0.05;

/** A solid has a surface and no concentration: what a law of the runs is then worth. */
function ofSolids({ runs }: Experiment, law: RateLaw): VerdictReason[] {
  const inLaw = new Set(law.used.map(({ label }) => label));
  const used = runs.filter(({ label }) => inLaw.has(label));
  const species = [...new Set(used.flatMap(({ solids }) => Object.keys(solids ?? {})))];
  if (species.length === 0) return [];
  const differing = species.filter((name) => {
    const amounts = used.map(({ solids }) => solids?.[name]?.mol ?? 0);
    const pieces = new Set(used.map(({ solids }) => solids?.[name]?.pieces ?? ''));
    return pieces.size > 1 || Math.min(...amounts) < (1 - sameMass) * Math.max(...amounts);
  });
  const differ: VerdictReason[] = differing.length === 0 ? [] : [{ code: 'solids-differ', species: differing }];
  return [...differ, { code: 'solid', species }];
}

/** Runs whose rate is a mean over the run: a line where nothing says how much of the reagent was used up. */
export const meanRateRuns = (runs: Runs): string[] =>
  runs.flatMap((run) => (run.ok && run.used?.at === 'whole-run' ? [run.run.label] : []));

function ofRuns(runs: Runs): VerdictReason[] {
  const reasons: VerdictReason[] = [];
  const late = lateRuns(runs);
  if (late.length > 0) reasons.push({ code: 'late-rates', runs: late });
  const mean = meanRateRuns(runs);
  if (mean.length > 0) reasons.push({ code: 'mean-rates', runs: mean });
  const used = runs.flatMap((run) => (run.ok && run.used ? [{ label: run.run.label, used: run.used, run }] : []));
  const level = unlikely / Math.max(1, used.length);
  const misfits = used.filter(
    ({ used: { scatter }, run }) =>
      scatter.mswd !== null &&
      run.frame.index.length > 2 &&
      chiSquareUpperTail(scatter.mswd * (run.frame.index.length - 2), run.frame.index.length - 2) < level,
  );
  // What was stated may be too small by half; only scatter beyond twice that is a curve that does not fit.
  const gross = misfits.filter(({ used: { scatter } }) => (scatter.mswd ?? 0) > 4);
  if (gross.length > 0) reasons.push({ code: 'misfit', runs: gross.map(({ label }) => label), p: level });
  return [...reasons, ...patternOf(used)];
}

/** Runs whose own pattern is less likely than this are named, where all together are unlikely. */
const named = 0.05;

/**
 * A slow swing of the readings about their curves, over all runs together: one run of eleven readings tells little. Each
 * run's curve has a moment and a rate of its own, and a bend where the ceiling is not known; what runs share of a curve
 * makes patterns only rarer.
 */
function patternOf(used: readonly { label: string; used: RateEstimate; run: RunAnalysis }[]): VerdictReason[] {
  const { p, each } = durbinWatson(
    used.map(({ used: { residualsM3, estimator, ceilingM3 }, run: { frame } }) => {
      const bent = estimator === 'quadratic' || (estimator === 'firstOrder' && ceilingM3?.from !== 'given');
      const t = frame.t.length === residualsM3.length ? frame.t : residualsM3.map((_, i) => i);
      const columns = [t.map(() => 1), t, ...(bent ? [t.map((x) => x * x)] : [])];
      return { residuals: residualsM3, columns };
    }),
  );
  if (!(p < unlikely)) return [];
  const swinging = used.filter((_, i) => (each[i]?.p ?? 1) < named);
  return [{ code: 'pattern', runs: (swinging.length > 0 ? swinging : used).map(({ label }) => label), p }];
}

function ofOrders({ whole }: Evidence, law: RateLaw): VerdictReason[] {
  const reasons: VerdictReason[] = [];
  const setApart = law.leftOut.map(({ label }) => label);
  if (setApart.length > 0) reasons.push({ code: 'set-apart', runs: setApart });
  if (law.problems.length > 0 && !law.accepted)
    reasons.push({ code: 'open-orders', species: law.problems.map(({ species }) => species) });
  const parameters = Object.keys(law.orders).length + 1;
  if (parameters > 1 && law.used.length <= parameters)
    reasons.push({ code: 'nothing-left-over', runs: law.used.length, orders: parameters - 1 });
  const saturated = saturatingReason(whole, law);
  if (saturated) reasons.push(saturated);
  for (const [species, { accepted, ...byRates }] of Object.entries(law.orders)) {
    const { value, u, low95, high95 } = (whole.ok && whole.orders[species]) || byRates;
    if (isWild(value)) reasons.push({ code: 'wild-order', species, value });
    else if (accepted === null) {
      if (saturated?.species !== species) reasons.push({ code: 'no-simple-order', species, value, u });
    } else {
      const others = [accepted - 1, accepted + 1].filter((other) => other >= low95 && other <= high95);
      if (others.length > 0) reasons.push({ code: 'order-ambiguous', species, order: accepted, others });
      if ((accepted < low95 || accepted > high95) && Math.abs(value - accepted) > nearEnough)
        reasons.push({ code: 'order-outside', species, order: accepted, value, u });
    }
  }
  return reasons;
}

/** AICc by which the Michaelis form must beat the best power: none where no simple power fits, six where one does. */
const clearlyBetter = 6;
/** A broken order is rare, and saturation looks like one: it must be better than the Michaelis form by so much to stand alone. */
const clearlyWorse = -6;
/** Models within 2 of each other have "substantial" support alike (Burnham and Anderson 2002, 2.6). */
const asWell = 2;

function saturatingReason(
  whole: WholeResult | Refused,
  law: RateLaw,
): Extract<VerdictReason, { code: 'saturating' | 'levels-off' }> | null {
  const constantOf = whole.ok ? (whole.saturating?.saturation ?? null) : null;
  if (!whole.ok || !whole.saturating || !constantOf) return null;
  const { saturating, free, accepted } = whole;
  const gain = free.aicc - saturating.aicc;
  const species = Object.keys(free.orders).find((name) => saturating.orders[name] === undefined);
  if (species === undefined) return null;
  const { value, u } = constantOf;
  // A constant far beyond the concentrations, or not known to half, is no saturation.
  if (gain > (accepted ? clearlyBetter : 0) && value > 2 * u)
    return { code: 'saturating', species, constant: value, u };
  const order = law.orders[species]?.accepted ?? null;
  const broken = order !== null && !Number.isInteger(order);
  return broken && gain > clearlyWorse
    ? { code: 'levels-off', species, order, constant: value, u, asWell: gain > -asWell }
    : null;
}

/** The fall of the rate within the runs against the order between them, and against the first order that was taken. */
function ofWithin({ within, experiment }: Evidence, law: RateLaw): VerdictReason[] {
  if (!within) return [];
  const { lag, runs } = within;
  const remarks: VerdictReason[] = lag ? [{ code: 'held-back', lagS: lag.seconds, u: lag.u, runs }] : [];
  const limiting = experiment.runs.find((run) => run.gas)?.gas?.limiting;
  const form: VerdictReason[] =
    within.form === 'first-order' ? [] : [{ code: 'form', form: within.form, order: within.order, u: within.u }];
  // Of a solid nothing says how the rate should fall: its surface shrinks by its shape.
  if (limiting !== undefined && experiment.runs.some(({ solids }) => solids?.[limiting])) return [...remarks, ...form];
  const species = limiting ?? (Object.keys(law.orders).length === 1 ? Object.keys(law.orders)[0] : undefined);
  const between = species === undefined ? undefined : law.orders[species];
  const expected = between ? (between.accepted ?? between.value) : 1;
  const uBetween = between && between.accepted === null ? between.u : 0;
  const t = Math.abs(within.order - expected) / Math.hypot(within.u, uBetween);
  if (2 * studentUpperTail(t, Math.max(within.df, 1)) < suspicious)
    return [
      ...remarks,
      {
        code: 'within-differs',
        species: species ?? '',
        within: within.order,
        uWithin: within.u,
        between: between?.value ?? 1,
        uBetween: between?.u ?? 0,
      },
    ];
  return [...remarks, ...form];
}

/** The ratio of Birge of the runs' k, where their own uncertainties do not explain it; else null. */
export function runsDisagree({ law, within }: Pick<Evidence, 'law' | 'within'>): number | null {
  const birge = law.ok ? (law.accepted?.birge ?? null) : null;
  if (!law.ok || birge === null || law.used.length < 2) return null;
  const { used } = law;
  // The runs' own uncertainties come from few readings: F, not chi-square. One fit for all runs has one scatter.
  const dfOf = (rows: typeof used): number[] => rows.map(({ dfRate }) => Math.min(dfRate, 1e3));
  const shared = used.filter(({ label }) => within?.rates.has(label));
  const apart = used.filter((row) => !shared.includes(row));
  const dfOfRates = dfOf(apart).reduce((sum, df) => sum + df, Math.max(0, ...dfOf(shared)));
  return fisherUpperTail(birge ** 2, used.length - 1, Math.max(dfOfRates, 1)) < unlikely ? birge : null;
}

function ofAgreement(evidence: Evidence, law: RateLaw): VerdictReason[] {
  const { whole } = evidence;
  const birge = runsDisagree(evidence);
  const reasons: VerdictReason[] = birge === null ? [] : [{ code: 'runs-disagree', birge }];
  if (!whole.ok) return reasons;
  // The starting rates are the check of the fit that leads.
  for (const [species, { accepted: order, value, u, df }] of Object.entries(law.orders)) {
    const byAll = whole.orders[species];
    if (order === null || !byAll || !(u > 0)) continue;
    const off = Math.abs(value - order);
    // A check that uses less of the same readings is no better known (Hausman 1978): with ceilings that may be tied by one
    // reagent or another, only the fit of all readings knows how open that leaves an order.
    const own = Math.max(u, byAll.u);
    if (2 * studentUpperTail(off / own, Math.max(df, 1)) < unlikely && off > nearEnough)
      reasons.push({ code: 'ways-differ', species });
  }
  return reasons;
}

/** Why k is not shown though the law may stand. */
function ofConstant(evidence: Evidence, law: RateLaw): VerdictReason[] {
  const k = constantOf(evidence, law);
  if (k && !isKnown(k)) return [{ code: 'constant-open', species: null }];
  // Each run's dissolved gas goes into the orders; elsewhere a second order that would do is a reservation.
  if (!evidence.experiment.runs.some(({ gas }) => gas?.dissolved)) return [];
  const open = Object.entries(ordersOf(evidence, law)).find(
    ([, { low95, high95 }]) => low95 !== null && high95 !== null && Math.floor(high95) > Math.ceil(low95),
  );
  return open ? [{ code: 'constant-open', species: open[0] }] : [];
}

type Constant = NonNullable<Headline['k']>;

/** k at the accepted orders, shown or not. */
function constantOf({ whole }: Evidence, { accepted }: RateLaw): Constant | null {
  if (!accepted) return null;
  if (!whole.ok || !whole.accepted) {
    const { k: value, u, low95, high95, orders } = accepted;
    return { value, u, low95, high95, orders, at: 'accepted' };
  }
  const { k: value, orders, ...own } = whole.accepted;
  const u = Math.hypot(own.u, unexplained(whole.accepted, accepted));
  const half = (u / value) * t95(own.df);
  return { value, u, low95: value * Math.exp(-half), high95: value * Math.exp(half), orders, at: 'accepted' };
}

/** The orders to show: of the fit that leads. */
function ordersOf({ whole }: Evidence, law: RateLaw): Headline['orders'] {
  const leading = whole.ok && whole.accepted && law.accepted ? { ...law.orders, ...whole.orders } : law.orders;
  return Object.fromEntries(
    Object.entries(leading).map(([name, { value, u, low95, high95 }]) => [
      name,
      { value, u, low95, high95, accepted: law.orders[name]?.accepted ?? null },
    ]),
  );
}

/** Reasons that leave the law standing and k unknown: `levels-off`, because another form would do in place of a half order. */
const againstConstant: ReadonlySet<VerdictCode> = new Set(['levels-off', 'constant-open']);

/** Whether a reason for the verdict keeps k out of the headline. */
export const withholdsConstant = ({ code }: VerdictReason, unsettled: Unsettled | null): boolean =>
  standingOf[code] === 'does-not-fit' ||
  code === 'open-orders' ||
  againstConstant.has(code) ||
  (code === 'unsettled' && flagsDecide(unsettled));

/**
 * The law to show first; k only where the law fits, every starting rate is known, no flagged reading that nobody has
 * settled decides what k is, and nothing else leaves k open.
 */
export function headlineOf(
  evidence: Evidence,
  { standing, reasons }: Verdict,
  unsettled: Unsettled | null,
): Headline | null {
  const { law, whole, runs } = evidence;
  if (!law.ok) return null;
  const known =
    !flagsDecide(unsettled) && lateRuns(runs).length === 0 && !reasons.some(({ code }) => againstConstant.has(code));
  const shown = known && (standing === 'fits' || standing === 'reservations');
  return {
    from:
      whole.ok && whole.accepted && law.accepted
        ? 'all-readings'
        : meanRateRuns(runs).length > 0
          ? 'mean-rates'
          : 'starting-rates',
    orders: ordersOf(evidence, law),
    k: shown ? constantOf(evidence, law) : null,
  };
}

/** A 95 % interval as wide as this factor tells no rate constant. A judgement, no source. */
const tellsNothing = 10;

/** Whether an interval, where there is one, tells k at all. */
function isKnown({ u, low95, high95 }: Omit<HeadlineFigure, 'value'>): boolean {
  if (u === null || low95 === null || high95 === null) return true;
  return Number.isFinite(u) && low95 > 0 && high95 < tellsNothing * low95;
}

/**
 * What the two ways to k differ by beyond chance. They come from the same readings, so their difference has the variance
 * of the one that uses less of them less that of the better one: Hausman, Econometrica 46 (1978) 1251.
 */
function unexplained(all: { k: number; u: number }, check: { k: number; u: number | null }): number {
  const byChance = Math.max(0, (check.u ?? 0) ** 2 - all.u ** 2);
  return Math.sqrt(Math.max(0, (all.k - check.k) ** 2 - byChance));
}

/** One rate constant is not the other beyond this share of it. */
const sameConstant = 0.1;

/** Whether flagged readings that nobody has settled decide what k is. */
export const flagsDecide = (unsettled: Unsettled | null): unsettled is Unsettled =>
  unsettled?.differ === true && areFarApart(unsettled.with, unsettled.without);

/** Whether two laws have other orders, or constants of which one cannot stand for the other. */
function areFarApart(a: Headline | null, b: Headline | null): boolean {
  if (!a?.k || !b?.k) return true;
  return !sameOrders(a.k, b.k) || Math.abs(Math.log(a.k.value / b.k.value)) > sameConstant;
}

const sameOrders = (a: Constant, b: Constant): boolean => JSON.stringify(a.orders) === JSON.stringify(b.orders);

/** Whether two laws differ by more than their uncertainty, or accept other orders. */
export function lawsDiffer(a: Headline | null, b: Headline | null): boolean {
  if (!a || !b) return a !== b;
  if (!a.k || !b.k) return a.k !== b.k;
  if (!sameOrders(a.k, b.k)) return true;
  const u = Math.max(a.k.u ?? 0, b.k.u ?? 0);
  if (Math.abs(a.k.value - b.k.value) > u) return true;
  return Object.entries(a.orders).some(([name, order]) => {
    const other = b.orders[name];
    return other !== undefined && Math.abs(order.value - other.value) > Math.max(order.u ?? 0, other.u ?? 0);
  });
}

/** Which inputs of the chain came without a standard uncertainty, so that the interval of k leaves them out. */
export function missingUncertainties({ runs }: Experiment): InputWithoutUncertainty[] {
  const tests: readonly (readonly [InputWithoutUncertainty, boolean])[] = [
    ['times and readings', runs.some((run) => run.uStated === false)],
    [
      'concentrations',
      runs.some((run) => Object.values(run.concentrations ?? {}).some((c) => c.u === 0 && c.uCommonRelative === 0)),
    ],
    [
      'solids',
      runs.some((run) => Object.values(run.solids ?? {}).some((solid) => solid.u === 0 && solid.uCommonRelative === 0)),
    ],
    ['baseline', runs.some((run) => run.baselineM3?.u === 0)],
    ['ceiling', runs.some((run) => run.ceilingM3?.u === 0 && run.ceilingTiedBy === undefined)],
    ['temperature', runs.some((run) => run.temperatureK?.u === 0)],
    ['pressure', runs.some((run) => run.gas?.pressurePa.u === 0)],
    ['scale', runs.some((run) => !(run.gainURelative ?? 0))],
    ['solution', runs.some((run) => run.gas?.solutionM3.u === 0)],
  ];
  return tests.flatMap(([name, lacks]) => (lacks ? [name] : []));
}
