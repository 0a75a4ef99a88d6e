import type { Interval } from '../../analysis/temperature.ts';
import { figureText, roundByUncertainty } from '../../results/round-by-uncertainty.ts';
import { local } from '../texts.ts';

import { ratesTexts } from './texts.ts';

/** "0.0995 ± 0.0012": the digits that the table and the report print, as the page's language writes them. */
export const figure = (value: number, u: number | null | undefined, factor = 1): string =>
  local(figureText(roundByUncertainty(value * factor, u === null || u === undefined ? undefined : u * factor)));

/** A value to the decimal place that its uncertainty leaves, without the uncertainty: an end of an interval. */
function endOf(value: number, u: number | null, factor: number): string {
  const rounded = roundByUncertainty(value * factor, u ? u * factor : undefined);
  return local(figureText(rounded && { ...rounded, u: null }));
}

/** "0.0971 to 0.1019"; words where there is no end to it. */
export function rangeText(low: number | null, high: number | null, u: number | null, factor = 1): string {
  if (low === null || high === null) return '–';
  if (!Number.isFinite(low) || !Number.isFinite(high)) return ratesTexts().endless;
  return `${endOf(low, u, factor)} ${ratesTexts().to} ${endOf(high, u, factor)}`;
}

/** A value in a unit a thousand times as large, as for kJ/mol from J/mol. */
export const kilo = ({ value, u }: Interval): string => figure(value, u, 1e-3);

/** A volume as it is called and kept: "23.4", with a point in every language. */
export const mlText = (m3: number): string => String(Number((m3 * 1e6).toPrecision(7)));

/** A difference of two volumes in mL: "0.04", "−0.02"; what rounds to nothing has no sign. */
export function differenceText(m3: number): string {
  const ml = (m3 * 1e6).toFixed(2);
  return local(Number(ml) === 0 ? ml.replace('-', '') : ml.replace('-', '−'));
}

export const secondsText = (s: number): string => local(s.toFixed(1).replace('-', '−'));
