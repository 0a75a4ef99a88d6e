import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import { catalogue, type PageLanguage } from '../language/page-language.ts';

/** A mistake of the unit that a figure out of range gives away. Values in the unit that was typed by mistake. */
interface Slip {
  readonly from: number;
  readonly to: number;
  readonly unit: string;
  /** The same in the unit of the field. */
  readonly meant: (value: number) => number;
}

interface Range {
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  readonly slips: readonly Slip[];
}

const times = (factor: number) => (value: number) => value * factor;

/**
 * What can be true on a bench where gas is collected over water. Ranges are wide on purpose: common practice, no source,
 * but for pressure (500 hPa is the air at 5.6 km, standard atmosphere) and concentration (nothing holds 60 mol/L; pure
 * water is 55 mol/L).
 */
const ranges = {
  temperatureC: {
    unit: '°C',
    low: -5,
    high: 100,
    slips: [
      { from: 268, to: 373.15, unit: 'K', meant: (value) => value - CELSIUS_ZERO_K },
      { from: 100, to: 212, unit: '°F', meant: (value) => ((value - 32) * 5) / 9 },
    ],
  },
  pressureHPa: {
    unit: 'hPa',
    low: 500,
    high: 1100,
    slips: [
      { from: 50_000, to: 110_000, unit: 'Pa', meant: times(0.01) },
      { from: 50, to: 110, unit: 'kPa', meant: times(10) },
      { from: 14, to: 32.5, unit: 'inHg', meant: times(33.8639) },
      { from: 0.5, to: 1.1, unit: 'bar', meant: times(1000) },
    ],
  },
  solutionMl: { unit: 'mL', low: 1, high: 5000, slips: [{ from: 0.001, to: 1, unit: 'L', meant: times(1000) }] },
  waterMl: { unit: 'mL', low: 5, high: 100_000, slips: [{ from: 0.005, to: 5, unit: 'L', meant: times(1000) }] },
  molarity: { unit: 'mol/L', low: 0, high: 60, slips: [{ from: 60, to: 20_000, unit: 'mmol/L', meant: times(0.001) }] },
  // A figure of 1 or less is more likely a share than a solid that is nearly all something else.
  purityPercent: { unit: '%', low: 1, high: 100, slips: [] },
  cylinderMl: { unit: 'mL', low: -10_000, high: 10_000, slips: [] },
  /** The greatest volume of a whole table. */
  greatestMl: {
    unit: 'mL',
    low: 0.001,
    high: 10_000,
    slips: [{ from: 10_000, to: 10_000_000, unit: 'µL', meant: times(0.001) }],
  },
  stepMl: { unit: 'mL', low: 0.01, high: 1000, slips: [] },
  headspaceMl: { unit: 'mL', low: 1, high: 10_000, slips: [{ from: 0.001, to: 1, unit: 'L', meant: times(1000) }] },
  boreMm: {
    unit: 'mm',
    low: 3,
    high: 300,
    slips: [{ from: 0.3, to: 3, unit: 'cm', meant: times(10) }],
  },
  activationJPerMol: {
    unit: 'J/mol',
    low: 1000,
    high: 500_000,
    slips: [{ from: 1, to: 500, unit: 'kJ/mol', meant: times(1000) }],
  },
  gasPerLimiting: {
    unit: 'mol/mol',
    low: 0.01,
    high: 100,
    slips: [{ from: 100, to: 400, unit: '%', meant: times(0.01) }],
  },
  uTemperatureC: { unit: '°C', low: 0, high: 20, slips: [] },
  uPressureHPa: { unit: 'hPa', low: 0, high: 100, slips: [{ from: 100, to: 10_000, unit: 'Pa', meant: times(0.01) }] },
} as const satisfies Record<string, Range>;

export type InputKind = keyof typeof ranges;

/**
 * What can be true, and is more often a slip of the unit: the air pressure of a high mountain that is one of mercury at the
 * sea, water so hot that its degrees are likelier those of Fahrenheit, a cylinder of which so little was filled that its
 * figures are likelier litres, so many moles of gas that they are likelier percent. Common practice, no source.
 */
const doubtfulRanges: Partial<Record<InputKind, Slip>> = {
  pressureHPa: { from: 700, to: 790, unit: 'mmHg', meant: times(1013.25 / 760) },
  temperatureC: { from: 59, to: 95, unit: '°F', meant: (value) => ((value - 32) * 5) / 9 },
  greatestMl: { from: 0.001, to: 0.5, unit: 'L', meant: times(1000) },
  gasPerLimiting: { from: 20, to: 100, unit: '%', meant: times(0.01) },
};

const texts = catalogue(
  {
    doubtful: (value: string, unit: string, looksLike: string, meant: string) =>
      `${value} ${unit} is taken as it stands; if it is ${value} ${looksLike}, write ${meant} ${unit}.`,
    slip: (value: string, unit: string, looksLike: string, meant: string) =>
      `${value} ${unit} cannot be right; it looks like ${value} ${looksLike}. That is ${meant} ${unit}.`,
    outside: (value: string, unit: string, low: string, high: string) =>
      `${value} ${unit} cannot be right: it should lie between ${low} and ${high} ${unit}.`,
  },
  {
    doubtful: (value, unit, looksLike, meant) =>
      `${value} ${unit} gilt, wie es dasteht; sind es ${value} ${looksLike}, so schreibe ${meant} ${unit}.`,
    slip: (value, unit, looksLike, meant) =>
      `${value} ${unit} kann nicht stimmen; es sieht nach ${value} ${looksLike} aus. Das sind ${meant} ${unit}.`,
    outside: (value, unit, low, high) =>
      `${value} ${unit} kann nicht stimmen: der Wert sollte zwischen ${low} und ${high} ${unit} liegen.`,
  },
);

const plain = (value: number): string => String(Number(value.toPrecision(6)));

/**
 * Whether an input can be true, and if not, which slip of the unit it looks like. The one rule for every form and file.
 *
 * @param value in the unit that the kind names
 * @returns a sentence for the person; null where nothing speaks against the value
 * @example
 * implausible('temperatureC', 296) // => '296 °C cannot be right; it looks like 296 K. That is 22.85 °C.'
 */
export function implausible(kind: InputKind, value: number, language: PageLanguage = 'en'): string | null {
  const range: Range = ranges[kind];
  if (value >= range.low && value <= range.high) return null;
  const slip = range.slips.find(({ from, to }) => value >= from && value <= to);
  const say = texts[language];
  return slip
    ? say.slip(plain(value), range.unit, slip.unit, plain(slip.meant(value)))
    : say.outside(plain(value), range.unit, plain(range.low), plain(range.high));
}

/**
 * What a value that can be true is more often: a sentence for the person; null where nothing is odd about it.
 * @example
 * doubtful('pressureHPa', 760) // => '760 hPa is taken as it stands; if it is 760 mmHg, write 1013.25 hPa.'
 */
export function doubtful(kind: InputKind, value: number, language: PageLanguage = 'en'): string | null {
  const slip = doubtfulRanges[kind];
  if (!slip || value < slip.from || value > slip.to) return null;
  const { unit } = ranges[kind];
  return texts[language].doubtful(plain(value), unit, slip.unit, plain(slip.meant(value)));
}
