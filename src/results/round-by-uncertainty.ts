/**
 * A figure rounded by its own uncertainty: two digits of u, the value to the same decimal place. All that the table,
 * the report and the copies print goes through here; nothing is rounded by hand.
 */
export interface RoundedFigure {
  /** "0.0995", or the mantissa when `exponent` is not 0. Point as the decimal sign, "-" as the minus sign. */
  readonly value: string;
  /** Standard uncertainty to the same decimal place; null: not known or exact. */
  readonly u: string | null;
  /** Both are to be multiplied by ten to this power; 0 for plain notation. */
  readonly exponent: number;
}

/**
 * Rounds `value` by `u` (same unit). The GUM (JCGM 100:2008, 7.2.6) asks for at most two digits of u; two are kept.
 * - u = 0 (exact): the value to at most six digits, without zeros that say nothing.
 * - u undefined, negative or not finite (not known): the value to four digits, which claims little.
 * - u larger than the value is no special case: 0.3 with u = 1.24 is 0.3 ± 1.2.
 * @returns null when the value is not finite: there is nothing to print
 */
export function roundByUncertainty(value: number, u?: number): RoundedFigure | null {
  if (!Number.isFinite(value)) return null;
  if (u === undefined || !Number.isFinite(u) || u < 0) return withoutU(value, 4, false);
  if (u === 0) return withoutU(value, 6, true);
  let place = powerOf(u) - 1;
  if (unitsAt(u, place) === 100n) place += 1; // 0.0996 becomes 0.10: still two digits.
  return atPlace(value, u, place);
}

/**
 * Rounds to a plain number of figures, as some teachers ask for; the uncertainty to the same decimal place.
 * @param figures significant figures of the value, at least 1
 * @returns null when the value is not finite
 * @example
 * roundToFigures(0.09466, 0.00067, 3) // => { value: '0.0947', u: '0.0007', exponent: 0 }
 */
export function roundToFigures(value: number, u: number | undefined, figures: number): RoundedFigure | null {
  if (!Number.isFinite(value)) return null;
  if (value === 0) return { value: '0', u: null, exponent: 0 };
  let place = powerOf(value) - figures + 1;
  // 9.996 to three figures is 10.0.
  if (powerOfUnits(unitsAt(value, place), place) > powerOf(value)) place += 1;
  const known = u !== undefined && Number.isFinite(u) && u > 0;
  const rounded = atPlace(value, known ? u : 0, place);
  return known ? rounded : { ...rounded, u: null };
}

/** Value and uncertainty to one decimal place, in plain notation where that is short. */
function atPlace(value: number, u: number, place: number): RoundedFigure {
  const valueUnits = unitsAt(value, place);
  const top = Math.max(powerOfUnits(valueUnits, place), place + 1);
  const plain = place <= 0 && place >= -9 && top <= 6 && top >= -3;
  const exponent = plain ? 0 : top;
  const decimals = exponent - place;
  return { value: fixed(valueUnits, decimals), u: fixed(unitsAt(u, place), decimals), exponent };
}

/** A value to a number of digits, without an uncertainty; `strip` takes off zeros after the point. */
function withoutU(value: number, digits: number, strip: boolean): RoundedFigure {
  if (value === 0) return { value: '0', u: null, exponent: 0 };
  const power = powerOf(value);
  const plain = power >= -4 && power <= 6;
  // In plain notation digits before the point are all shown: 98765, not 98770.
  const place = plain ? Math.min(power - digits + 1, 0) : power - digits + 1;
  const units = unitsAt(value, place);
  const exponent = plain ? 0 : powerOfUnits(units, place);
  const text = fixed(units, exponent - place);
  return { value: strip && text.includes('.') ? text.replace(/\.?0+$/, '') : text, u: null, exponent };
}

/** Power of ten of the first digit of a value that is not 0. */
const powerOf = (value: number): number => Number(value.toExponential().split('e')[1]);

/** Power of ten of the first digit of `units` x 10^place; -Infinity for zero. */
const powerOfUnits = (units: bigint, place: number): number =>
  units === 0n ? Number.NEGATIVE_INFINITY : `${units < 0n ? -units : units}`.length - 1 + place;

/**
 * How many times 10^place a value is, rounded half away from zero. Works on the shortest digits that name the number
 * (0.0995 is 0.0995, not the binary fraction beside it), so that the eye can check it.
 */
function unitsAt(value: number, place: number): bigint {
  if (value === 0) return 0n;
  const [mantissa = '0', power = '0'] = Math.abs(value).toExponential().split('e');
  const digits = mantissa.replace('.', '');
  const shift = Number(power) - (digits.length - 1) - place;
  let units: bigint;
  if (shift >= 0) units = BigInt(digits) * 10n ** BigInt(shift);
  else if (-shift > digits.length) units = 0n;
  else {
    const unit = 10n ** BigInt(-shift);
    units = (BigInt(digits) + unit / 2n) / unit;
  }
  return value < 0 ? -units : units;
}

/** `units` with the point put in before the last `decimals` digits. */
function fixed(units: bigint, decimals: number): string {
  const sign = units < 0n ? '-' : '';
  const digits = `${units < 0n ? -units : units}`.padStart(decimals + 1, '0');
  const cut = digits.length - decimals;
  return decimals === 0 ? sign + digits : `${sign}${digits.slice(0, cut)}.${digits.slice(cut)}`;
}

const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** "10⁻⁵": a power of ten in printed style. */
export const powerOfTen = (exponent: number): string =>
  `10${exponent < 0 ? '⁻' : ''}${[...String(Math.abs(exponent))].map((digit) => superscripts[Number(digit)]).join('')}`;

/** "0.0995 ± 0.0012", "(1.24 ± 0.05) × 10⁻⁵": for screen, print and plain text. A dash where there is no figure. */
export function figureText(figure: RoundedFigure | null): string {
  if (!figure) return '–';
  const value = figure.value.replace('-', '−');
  const { u, exponent } = figure;
  if (exponent === 0) return u === null ? value : `${value} ± ${u}`;
  return u === null ? `${value} × ${powerOfTen(exponent)}` : `(${value} ± ${u}) × ${powerOfTen(exponent)}`;
}

/** The same for LaTeX, in math mode. */
export function figureLatex(figure: RoundedFigure | null): string {
  if (!figure) return '--';
  const { value, u, exponent } = figure;
  const power = exponent === 0 ? '' : ` \\times 10^{${exponent}}`;
  if (u === null) return `$${value}${power}$`;
  return exponent === 0 ? `$${value} \\pm ${u}$` : `$(${value} \\pm ${u})${power}$`;
}

/** A number that a spreadsheet reads as a number: "0.0995", "1.24e-5". Null where there is none. */
export function figureNumber(figure: RoundedFigure | null, part: 'value' | 'u'): string | null {
  const digits = figure?.[part] ?? null;
  if (figure === null || digits === null) return null;
  return figure.exponent === 0 ? digits : `${digits}e${figure.exponent}`;
}

/** A number as text, with a minus sign. */
export const plainNumber = (value: number): string => String(value).replace('-', '−');
