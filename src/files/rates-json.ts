import type { AcceptedLaw } from '../analysis/accepted-law.ts';
import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../analysis/analyse-run.ts';
import { type CheckWithoutCeiling, checkWithoutCeiling } from '../analysis/check-without-ceiling.ts';
import type { RateEstimate } from '../analysis/estimate.ts';
import { withholdsConstant } from '../analysis/judge-law.ts';
import { lateRuns } from '../analysis/late-rate.ts';
import type { Flag } from '../analysis/outliers.ts';
import type { RateLaw } from '../analysis/rate-law.ts';
import type { Refused, RunData, RunReading } from '../analysis/run-data.ts';
import { isTold } from '../analysis/tied-ceilings.ts';
import type { Headline } from '../analysis/verdict.ts';
import { catalogue, type PageLanguage } from '../language/page-language.ts';
import { nth } from '../numerics/nth.ts';
import { chemistryText } from '../planning/chemistry-sentences.ts';
import { flagText, noteText, orderReason, problemText, reasonText, refusalText } from '../results/analysis-texts.ts';
import { dissolvedGasNotes } from '../results/dissolved-gas.ts';
import { pressedGasNotes } from '../results/pressed-gas.ts';
import { rateTable } from '../results/rate-table.ts';
import { runSentence } from '../results/sentences.ts';
import type { Cell, Column } from '../results/table.ts';
import { verdictReasonText, verdictText } from '../results/verdict-texts.ts';

/** What `npm run rates` prints: JSON values; every figure unrounded, in mL, s, mol/L. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

const inMl = (m3: number): number => m3 * 1e6;

/** A volume as it was called: decimals of a millilitre, without the dust of binary fractions. */
const calledMl = (m3: number): number => Number((m3 * 1e6).toPrecision(12));

/**
 * The whole answer for an experiment. Names of keys and codes are English in every language, so that a program finds them;
 * sentences are those of the screen in that language.
 */
export function experimentJson(
  analysis: ExperimentAnalysis,
  notes: readonly string[] = [],
  language: PageLanguage = 'en',
): Json {
  const said = [...notes, ...dissolvedGasNotes(analysis, language), ...pressedGasNotes(analysis, language)];
  const hasConcentrations = analysis.experiment.runs.some((run) => run.concentrations);
  const late = whyLate(analysis, language);
  const withheld = late ?? whyWithheld(analysis, language);
  return {
    runs: analysis.runs.map((run, i) => runJson(run, nth(analysis.experiment.runs, i).label, language)),
    ...(hasConcentrations ? verdictJson(analysis, language) : {}),
    law: hasConcentrations
      ? { ...lawJson(analysis.law, lawUnits(analysis, language), language, late), ...marked(withheld) }
      : null,
    ...(hasConcentrations && analysis.whole.ok ? { whole: { ...wholeJson(analysis), ...marked(withheld) } } : {}),
    ...(analysis.temperature.ok ? { temperature: temperatureJson(analysis.temperature) } : {}),
    ...(said.length > 0 ? { notes: said } : {}),
    table: tableJson(analysis, language),
  };
}

/** Beside figures that the verdict does not show: what k they have is not accepted. */
const marked = (withheld: string | null): { readonly [key: string]: Json } =>
  withheld === null ? {} : { k_shown: false, k_not_shown: withheld };

/** Whether the law fits, in a sentence and with its reasons, and the k to show first. */
function verdictJson(analysis: ExperimentAnalysis, language: PageLanguage): { [key: string]: Json } {
  const { verdict, headline, unsettled } = analysis;
  const { factor } = lawUnits(analysis, language);
  const headlineJson = (shown: Headline | null): Json =>
    shown && {
      from: shown.from,
      k: shown.k && {
        value: shown.k.value * factor,
        u: shown.k.u === null ? null : shown.k.u * factor,
        low95: shown.k.low95 === null ? null : shown.k.low95 * factor,
        high95: shown.k.high95 === null ? null : shown.k.high95 * factor,
        orders: shown.k.orders,
      },
    };
  return {
    verdict: {
      standing: verdict.standing,
      sentence: verdictText(verdict, language),
      reasons: verdict.reasons.map((reason) => ({ code: reason.code, sentence: verdictReasonText(reason, language) })),
    },
    headline: headlineJson(headline),
    ...(unsettled
      ? {
          unsettled: {
            readings: unsettled.count,
            runs: unsettled.runs,
            differ: unsettled.differ,
            with: headlineJson(unsettled.with),
            without: headlineJson(unsettled.without),
          },
        }
      : {}),
  };
}

/** The rate table by its own columns, so that a column of the table is here too: figures with unit and u, words as they stand. */
function tableJson(analysis: ExperimentAnalysis, language: PageLanguage): Json {
  const { columns, rows } = rateTable('', analysis, 'mL/s', language);
  return rows.map((row) =>
    Object.fromEntries(
      columns.flatMap((column, i): [string, Json][] => {
        const cell = row[i];
        return cell ? [[column.key, cellJson(column, cell)]] : [];
      }),
    ),
  );
}

function cellJson({ unit }: Column, cell: Cell): Json {
  if (cell.kind === 'text') return cell.text;
  if (cell.value === null) return null;
  const u = cell.u !== undefined && Number.isFinite(cell.u) ? cell.u : null;
  return { value: cell.value, u, ...(unit ? { unit: unit.ucum ?? unit.printed } : {}) };
}

function runJson(run: RunAnalysis | Refused, label: string, language: PageLanguage): Json {
  const reason = (refused: Refused) => reasonOf(refused, language);
  if (!run.ok) {
    const none = reason(run);
    return { run: label, line: none, quadratic: none, firstOrder: none, recommended: null, flags: [], ...none };
  }
  const { line, quadratic, firstOrder } = run.estimates;
  return {
    run: label,
    readings: run.frame.index.length,
    line: line.ok ? estimateJson(line) : reason(line),
    quadratic: quadratic.ok ? estimateJson(quadratic) : reason(quadratic),
    firstOrder: {
      ...(firstOrder.ok ? firstOrderJson(firstOrder) : reason(firstOrder)),
      ...(run.run.startS === undefined ? {} : { start_s: run.run.startS }),
      ...withoutCeilingJson(run),
      ...(run.fromPossibleStart ? { if_no_gas_at_0_s: firstOrderJson(run.fromPossibleStart) } : {}),
    },
    ...dissolvedJson(run.run),
    recommended: run.recommended?.name ?? null,
    reason: run.recommended ? reasonText(run, language) : run.falling === null ? null : runSentence(run, language),
    used: run.used
      ? { estimator: run.used.estimator, by: run.usedBy, ...rateJson(run.used), mean_rate: run.meanRate }
      : null,
    flags: run.flags.map((flag) =>
      flagJson(flag, nth(run.run.readings, flag.index), flagText(flag, run.run, language)),
    ),
    ...(run.withoutFlags ? { withFlagsSettled: rateJson(run.withoutFlags) } : {}),
    ...(run.withAll ? { withNoneSetAside: rateJson(run.withAll) } : {}),
  };
}

const reasonOf = (refused: Refused, language: PageLanguage): { reason: string } => ({
  reason: refusalText(refused, language),
});

/** What the liquids may keep back of the gas: the factor from gas collected to gas made, and its ends. */
function dissolvedJson({ gas }: RunData): { [key: string]: Json } {
  if (!gas?.dissolved) return {};
  const { stated, perCollected, uShared, uSlant, uOwn, low, high, solutionHoldsM3, waterHoldsM3 } = gas.dissolved;
  return {
    dissolved: {
      gas: stated.gas,
      water: stated.water ?? null,
      solution_can_hold_mL: inMl(solutionHoldsM3),
      water_can_hold_mL: inMl(waterHoldsM3),
      made_per_collected: 1 + perCollected,
      u: Math.hypot(uShared, uSlant, uOwn),
      low: 1 + low,
      high: 1 + high,
    },
  };
}

/** The check of k' by pairs of readings, where the run is long enough. */
function withoutCeilingJson(run: RunAnalysis): { [key: string]: Json } {
  const check = checkWithoutCeiling(run);
  if (!check) return {};
  const constant = ({ perS, u }: CheckWithoutCeiling['curve']): Json => ({ k_per_s: perS, u });
  return {
    without_ceiling: {
      guggenheim: constant(check.guggenheim),
      time_lag: constant(check.timeLag),
      differs_from_curve: check.differ,
    },
  };
}

function rateJson(estimate: RateEstimate): { [key: string]: Json } {
  return {
    rate_mL_per_s: inMl(estimate.rateM3PerS),
    u: inMl(estimate.u),
    df: Number.isFinite(estimate.df) ? estimate.df : null,
    low95_mL_per_s: inMl(estimate.low95),
    high95_mL_per_s: inMl(estimate.high95),
  };
}

function estimateJson(estimate: RateEstimate): Json {
  return {
    ...rateJson(estimate),
    at: estimate.at,
    mswd: estimate.scatter.mswd,
    u_from: estimate.scatter.basis,
    ...(estimate.curvature ? { curvature_p: estimate.curvature.p } : {}),
  };
}

function firstOrderJson(estimate: RateEstimate): { [key: string]: Json } {
  const { ceilingM3 } = estimate;
  // Where nothing bends, neither a ceiling nor k' is told.
  const open = ceilingM3?.from === 'tied' && !isTold(ceilingM3);
  const kPerS = open ? null : estimate.kPerS;
  return {
    k_per_s: kPerS?.value ?? null,
    u_k_per_s: kPerS?.u ?? null,
    ...rateJson(estimate),
    at: estimate.at,
    ceiling_mL: ceilingM3 && !open ? inMl(ceilingM3.value) : null,
    u_ceiling_mL: ceilingM3 && !open ? inMl(ceilingM3.u) : null,
    ceiling: open ? 'not told' : (ceilingM3?.from ?? 'fitted'),
    mswd: estimate.scatter.mswd,
    u_from: estimate.scatter.basis,
  };
}

/**
 * `index` counts the run's rows in the table as given, from 0, struck and set-aside ones included, and `line` is that of
 * the file; of a notebook it counts the readings that were not struck, and `reading` is the id.
 */
function flagJson(flag: Flag, { row, id }: RunReading, sentence: string): Json {
  return {
    index: row?.index ?? flag.index,
    ...(row ? { line: row.line } : {}),
    ...(id === undefined ? {} : { reading: id }),
    cause: flag.cause,
    ...(flag.suggestedM3 === undefined ? {} : { suggested_mL: calledMl(flag.suggestedM3) }),
    expected_mL: inMl(flag.expectedM3),
    ...(flag.lateS === undefined ? {} : { late_s: flag.lateS }),
    sentence,
  };
}

/** Units in which a law's k comes, and whose rate it states. */
export interface LawUnits {
  /** "mol/(L s)", "mL/s", or as the table has it. */
  readonly rate: string;
  readonly concentration: string;
  readonly convention: string;
  /** Factor from the law's own unit of rate to `rate`. */
  readonly factor: number;
}

const unitTexts = catalogue(
  {
    whose:
      'k is for the rate of the gas formed, d[gas]/dt. For a reactant of which two are used up per gas (2 H2O2 give one O2) the rate of its loss, and its k, is twice as large.',
    volume:
      'The rate is the volume of gas displaced per second, not an amount: k is in mL/s over (mol/L) to the sum of the orders.',
    orderOpen: 'No rate constant is stated while an order is open.',
    wild: 'No rate constant is stated at such orders.',
    tooWide: 'The interval of k is too wide to tell it.',
  },
  {
    whose:
      'k gilt für die Bildung des Gases, d[Gas]/dt. Wird von einem Stoff doppelt so viel verbraucht (2 H2O2 geben ein O2), so ist seine Geschwindigkeit, und sein k, doppelt so groß.',
    volume:
      'Die Geschwindigkeit ist das Gasvolumen je Sekunde, keine Stoffmenge: k hat die Einheit mL/s durch (mol/L) hoch die Summe der Ordnungen.',
    orderOpen: 'Solange eine Ordnung offen ist, wird keine Geschwindigkeitskonstante angegeben.',
    wild: 'Bei solchen Ordnungen wird keine Geschwindigkeitskonstante angegeben.',
    tooWide: 'Der Bereich von k ist zu weit, um k zu nennen.',
  },
);

/** Why no k is stated, where a starting rate is not known; null where all are. */
function whyLate({ runs }: ExperimentAnalysis, language: PageLanguage): string | null {
  const late = lateRuns(runs);
  return late.length > 0 ? verdictReasonText({ code: 'late-rates', runs: late }, language) : null;
}

/** Why the verdict shows no k, though the law or the fit of all readings may have one; null where it shows one. */
function whyWithheld({ headline, verdict, unsettled }: ExperimentAnalysis, language: PageLanguage): string | null {
  if (!headline || headline.k) return null;
  const reason = verdict.reasons.find((one) => withholdsConstant(one, unsettled));
  return reason ? verdictReasonText(reason, language) : unitTexts[language].tooWide;
}

/** Why there is no k at the estimated orders. */
function whyNoConstant({ problems }: RateLaw, english: string, language: PageLanguage): string {
  if (language === 'en') return english;
  const t = unitTexts[language];
  if (problems.length === 0) return t.wild;
  return [t.orderOpen, ...problems.map((problem) => problemText(problem, language))].join(' ');
}

export function lawUnits(analysis: ExperimentAnalysis, language: PageLanguage): LawUnits {
  const t = unitTexts[language];
  const { convention } = analysis.experiment;
  const whose = convention === undefined ? t.whose : chemistryText(convention, language);
  return analysis.unit === 'amount'
    ? { rate: 'mol/(L s)', concentration: 'mol/L', convention: whose, factor: 1 }
    : {
        rate: 'mL/s',
        concentration: 'mol/L',
        convention: `${t.volume} ${whose}`,
        factor: 1e6,
      };
}

/** @param late why no k is stated, where starting rates are not known */
export function lawJson(
  law: RateLaw | Refused,
  units: LawUnits,
  language: PageLanguage = 'en',
  late: string | null = null,
): { readonly [key: string]: Json } {
  if (!law.ok) return reasonOf(law, language);
  const sum = Object.values(law.orders).reduce((total, order) => total + order.value, 0);
  return {
    orders: Object.fromEntries(
      Object.entries(law.orders).map(([name, order]) => [
        name,
        {
          value: order.value,
          u: order.u,
          low95: finite(order.low95),
          high95: finite(order.high95),
          accepted: order.accepted,
          reason: language === 'en' ? order.reason : orderReason(order, language),
        },
      ]),
    ),
    k: law.k === null || late ? null : law.k * units.factor,
    u: law.u === null || late ? null : law.u * units.factor,
    k_unit: unitOf(units, sum),
    ...(late
      ? { k_reason: late }
      : law.kReason === null
        ? {}
        : { k_reason: whyNoConstant(law, law.kReason, language) }),
    accepted: late ? null : acceptedJson(law.accepted, units),
    ...(law.effective && !late ? { with_constants_in_k: acceptedJson(law.effective, units) } : {}),
    convention: units.convention,
    cannot_tell: law.problems.map((problem) => ({
      species: problem.species,
      sentence: problemText(problem, language),
    })),
    left_out: law.leftOut.map(({ label, sentence }) => ({ run: label, sentence: noteText(sentence, language) })),
  };
}

function acceptedJson(accepted: AcceptedLaw | null, units: LawUnits): Json {
  if (!accepted) return null;
  const { factor } = units;
  const times = (value: number | null): number | null => (value === null ? null : value * factor);
  return {
    orders: accepted.orders,
    k: accepted.k * factor,
    u: times(accepted.u),
    low95: times(accepted.low95),
    high95: times(accepted.high95),
    k_unit: unitOf(
      units,
      Object.values(accepted.orders).reduce((a, b) => a + b, 0),
    ),
    per_run: accepted.perRun.map(({ label, k, u }) => ({ run: label, k: k * factor, u: times(u) })),
    birge: accepted.birge,
  };
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

const unitOf = ({ rate, concentration }: LawUnits, order: number): string =>
  `${rate} / (${concentration})^${Number(order.toFixed(3))}`;

function wholeJson({ whole, unit, experiment }: ExperimentAnalysis): { readonly [key: string]: Json } {
  if (!whole.ok) return {};
  const factor = unit === 'amount' ? 1 : 1e6;
  const species = new Set(experiment.runs.flatMap((run) => Object.keys(run.concentrations ?? {})));
  const open = [...species].some((name) => whole.orders[name] === undefined);
  return {
    orders: Object.fromEntries(Object.entries(whole.orders).map(([name, { value, u }]) => [name, { value, u }])),
    k: open ? null : whole.k * factor,
    u: open ? null : whole.u * factor,
    mswd: whole.free.scatter.mswd,
    accepted: whole.accepted
      ? {
          orders: whole.accepted.orders,
          k: whole.accepted.k * factor,
          u: whole.accepted.u * factor,
          low95: whole.accepted.low95 * factor,
          high95: whole.accepted.high95 * factor,
          budget: whole.accepted.budget.map(({ source, u, share }) => ({ source, u_relative: u, share })),
        }
      : null,
  };
}

function temperatureJson(fit: Extract<ExperimentAnalysis['temperature'], { ok: true }>): Json {
  const interval = ({ value, u, low95, high95 }: typeof fit.activation): Json => ({
    value,
    u: finite(u),
    low95: finite(low95),
    high95: finite(high95),
  });
  return {
    activation_J_per_mol: interval(fit.activation),
    ln_A: interval(fit.lnA),
    enthalpy_J_per_mol: interval(fit.enthalpy),
    entropy_J_per_mol_K: interval(fit.entropy),
    df: fit.df,
  };
}
