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
  molarity: { unit: 'mol/L', low: 0, high: 60, slips: [{ from: 60, to: 20_000, unit: 'mmol/L', meant: times(0.001) }] },
  cylinderMl: { unit: 'mL', low: -10_000, high: 10_000, slips: [] },
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
  gasPerLimiting: { unit: 'mol/mol', low: 0.01, high: 100, slips: [] },
} as const satisfies Record<string, Range>;

export type InputKind = keyof typeof ranges;

const texts = catalogue(
  {
    slip: (value: string, unit: string, looksLike: string, meant: string) =>
      `${value} ${unit} cannot be right; it looks like ${value} ${looksLike}. That is ${meant} ${unit}.`,
    outside: (value: string, unit: string, low: string, high: string) =>
      `${value} ${unit} cannot be right: it should lie between ${low} and ${high} ${unit}.`,
  },
  {
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
