import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { DissolvedGas } from '../analysis/run-data.ts';
import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { resultTexts } from './texts.ts';

/** A factor as it is shown: 1.55. */
const factorText = (perCollected: number): string => (1 + perCollected).toPrecision(3);

/** What the liquids may keep back of the gas, how it is corrected for and how wide that is; none where it is not looked at. */
export function dissolvedGasNotes({ experiment }: ExperimentAnalysis, language: PageLanguage = 'en'): string[] {
  const found = experiment.runs.flatMap(({ label, gas }) => (gas?.dissolved ? [{ label, ...gas.dissolved }] : []));
  const widest = found.reduce<(typeof found)[number] | null>((a, b) => (a && widthOf(a) >= widthOf(b) ? a : b), null);
  if (!widest) return [];
  const t = resultTexts[language].dissolved;
  const { stated, label, perCollected, low, high, solutionHoldsM3, waterHoldsM3 } = widest;
  const ml = (m3: number): string => String(Number((m3 * 1e6).toPrecision(2)));
  const water = stated.water ?? 'not-stated';
  return [
    numbersIn(
      language,
      [
        t.holds(label, ml(solutionHoldsM3), t.water[water](ml(waterHoldsM3))),
        t.taken(factorText(perCollected), factorText(Math.max(low, -1)), factorText(high)),
      ].join(' '),
    ),
  ];
}

const widthOf = ({ low, high }: DissolvedGas): number => high - low;
