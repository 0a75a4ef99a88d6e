import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { catalogue, numbersIn, type PageLanguage } from '../language/page-language.ts';
import { constantUnit } from './rate-table.ts';
import { figureText, roundByUncertainty } from './round-by-uncertainty.ts';
import { settleFirstText, verdictText } from './verdict-texts.ts';

/** Whether k can be used: `good`, `check` first, or `open` while something is missing that only another run can give. */
export interface Headline {
  readonly tone: 'good' | 'check' | 'open';
  readonly sentence: string;
}

const texts = catalogue(
  {
    check: (count: number) => `Check ${count === 1 ? 'one reading' : `${count} readings`} before you use this result.`,
    bothWays: (asItStands: string, settled: string) =>
      `: k is ${asItStands} as the readings stand and ${settled} once they are settled.`,
    noK: 'not to be had',
    ratesOnly: 'Each run has its rate. For the law, say what was in each flask.',
    noRate: 'No run has a rate yet.',
    open: 'The runs do not yet tell every order: one more run, with one thing changed, would.',
    unchecked: 'Not checked yet: repeat a run, or do one more.',
    good: 'The runs agree. You can use this k.',
  },
  {
    check: (count) =>
      `Prüfe ${count === 1 ? 'eine Ablesung' : `${count} Ablesungen`}, bevor du dieses Ergebnis benutzt.`,
    bothWays: (asItStands, settled) => `: Wie sie stehen, ist k ${asItStands}, nach dem Klären ${settled}.`,
    noK: 'nicht zu haben',
    ratesOnly: 'Jeder Lauf hat seine Geschwindigkeit. Für das Gesetz sag, was in jedem Kolben war.',
    noRate: 'Noch kein Lauf hat eine Geschwindigkeit.',
    open: 'Die Läufe verraten noch nicht jede Ordnung: Ein weiterer Lauf, in dem sich nur eines ändert, würde helfen.',
    unchecked: 'Noch nicht überprüft: Wiederhole einen Lauf oder mach noch einen.',
    good: 'Die Läufe stimmen überein. Du kannst dieses k benutzen.',
  },
);

/**
 * Whether the result can be trusted, in one sentence.
 * @param toCheck how many readings wait for a person
 */
export function headlineOf(analysis: ExperimentAnalysis, toCheck: number, language: PageLanguage = 'en'): Headline {
  const t = texts[language];
  const { law, runs, verdict } = analysis;
  if (!runs.some((run) => run.ok && run.used)) return { tone: 'open', sentence: t.noRate };
  const settleFirst = settleFirstText(analysis.unsettled, language);
  if (settleFirst !== null) return { tone: 'check', sentence: `${settleFirst}${bothWays(analysis, language)}` };
  if (toCheck > 0) return { tone: 'check', sentence: t.check(toCheck) };
  switch (verdict.standing) {
    case 'no-law':
      return { tone: 'open', sentence: !law.ok && law.reason === 'no-concentrations' ? t.ratesOnly : t.open };
    case 'fits':
      return verdict.reasons.some(({ code }) => code === 'nothing-left-over')
        ? { tone: 'open', sentence: t.unchecked }
        : { tone: 'good', sentence: t.good };
    default:
      return { tone: 'check', sentence: verdictText(verdict, language) };
  }
}

/** k with the flagged readings as they stand, and with all of them settled. */
function bothWays({ unsettled, unit }: ExperimentAnalysis, language: PageLanguage): string {
  const t = texts[language];
  const text = (headline: ExperimentAnalysis['headline']): string => {
    const k = headline?.k;
    if (!k) return t.noK;
    const of = constantUnit(
      Object.values(k.orders).reduce((sum, one) => sum + one, 0),
      unit,
    );
    const rounded = roundByUncertainty(k.value * of.factor, k.u === null ? undefined : k.u * of.factor);
    return `${figureText(rounded)} ${of.unit.printed}`;
  };
  return numbersIn(language, t.bothWays(text(unsettled?.with ?? null), text(unsettled?.without ?? null)));
}

/** k as it is stated first; null where the law does not fit or an order is open. */
export function bestConstant({ headline, law, unit }: ExperimentAnalysis): {
  readonly orders: Readonly<Record<string, number>>;
  readonly value: number;
  readonly u: number | undefined;
  readonly unit: string;
} | null {
  const k = headline?.k;
  if (!k) return null;
  const of = constantUnit(
    Object.values(k.orders).reduce((sum, one) => sum + one, 0),
    unit,
  );
  // Species in the order of the report's law.
  const named = Object.keys((law.ok && law.accepted?.orders) || k.orders);
  return {
    orders: Object.fromEntries(named.map((species) => [species, k.orders[species] ?? 0])),
    value: k.value * of.factor,
    u: k.u === null ? undefined : k.u * of.factor,
    unit: of.unit.printed,
  };
}
