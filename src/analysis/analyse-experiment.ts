import { GAS_CONSTANT } from '../chemistry/constants.ts';
import { OutOfRange } from '../numerics/errors.ts';
import { held, named, nth } from '../numerics/nth.ts';
import type { InputEffect } from './accepted-law.ts';
import { type AnalysisOptions, analyseRun, applyFlags, type RunAnalysis, rateOnly } from './analyse-run.ts';
import type { RateEstimate } from './estimate.ts';
import { amountPerVolumeRate, ceilingOf, growthPerM3 } from './gas-frame.ts';
import { bare, inputsToMove } from './inputs.ts';
import { type Evidence, headlineOf, judgeLaw, lawsDiffer, missingUncertainties, runsDisagree } from './judge-law.ts';
import { areMany } from './jury.ts';
import type { LawRow } from './law-row.ts';
import { type LawValues, lawMover, type RateLaw, rateLaw } from './rate-law.ts';
import { atStartPressure } from './rising-head.ts';
import { type Experiment, type Measured, type Refused, type RunData, refuse } from './run-data.ts';
import { combineContributions } from './scatter.ts';
import { arrheniusFactor, type RateConstantAt, type TemperatureFit, temperatureFit } from './temperature.ts';
import { unstated } from './tied-ceilings.ts';
import type { Headline, InputWithoutUncertainty, Unsettled, Verdict } from './verdict.ts';
import { type WholeResult, wholeResult } from './whole-result.ts';
import {
  averaged,
  explainedFlags,
  flagsAtStart,
  type Ties,
  tieCeilings,
  type WithinOrder,
  withinOrder,
} from './within-order.ts';

export interface ExperimentAnalysis {
  readonly experiment: Experiment;
  /** In the order of the runs. */
  readonly runs: readonly (RunAnalysis | Refused)[];
  readonly law: RateLaw | Refused;
  /** All readings at once, orders free; and at the accepted orders. */
  readonly whole: WholeResult | Refused;
  readonly temperature: TemperatureFit | Refused;
  /**
   * 'amount': rates of the law in mol/(L s), k in L, mol, s; 'volume': rates in m3/s of displaced gas, k in m3/s over
   * (mol/L) to the sum of orders, because amounts are not known.
   */
  readonly unit: 'amount' | 'volume';
  /** Temperature that k belongs to, K; null when no run has one. */
  readonly referenceK: number | null;
  /** Whether the law fits, and if not, why. */
  readonly verdict: Verdict;
  /** Which k and orders to show first; null without a law. */
  readonly headline: Headline | null;
  /** Flagged readings that nobody has settled; null without any. */
  readonly unsettled: Unsettled | null;
  /** Inputs that came without a standard uncertainty: the interval of k leaves them out. */
  readonly missingUncertainties: readonly InputWithoutUncertainty[];
  /** How the rate falls within the runs; null where no run has a baseline and a ceiling. */
  readonly within: WithinOrder | null;
}

export interface ExperimentOptions extends AnalysisOptions {
  /** Orders for k: the person's, or those of the known reaction; else what the data accept. */
  readonly orders?: Readonly<Record<string, number>>;
  /** Tie no ceilings by a reagent that nobody stated. */
  readonly withoutUnstated?: boolean;
  /** Leave out the fit of all readings (inner loops). */
  readonly withoutWhole?: boolean;
  /** Hears how many runs are done by themselves. */
  readonly onRun?: (done: number) => void;
  /** Hears the runs by themselves, before what they say together. */
  readonly onRuns?: (runs: readonly (RunAnalysis | Refused)[]) => void;
}

/**
 * A whole experiment: each run, the rate law from their starting rates, the fit of all readings at once, and the
 * dependence on temperature. What cannot be had is a refusal with a sentence in its place; nothing throws on bad data.
 *
 * Runs at different temperatures are brought to their mean temperature by the activation energy: the known one, else
 * one fitted jointly with the orders, if the runs can tell it apart from them (`experiment` of the result then has it).
 */
export function analyseExperiment(given: Experiment, options: ExperimentOptions = {}): ExperimentAnalysis {
  return analyse(given, options, null);
}

/** What was found of the experiment as it stands: most of its runs are the same with every flag dealt with. */
interface Before {
  readonly experiment: Experiment;
  readonly analysed: readonly (RunAnalysis | Refused)[];
  readonly within: WithinOrder | null;
  readonly whole: WholeResult | Refused;
}

function analyse(given: Experiment, options: ExperimentOptions, before: Before | null): ExperimentAnalysis {
  const fitted = given.activationJPerMol || options.activationJPerMol ? null : jointActivation(given);
  const asGiven = fitted ? { ...given, activationJPerMol: fitted } : given;
  const { experiment, analysed, within, bendsDiffer } = together(asGiven, options, settingOf(asGiven, options), before);
  const broken = (i: number): boolean => analysed[i]?.ok === false && analysed[i].reason === 'failed';
  // What broke in a run by itself would break the law as well.
  const sound = analysed.some((_, i) => broken(i))
    ? { ...experiment, runs: experiment.runs.filter((_, i) => !broken(i)) }
    : experiment;
  const setting = settingOf(sound, options);
  const { unit, referenceK } = setting;
  const runs = analysed.map((run) => averaged(run, within));
  const byRates = warned(
    guarded('The rate law', () => lawOf(sound, runs, setting)),
    experiment,
  );
  const start = byRates.ok ? Object.fromEntries(Object.entries(byRates.orders).map(([n, o]) => [n, o.value])) : {};
  const whole = options.withoutWhole
    ? refuse('no-ceiling', 'Not asked for.')
    : guarded('The fit of all readings', () =>
        wholeResult(sound, start, setting, within, before?.whole.ok ? before.whole : undefined),
      );
  const law = ledBy(whole, byRates, sound, runs, setting);
  const evidence: Evidence = { experiment, runs, law, whole, within, bendsDiffer };
  // Runs that had the same of what nobody stated would agree.
  if (experiment.runs.some(({ ceilingTiedBy }) => ceilingTiedBy === unstated) && runsDisagree(evidence)) {
    const { onRun: _, onRuns: __, ...quiet } = options;
    return analyse(given, { ...quiet, withoutUnstated: true }, before);
  }
  const unsettled = unsettledOf(evidence, options, { experiment, analysed, within, whole });
  const verdict = judgeLaw(evidence, unsettled);
  return {
    experiment,
    runs,
    law,
    whole,
    temperature: ofTemperature(experiment, runs, law, setting),
    unit,
    referenceK,
    verdict,
    headline: headlineOf(evidence, verdict, unsettled),
    unsettled,
    missingUncertainties: missingUncertainties(experiment),
    within,
  };
}

/**
 * What breaks is refused in its place and the rest goes on: one run out of many must not take the others along.
 * @param what names it: "Run 2"
 */
export function guarded<T>(what: string, work: () => T): T | Refused {
  try {
    return work();
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return refuse(
      'failed',
      `${what} could not be worked out (${why.slice(0, 200)}). Set its odd readings aside or take it out; all else is worked out as usual.`,
    );
  }
}

/** The ceilings that all runs together tell; null where they have their own, or tell none. */
function tiedBy(
  runs: readonly (RunAnalysis | Refused)[],
  activation: Measured | null,
  withoutUnstated: boolean | undefined,
): Ties {
  const found = guarded('The ceiling of all runs', () => ({
    ok: true,
    tied: tieCeilings(runs, activation?.value, withoutUnstated),
  }));
  return 'tied' in found ? found.tied : null;
}

/** How the rate falls within the runs; null where no run tells, or it cannot be worked out. */
function commonCurve(runs: readonly (RunAnalysis | Refused)[], activation: Measured | null): WithinOrder | null {
  const found = guarded('The curve of all runs', () => ({ ok: true, within: withinOrder(runs, activation?.value) }));
  return 'within' in found ? found.within : null;
}

/** The law at the orders that all readings together accept, where they tell them. */
function ledBy(
  whole: WholeResult | Refused,
  law: RateLaw | Refused,
  experiment: Experiment,
  runs: readonly (RunAnalysis | Refused)[],
  setting: LawSetting,
): RateLaw | Refused {
  if (!law.ok || !whole.ok || setting.orders || law.problems.length > 0) return law;
  const orders = whole.accepted?.orders;
  const same = orders && Object.entries(law.accepted?.orders ?? {}).every(([name, order]) => orders[name] === order);
  if (!orders || (law.accepted && same)) return law;
  const again = warned(lawOf(experiment, runs, { ...setting, orders }), experiment);
  if (!again.ok) return law;
  const judged = Object.entries(again.orders).map(([name, order]) => [
    name,
    { ...order, accepted: orders[name] ?? null, reason: 'All readings together accept this order.' },
  ]);
  return { ...again, orders: Object.fromEntries(judged) };
}

/** With the first readings left out as a surge no curve shows held-back gas: all of them must lie on one that has them. */
function explainedAtStart(
  runs: readonly (RunAnalysis | Refused)[],
  activation: Measured | null,
): ReadonlyMap<RunData, ReadonlySet<number>> {
  const none = new Map<RunData, ReadonlySet<number>>();
  if (!flagsAtStart(runs)) return none;
  const asCalled = runs.map((one) => (one.ok && one.flags.length > 0 ? { ...one, flags: [] } : one));
  const explained = explainedFlags(runs, commonCurve(asCalled, activation));
  const all = runs.every((one) => !one.ok || one.flags.length === (explained.get(one.run)?.size ?? 0));
  return all ? explained : none;
}

interface Together extends Pick<Evidence, 'experiment' | 'within' | 'bendsDiffer'> {
  readonly analysed: readonly (RunAnalysis | Refused)[];
}

/** The runs by themselves, then with the ceilings and the curve that all of them together tell. */
function together(
  asGiven: Experiment,
  options: ExperimentOptions,
  { activationJPerMol }: LawSetting,
  before: Before | null,
): Together {
  const runOptions = { ...options, ...(activationJPerMol ? { activationJPerMol } : {}) };
  const analyseOne = (run: RunData, more: AnalysisOptions = {}): RunAnalysis | Refused =>
    guarded(`Run ${run.label}`, () => analyseRun(run, { ...runOptions, ...more }));
  const alone = asGiven.runs.map((run, i) => {
    const known = before?.experiment.runs[i] === run ? before.analysed[i] : undefined;
    const found = known ?? analyseOne(run);
    options.onRun?.(i + 1);
    return found;
  });
  const ties = tiedBy(alone, activationJPerMol, options.withoutUnstated);
  const bendsDiffer = ties === 'bends-differ';
  const tied = bendsDiffer ? null : ties;
  const runs = tied ? asGiven.runs.map((run) => tied.get(run) ?? run) : asGiven.runs;
  const experiment = tied ? { ...asGiven, runs } : asGiven;
  const flagged = tied
    ? alone.map((found, i) => (runs[i] === asGiven.runs[i] ? found : analyseOne(nth(runs, i))))
    : alone;
  if (before && areMany(flagged)) {
    options.onRuns?.(flagged);
    const { within: known } = before;
    return {
      experiment,
      analysed: flagged,
      within: known && { ...known, rates: new Map([...known.rates, ...known.settled]) },
      bendsDiffer,
    };
  }
  const first = commonCurve(flagged, activationJPerMol);
  const explained = first?.lag ? explainedFlags(flagged, first) : explainedAtStart(flagged, activationJPerMol);
  const analysed = flagged.map((found) => {
    const none = found.ok ? explained.get(found.run) : undefined;
    if (!found.ok || !none) return found;
    return analyseOne(found.run, { keepFlag: (_, { index }) => !none.has(index) });
  });
  options.onRuns?.(analysed);
  const within = explained.size === 0 ? first : commonCurve(analysed, activationJPerMol);
  return { experiment, analysed, within, bendsDiffer };
}

/** The law as the readings stand, and with every flag dealt with. */
function unsettledOf(evidence: Evidence, options: ExperimentOptions, before: Before): Unsettled | null {
  const flagged = evidence.runs.flatMap((run) => (run.ok && run.flags.length > 0 ? [run] : []));
  if (flagged.length === 0) return null;
  const flagsOf = new Map(flagged.map(({ run, flags }) => [run, flags]));
  const settled: Experiment = {
    ...evidence.experiment,
    runs: evidence.experiment.runs.map((run) => {
      const flags = flagsOf.get(run);
      return flags ? applyFlags(run, flags) : run;
    }),
  };
  const { onRun: _, onRuns: __, ...quiet } = options;
  const without = analyse(settled, { ...quiet, withoutFlags: true }, before).headline;
  const asItStands = headlineOf(evidence, judgeLaw(evidence, null), null);
  return {
    count: flagged.reduce((sum, { flags }) => sum + flags.length, 0),
    runs: flagged.map(({ run }) => run.label),
    with: asItStands,
    without,
    differ: lawsDiffer(asItStands, without),
  };
}

/** The law with a warning where runs at different temperatures could not be brought to one. */
function warned(law: RateLaw | Refused, { runs, activationJPerMol }: Experiment): RateLaw | Refused {
  const temperatures = runs.flatMap((run) => (run.temperatureK ? [run.temperatureK.value] : []));
  const spread = Math.max(...temperatures) - Math.min(...temperatures);
  if (!law.ok || activationJPerMol || !(spread > sameTemperature)) return law;
  const sentence = `The runs were up to ${spread.toFixed(1)} degrees apart, and no activation energy is known: orders and k are mixed with the effect of temperature.`;
  return { ...law, problems: [...law.problems, { species: 'temperature', kind: 'confounded', with: [], sentence }] };
}

/** Runs closer than this are at one temperature, K. */
const sameTemperature = 1;

/**
 * Activation energy from runs at different temperatures whose concentrations differ too: ln(rate) has the further term
 * (Ea/R)(1/T0 - 1/T), a column like that of a concentration, so the law's own fit tells whether it is independent of the
 * others. Null when all runs are at one temperature, or it cannot be told.
 */
function jointActivation(experiment: Experiment): Measured | null {
  const temperatures = experiment.runs.flatMap((run) => (run.temperatureK ? [run.temperatureK.value] : []));
  if (temperatures.length < experiment.runs.length || temperatures.length < 2) return null;
  if (!(Math.max(...temperatures) - Math.min(...temperatures) > sameTemperature)) return null;
  const middle = temperatures.reduce((sum, t) => sum + t, 0) / temperatures.length;
  const setting = settingOf(experiment);
  const analysed = experiment.runs.map((run) =>
    guarded(`Run ${run.label}`, () => analyseRun(run, { withoutFlags: true })),
  );
  const kelvinOf = new Map(experiment.runs.map((run, i) => [run.label, nth(temperatures, i)]));
  // In units of 10^4 K, so that the column is of the size of a logarithm of concentrations.
  const column = 'temperature';
  const rows = lawRows(analysed, setting).map((row) => ({
    ...row,
    concentrations: {
      ...row.concentrations,
      [column]: {
        value: Math.exp(1e4 * (1 / middle - 1 / held(kelvinOf, row.label))),
        u: 0,
        uCommonRelative: 0,
      },
    },
  }));
  const law = rateLaw(rows);
  const found = law.ok ? law.orders[column] : undefined;
  return found ? { value: found.value * 1e4 * GAS_CONSTANT, u: found.u * 1e4 * GAS_CONSTANT } : null;
}

/** What turns run rates into rows of the law: decided once for an experiment. */
export interface LawSetting {
  readonly unit: 'amount' | 'volume';
  readonly referenceK: number | null;
  readonly activationJPerMol: Measured | null;
  readonly orders?: Readonly<Record<string, number>>;
  /** Rate of a run at its own temperature over that at the reference temperature; 1 where Ea is not known. */
  readonly pace: (run: RunData) => number;
}

export function settingOf(experiment: Experiment, options: ExperimentOptions = {}): LawSetting {
  const activation = options.activationJPerMol ?? experiment.activationJPerMol ?? null;
  const referenceK = referenceOf(experiment);
  return {
    unit: unitOf(experiment),
    referenceK,
    activationJPerMol: activation,
    pace: (run) =>
      run.temperatureK && referenceK !== null && activation
        ? arrheniusFactor(run.temperatureK.value, referenceK, activation.value)
        : 1,
    ...(options.orders ? { orders: options.orders } : {}),
  };
}

function referenceOf(experiment: Experiment): number | null {
  const temperatures = experiment.runs.flatMap((run) => (run.temperatureK ? [run.temperatureK.value] : []));
  return temperatures.length === 0 ? null : temperatures.reduce((sum, t) => sum + t, 0) / temperatures.length;
}

const unitOf = (experiment: Experiment): 'amount' | 'volume' =>
  experiment.runs.length > 0 && experiment.runs.every((run) => amountPerVolumeRate(run) !== null) ? 'amount' : 'volume';

/**
 * Rows of the rate-law table from analysed runs, in mol, L and s: concentrations in mol/L; rates in mol/(L s), or in m3/s
 * of gas where amounts are not known; at the reference temperature when Ea is known.
 */
export function lawRows(runs: readonly (RunAnalysis | Refused)[], setting: LawSetting): LawRow[] {
  return runs.flatMap((analysis) => {
    if (!analysis.ok || !analysis.used || !analysis.run.concentrations) return [];
    const { run, used } = analysis;
    const factor = rateFactor(run, setting);
    const ceilingU = used.uShared.ceiling * (run.ceilingM3 ? (run.ceilingTiedBy ? 0 : 1) : ownShareOfCeiling(run));
    // Without a called baseline what was made before the first reading is not among the uncertain inputs.
    const readings = combineContributions([
      { u: Math.sqrt(Math.max(used.uReadings ** 2 - (used.uCurve ?? 0) ** 2, 0)), df: used.dfReadings },
      { u: run.baselineM3 ? 0 : used.uShared.baseline, df: Number.POSITIVE_INFINITY },
    ]);
    // Runs of different length feel the same bend differently: it is not wholly shared, so it counts in their weights.
    const own = Math.hypot(
      readings.u,
      used.uCurve ?? 0,
      run.baselineM3 ? used.uShared.baseline : 0,
      ceilingU,
      setting.unit === 'amount' ? used.rateM3PerS * ownShareDissolved(run) : 0,
    );
    return [
      {
        label: run.label,
        rate: used.rateM3PerS * factor,
        uRate: own * factor,
        uReadings: readings.u * factor,
        dfRate: readings.df,
        concentrations: inMolPerL(concentrationsAt(run, used)),
      },
    ];
  });
}

const inMolPerL = (concentrations: NonNullable<RunData['concentrations']>): LawRow['concentrations'] =>
  Object.fromEntries(
    Object.entries(concentrations).map(([name, c]) => [
      name,
      { value: c.value / 1000, u: c.u / 1000, uCommonRelative: c.uCommonRelative },
    ]),
  );

/** From m3/s of gas at the run's temperature to the unit of the law at the reference temperature. */
function rateFactor(run: RunData, setting: LawSetting): number {
  const amount = setting.unit === 'amount' ? amountPerVolumeRate(run) : null;
  if (setting.unit === 'amount' && !amount)
    throw new OutOfRange('A run tells no amount of gas, though its law is in amounts.', run.label);
  return (amount ? amount.factor / 1000 : 1) / setting.pace(run);
}

/** By how much the gas dissolved makes the amount of a run differ from its sisters', relative. */
function ownShareDissolved({ gas }: RunData): number {
  const dissolved = gas?.dissolved;
  return dissolved ? Math.hypot(dissolved.uOwn, dissolved.uSlant) / (1 + dissolved.perCollected) : 0;
}

/** Which part of the uncertainty of a ceiling derived from pours is this run's own. */
function ownShareOfCeiling(run: RunData): number {
  const limiting = run.gas?.limiting ?? '';
  const solid = run.solids?.[limiting];
  const c = solid ? { value: solid.mol, u: solid.u } : run.gas && run.concentrations?.[limiting];
  const ceiling = ceilingOf(run);
  if (!c || !ceiling || !(ceiling.u > 0)) return 0;
  return Math.min(1, c.u / c.value / (ceiling.u / ceiling.value));
}

/**
 * Concentrations at the moment the rate belongs to. The first-order rate holds at mixing; a slope at the first reading
 * belongs to what was left then, a line's to the middle of the run - told when baseline and ceiling are known.
 */
export function concentrationsAt(run: RunData, used: RateEstimate): NonNullable<RunData['concentrations']> {
  const { concentrations } = run;
  if (!concentrations) throw new OutOfRange('A run tells no concentrations, though its rate is in a law.', run.label);
  const limiting = run.gas?.limiting;
  const ceiling = ceilingOf(run);
  if (used.at === 'zero-gas' || limiting === undefined || !run.baselineM3 || !ceiling) return concentrations;
  const baseline = run.baselineM3.value;
  const perM3 = growthPerM3(run);
  const made = run.readings
    .filter((r) => r.setAside === undefined)
    .map((r) => atStartPressure(perM3, r.volumeM3 - baseline));
  const at = used.at === 'first-reading' ? Math.min(...made) : made.reduce((a, b) => a + b, 0) / made.length;
  const left = 1 - at / atStartPressure(perM3, ceiling.value);
  const c = concentrations[limiting];
  if (!c || !(left > 0.01 && left < 1)) return concentrations;
  return { ...concentrations, [limiting]: { ...c, value: c.value * left, u: c.u * left } };
}

/**
 * The rate law with the effect of every uncertain input: each is moved by its standard uncertainty either way, every
 * run's rate computed anew by the same estimator, and orders and k with it (GUM 5.1.3, by differences). So an input
 * that enters twice - a stock's strength as concentration and as ceiling - is carried with its own correlation.
 */
function lawOf(
  experiment: Experiment,
  runs: readonly (RunAnalysis | Refused)[],
  setting: LawSetting,
): RateLaw | Refused {
  const rows = lawRows(runs, setting);
  if (rows.length === 0 && experiment.runs.some((run) => run.concentrations))
    return refuse('not-positive', 'No run whose concentrations are known has a rate, so there is no rate law to find.');
  const lawOptions = setting.orders ? { orders: setting.orders } : {};
  const mover = lawMover(rows);
  if (!mover.ok) return mover;
  const estimatorOf = new Map(runs.flatMap((a) => (a.ok && a.used ? [[a.run.label, a.used.estimator] as const] : [])));
  const curveOf = new Map(
    runs.flatMap((a) => {
      // By a choice of the person's the tied ceiling may still be the run's own.
      const u = a.ok ? (a.used?.uCurve ?? (a.run.ceilingTiedBy === undefined ? 0 : a.used?.uShared.ceiling)) : 0;
      return a.ok && a.used && u ? [[a.run.label, u / a.used.rateM3PerS] as const] : [];
    }),
  );
  const unmoved = new Set(experiment.runs);
  const rowOf = new Map(rows.map((row) => [row.label, row]));
  // Most inputs touch one run only; the others are the same object and need no new fit and no new row.
  const known = new Map<RunData, LawRow[]>();
  const rowsOf = (run: RunData): LawRow[] => {
    const estimator = estimatorOf.get(run.label);
    if (!estimator) return [];
    const found = known.get(run);
    if (found) return found;
    // The weights stay those of the unmoved rows: they are no part of what an input does.
    const made = lawRows([rateOnly(bare(run), estimator, setting.activationJPerMol)], setting).map((row) => {
      const own = rowOf.get(row.label) ?? row;
      const uRate = own.uRate === null ? null : (own.uRate / own.rate) * row.rate;
      return { ...row, uRate, concentrations: withU(row, own) };
    });
    if (unmoved.has(run)) known.set(run, made);
    return made;
  };
  const at = (moved: Experiment): LawValues | null => mover.at(moved.runs.flatMap(rowsOf));
  const half = (a: number | null, b: number | null): number => (a && b ? Math.log(a / b) / 2 : 0);
  const moves = inputsToMove(experiment).flatMap((input) => {
    const up = at(input.move(experiment, 1));
    const down = at(input.move(experiment, -1));
    return up && down ? [{ input, up, down }] : [];
  });
  const bend = (z: number): LawValues | null =>
    mover.at(rows.map((row) => ({ ...row, rate: row.rate * Math.exp(z * (curveOf.get(row.label) ?? 0)) })));
  const bent = {
    input: { source: 'how the rate falls', shared: true, commonTo: undefined },
    up: bend(1),
    down: bend(-1),
  };
  const all = [...moves, ...(curveOf.size > 0 ? [bent] : [])];
  const effectsAt = (accepted: Readonly<Record<string, number>>): InputEffect[] =>
    all
      .flatMap(({ input, up, down }) => (up && down ? [{ input, up, down }] : []))
      .map(({ input, up, down }) => ({
        source: input.source,
        shared: input.shared,
        commonTo: input.commonTo,
        lnK: half(up.k, down.k),
        lnKAccepted: half(up.kAt(accepted), down.kAt(accepted)),
        orders: Object.fromEntries(
          mover.told.map((name) => [name, (named(up.orders, name) - named(down.orders, name)) / 2]),
        ),
      }));
  // Which orders are accepted depends on what the inputs do to the orders, not to k.
  const judged = rateLaw(rows, { ...lawOptions, effects: effectsAt({}) });
  if (!judged.ok) return judged;
  const accepted = (judged.accepted ?? judged.effective)?.orders;
  return accepted ? rateLaw(rows, { ...lawOptions, effects: effectsAt(accepted) }) : judged;
}

const withU = (row: LawRow, own: LawRow): LawRow['concentrations'] =>
  Object.fromEntries(
    Object.entries(row.concentrations).map(([name, c]) => [name, { ...c, u: own.concentrations[name]?.u ?? c.u }]),
  );

/** Rate constants of the runs at their own temperatures, at the accepted orders. */
function ofTemperature(
  experiment: Experiment,
  runs: readonly (RunAnalysis | Refused)[],
  law: RateLaw | Refused,
  setting: LawSetting,
): TemperatureFit | Refused {
  const orders = law.ok ? (law.accepted ?? law.effective)?.orders : undefined;
  if (!orders) return refuse('no-orders', 'Without accepted orders there are no rate constants to compare.');
  const own = { ...setting, pace: () => 1 };
  const rows = new Map(lawRows(runs, own).map((row) => [row.label, row]));
  const points = experiment.runs.flatMap((run): RateConstantAt[] => {
    const row = rows.get(run.label);
    if (!row || !run.temperatureK) return [];
    let k = row.rate;
    let relative = ((row.uRate ?? 0) / row.rate) ** 2;
    for (const [name, order] of Object.entries(orders)) {
      const c = row.concentrations[name];
      if (!c) return [];
      k /= c.value ** order;
      relative += ((order * c.u) / c.value) ** 2;
    }
    return [
      { label: run.label, temperatureK: run.temperatureK.value, k, u: relative > 0 ? k * Math.sqrt(relative) : null },
    ];
  });
  return temperatureFit(points);
}
