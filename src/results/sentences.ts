import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../analysis/analyse-run.ts';
import { type CheckWithoutCeiling, checkWithoutCeiling } from '../analysis/check-without-ceiling.ts';
import { type RateEstimate, slopeOn } from '../analysis/estimate.ts';
import { isLate } from '../analysis/late-rate.ts';
import type { Refused } from '../analysis/run-data.ts';
import { isTold } from '../analysis/tied-ceilings.ts';
import { unbroken } from '../analysis/unbroken.ts';
import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { problemText, refusalText, sourceText } from './analysis-texts.ts';

import { figureText, roundByUncertainty } from './round-by-uncertainty.ts';
import { resultTexts } from './texts.ts';
import { formText, lagText } from './verdict-texts.ts';

/** One plain sentence (or two) under each result. Percentages are whole; rates are in mL/s. */

/** What happened in a run, for a person who has not heard of estimators. */
export function runSentence(analysis: RunAnalysis | Refused, language: PageLanguage = 'en'): string {
  const t = resultTexts[language].runs;
  if (!analysis.ok) return refusalText(analysis, language);
  const { run, used, frame } = analysis;
  if (analysis.falling !== null) return language === 'en' ? analysis.falling : t.noRate(run.label);
  if (!used) return t.noRate(run.label);
  const parts = [modelSentence(analysis, language) ?? flowSentence(analysis, used, language)];
  if (isLate(analysis)) parts.push(t.lateRate(run.label));
  const relative = used.rateM3PerS > 0 ? (used.u / used.rateM3PerS) * 100 : 0;
  if (relative > 0 && Number.isFinite(relative))
    parts.push(t.known(relative < 10 ? relative.toFixed(1) : relative.toFixed(0)));
  if (used.at === 'zero-gas' && !run.baselineM3) parts.push(t.noBaseline);
  if (used.scatter.basis === 'scatter' && frame.stated) parts.push(t.scatters);
  const check = checkWithoutCeiling(analysis);
  if (check) parts.push(checkSentence(check, language));
  return unbroken(numbersIn(language, parts.join(' ')));
}

/** k' of a long run by pairs of its readings, beside that of its curve. */
function checkSentence({ guggenheim, timeLag, curve, differ }: CheckWithoutCeiling, language: PageLanguage): string {
  const t = resultTexts[language].runs;
  const figure = ({ perS, u }: CheckWithoutCeiling['curve']): string => figureText(roundByUncertainty(perS, u));
  const said = t.withoutCeiling(figure(guggenheim), figure(timeLag), figure(curve));
  return differ ? `${said} ${t.withoutCeilingDiffers}` : said;
}

/** Held-back gas, or another form than first order; null where neither shows. */
function modelSentence({ model }: RunAnalysis, language: PageLanguage): string | null {
  if (!model) return null;
  const form = model.form === 'first-order' ? null : formText(model, language);
  const said = [lagText(model, language), form].filter((text) => text !== null);
  return said.length > 0 ? said.join(' ') : null;
}

/** Whether the gas came steadily, slower or faster, and how that is dealt with. */
function flowSentence(analysis: RunAnalysis, used: RateEstimate, language: PageLanguage): string {
  const t = resultTexts[language].runs;
  const { run, frame } = analysis;
  // The sentence about the shape leaves flagged readings out: a surge or a late call is no bend.
  const { shape } = analysis.withoutFlags ?? used;
  const first = slopeOn(shape, frame.firstTimeS);
  const last = slopeOn(shape, frame.firstTimeS + frame.timeScaleS);
  const change = first > 0 ? Math.round((1 - last / first) * 100) : 0;
  const { ceilingM3 } = used;
  if (ceilingM3?.from === 'tied' && !isTold(ceilingM3)) return t.bendOpen(run.label);
  if (used.estimator === 'line') {
    const { quadratic } = analysis.estimates;
    if (analysis.flags.length > 0 && analysis.usedBy === 'recommendation') return t.apart(run.label);
    return quadratic.ok && (quadratic.curvature?.p ?? 1) < 0.05 ? t.mean(run.label) : t.steady(run.label);
  }
  if (change >= 2)
    return used.estimator === 'firstOrder' ? t.slowerUsedUp(run.label, change) : t.slower(run.label, change);
  return change <= -2 ? t.faster(run.label, -change) : t.hardly(run.label);
}

/** How much the flags matter. */
export function flagsSentence(analysis: RunAnalysis, language: PageLanguage): string | null {
  const t = resultTexts[language].runs;
  const { flags, used, withoutFlags } = analysis;
  const { length } = flags;
  if (length === 0) return null;
  if (!used || !withoutFlags) return `${t.flagged(length)}.`;
  const change = Math.round((withoutFlags.rateM3PerS / used.rateM3PerS - 1) * 1000) / 10;
  // A run without a rate has nothing to compare with.
  if (!Number.isFinite(change)) return `${t.flagged(length)}.`;
  return change === 0
    ? `${t.flagged(length)}; ${t.sameWithout(length)}.`
    : unbroken(numbersIn(language, `${t.flagged(length)}. ${t.rateWithout(length, Math.abs(change), change > 0)}`));
}

/** Nearer than volumes can be measured is near enough. */
const nearEnough = 0.05;

const leavesOut = (
  { value, low95, high95 }: { value: number; low95: number; high95: number },
  order: number,
): boolean => (order < low95 || order > high95) && Math.abs(value - order) > nearEnough;

/** What the rate law says. */
export function lawSentence(
  { law, whole }: ExperimentAnalysis,
  nameOf: (species: string) => string = (s) => s,
  language: PageLanguage = 'en',
): string {
  const t = resultTexts[language];
  if (!law.ok) return refusalText(law, language);
  const told = Object.entries(law.orders);
  const problems = law.problems.map((problem) => problemText(problem, language));
  if (told.length === 0) return problems.join(' ');
  const parts = told.map(([species, order]) => {
    const name = nameOf(species);
    if (order.accepted === null) return t.law.notWhole(name);
    // The leading fit may leave out what the rates alone allow: then no number is called.
    const lead = (whole.ok && whole.orders[species]) || order;
    if (leavesOut(lead, order.accepted))
      return t.law.notQuite(name, figureText(roundByUncertainty(lead.value, lead.u)));
    if (order.accepted === 0) return t.law.noInfluence(name);
    if (order.accepted === 1) return t.law.doubles(name);
    return t.law.times(name, Number((2 ** order.accepted).toPrecision(3)));
  });
  const first = parts.join(`, ${t.and} `);
  return [`${first.charAt(0).toUpperCase()}${numbersIn(language, first.slice(1))}.`, ...problems].join(' ');
}

/** Which input would be worth improving. */
export function budgetSentence({ whole, law }: ExperimentAnalysis, language: PageLanguage = 'en'): string | null {
  const lines =
    whole.ok && whole.accepted ? whole.accepted.budget : law.ok && law.accepted ? sharesOf(law.accepted.shares) : [];
  const [largest] = lines;
  if (!largest) return null;
  const total = Math.sqrt(lines.reduce((sum, { u }) => sum + u * u, 0)) * 100;
  return unbroken(
    numbersIn(
      language,
      resultTexts[language].budget.sentence(
        total < 10 ? total.toFixed(1) : total.toFixed(0),
        Math.round(largest.share * 100),
        sourceText(largest.source, language),
      ),
    ),
  );
}

export function sharesOf(
  shares: readonly { readonly source: string; readonly u: number }[],
): { source: string; u: number; share: number }[] {
  const total = shares.reduce((sum, { u }) => sum + u * u, 0);
  return shares.map(({ source, u }) => ({ source, u, share: total > 0 ? (u * u) / total : 0 }));
}

/** How the runs agree about k. */
export function agreementSentence({ law }: ExperimentAnalysis, language: PageLanguage = 'en'): string | null {
  if (!law.ok || !law.accepted || law.accepted.birge === null) return null;
  const t = resultTexts[language].law;
  const { birge } = law.accepted;
  if (birge < 1.5) return t.agree;
  return birge < 2.5 ? t.agreeLess : t.contradict;
}

/** Accepted k against the published one at the same temperature, both in L, mol, s. */
export function comparisonSentence(
  k: number,
  u: number,
  published: number,
  source: string,
  language: PageLanguage = 'en',
): string {
  const t = resultTexts[language].law;
  const ratio = k / published;
  const percent = Math.abs(Math.round((ratio - 1) * 100));
  const about = percent === 0 ? t.same : unbroken(ratio > 1 ? t.above(percent) : t.below(percent));
  const within = Math.abs(k - published) / u < 2;
  const factor = Math.abs(ratio - 2) < 0.2 || Math.abs(ratio - 0.5) < 0.05 ? t.factorTwo : '';
  return numbersIn(language, `${t.published(about, Number(published.toPrecision(3)), source, within)}${factor}`);
}
