import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { displacedAtLast } from '../analysis/displaced-at-last.ts';
import { growthPerM3 } from '../analysis/gas-frame.ts';
import type { RunData } from '../analysis/run-data.ts';
import { headspaceCorrection } from '../chemistry/gas.ts';
import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { resultTexts } from './texts.ts';

/** What the rising level does to the figures of an experiment, in one sentence or two; none where it is not corrected for. */
export function pressedGasNotes({ experiment }: ExperimentAnalysis, language: PageLanguage = 'en'): string[] {
  const shares = experiment.runs.flatMap((run) => shareOf(run) ?? []);
  if (shares.length === 0) return [];
  const percent = (part: 'start' | 'end'): string =>
    (100 * Math.max(...shares.map((share) => share[part]))).toPrecision(2);
  return [numbersIn(language, resultTexts[language].pressed(percent('start'), percent('end')))];
}

function shareOf(run: RunData): { readonly start: number; readonly end: number } | null {
  const { gas, temperatureK } = run;
  const back = gas?.back;
  if (!back || !temperatureK || growthPerM3(run) === 0 || run.readings.length === 0) return null;
  const at = (m3: number): number => headspaceCorrection(back, gas.pressurePa.value, temperatureK.value, m3);
  return { start: at(0), end: at(displacedAtLast(run)) };
}
