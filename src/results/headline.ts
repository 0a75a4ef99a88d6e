import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { catalogue, type PageLanguage } from '../language/page-language.ts';
import { nothingLeftOver } from './law-remarks.ts';
import { constantUnit } from './rate-table.ts';

/** Whether k can be used: `good`, `check` first, or `open` while something is missing that only another run can give. */
export interface Headline {
  readonly tone: 'good' | 'check' | 'open';
  readonly sentence: string;
}

const texts = catalogue(
  {
    check: (count: number) => `Check ${count === 1 ? 'one reading' : `${count} readings`} before you use this result.`,
    ratesOnly: 'Each run has its rate. For the law, say what was in each flask.',
    noRate: 'No run has a rate yet.',
    open: 'The runs do not yet tell every order: one more run, with one thing changed, would.',
    noWhole: 'No whole or half orders fit these runs. Look for a run that went wrong.',
    contradict: 'The runs contradict one another about k: something differed between them.',
    differ: 'The runs differ a little more than their uncertainties say.',
    unchecked: 'Nothing checks this law yet: one more run, or a repeat, would.',
    good: 'The runs agree. You can use this k.',
  },
  {
    check: (count) =>
      `Prüfe ${count === 1 ? 'eine Ablesung' : `${count} Ablesungen`}, bevor du dieses Ergebnis benutzt.`,
    ratesOnly: 'Jeder Lauf hat seine Geschwindigkeit. Für das Gesetz sag, was in jedem Kolben war.',
    noRate: 'Noch kein Lauf hat eine Geschwindigkeit.',
    open: 'Die Läufe verraten noch nicht jede Ordnung: Ein weiterer Lauf, in dem sich nur eines ändert, würde helfen.',
    noWhole: 'Keine ganzen oder halben Ordnungen passen zu diesen Läufen. Such einen Lauf, der schiefging.',
    contradict: 'Die Läufe widersprechen einander bei k: Etwas war zwischen ihnen anders.',
    differ: 'Die Läufe unterscheiden sich etwas mehr, als ihre Unsicherheiten sagen.',
    unchecked: 'Noch prüft nichts dieses Gesetz: Ein weiterer Lauf oder eine Wiederholung würde es tun.',
    good: 'Die Läufe stimmen überein. Du kannst dieses k benutzen.',
  },
);

/** Where the runs differ about k by this many of their uncertainties, something is off (Birge ratio). */
const differing = 1.5;
const contradicting = 2.5;

/**
 * Whether the result can be trusted, in one sentence.
 * @param toCheck how many readings wait for a person
 */
export function headlineOf(
  { law, runs }: ExperimentAnalysis,
  toCheck: number,
  language: PageLanguage = 'en',
): Headline {
  const t = texts[language];
  if (!runs.some((run) => run.ok && run.used)) return { tone: 'open', sentence: t.noRate };
  if (toCheck > 0) return { tone: 'check', sentence: t.check(toCheck) };
  if (!law.ok) return { tone: 'open', sentence: law.reason === 'no-concentrations' ? t.ratesOnly : t.open };
  if (!law.accepted) return { tone: 'check', sentence: law.problems.length > 0 ? t.open : t.noWhole };
  const birge = law.accepted.birge ?? 0;
  if (nothingLeftOver(law)) return { tone: 'open', sentence: t.unchecked };
  if (birge >= contradicting) return { tone: 'check', sentence: t.contradict };
  return birge >= differing ? { tone: 'check', sentence: t.differ } : { tone: 'good', sentence: t.good };
}

/** k as it is stated first: from all readings at once where that can be had, else from the starting rates. */
export function bestConstant({ law, whole, unit }: ExperimentAnalysis): {
  readonly orders: Readonly<Record<string, number>>;
  readonly value: number;
  readonly u: number | undefined;
  readonly unit: string;
} | null {
  const accepted = whole.ok && whole.accepted ? whole.accepted : law.ok ? law.accepted : null;
  if (!accepted) return null;
  const order = Object.values(accepted.orders).reduce((sum, one) => sum + one, 0);
  const of = constantUnit(order, whole.ok && whole.accepted ? whole.accepted.fit.unit : unit);
  // Species in the order of the report's law.
  const named = Object.keys((law.ok && law.accepted?.orders) || accepted.orders);
  return {
    orders: Object.fromEntries(named.map((species) => [species, accepted.orders[species] ?? 0])),
    value: accepted.k * of.factor,
    u: accepted.u === null ? undefined : accepted.u * of.factor,
    unit: of.unit.printed,
  };
}
