import { plainNumber } from './round-by-uncertainty.ts';

/** A unit as the eye reads it, as UCUM writes it (ucum.org; for CSV headers), and as LaTeX sets it. */
export interface Unit {
  readonly printed: string;
  /** Null where UCUM has no code (a power that is not whole). */
  readonly ucum: string | null;
  readonly latex: string;
}

const unit = (printed: string, ucum: string, latex: string): Unit => ({ printed, ucum, latex });

export const seconds = unit('s', 's', '\\mathrm{s}');
export const millilitres = unit('mL', 'mL', '\\mathrm{mL}');
export const grams = unit('g', 'g', '\\mathrm{g}');
export const percent = unit('%', '%', '\\%');
export const celsius = unit('°C', 'Cel', '{}^{\\circ}\\mathrm{C}');
export const kilojoulePerMole = unit('kJ/mol', 'kJ/mol', '\\mathrm{kJ\\,mol^{-1}}');
export const molPerLitre = unit('mol/L', 'mol/L', '\\mathrm{mol\\,L^{-1}}');

/** The units in which a rate can be stated. */
export const rateUnits = {
  'mL/s': unit('mL/s', 'mL/s', '\\mathrm{mL\\,s^{-1}}'),
  'mL/min': unit('mL/min', 'mL/min', '\\mathrm{mL\\,min^{-1}}'),
  'mol/s': unit('mol/s', 'mol/s', '\\mathrm{mol\\,s^{-1}}'),
  'mol/(L s)': unit('mol/(L s)', 'mol/L/s', '\\mathrm{mol\\,L^{-1}\\,s^{-1}}'),
} as const;
export type RateUnit = keyof typeof rateUnits;

/**
 * Unit of a rate constant of overall order n: (L/mol)^(n-1)/s. Whole and half orders print as powers; UCUM codes know
 * whole powers only.
 */
export function rateConstantUnit(order: number): Unit {
  const power = order - 1;
  if (power === 0) return unit('1/s', '/s', '\\mathrm{s^{-1}}');
  const text = decimals(Math.abs(power));
  const raised = (base: string, braces = false): string =>
    text === '1' ? base : braces ? `${base}^{${text}}` : `${base}${raisedTo(Number(text))}`;
  const whole = Number.isInteger(power);
  const codes = text === '1' ? '' : text;
  if (power > 0)
    return {
      printed: `${raised('L')}/(${raised('mol')} s)`,
      ucum: whole ? `L${codes}/mol${codes}/s` : null,
      latex: `\\mathrm{${raised('L', true)}\\,mol^{-${text}}\\,s^{-1}}`,
    };
  return {
    printed: `${raised('mol')}/(${raised('L')} s)`,
    ucum: whole ? `mol${codes}/L${codes}/s` : null,
    latex: `\\mathrm{${raised('mol', true)}\\,L^{-${text}}\\,s^{-1}}`,
  };
}

const high = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** A power as it is printed: "²", "⁻⁸", "^0.5". */
export const raisedTo = (power: number): string =>
  Number.isInteger(power)
    ? `${power < 0 ? '⁻' : ''}${[...String(Math.abs(power))].map((digit) => high[Number(digit)]).join('')}`
    : `^${plainNumber(power)}`;

const decimals = (value: number): string => String(Number(value.toFixed(3)));

/**
 * Unit of a rate constant that is stated in displaced gas, because amounts are not known: mL/s over (mol/L) to the
 * overall order.
 */
export function volumeRateConstantUnit(order: number): Unit {
  if (order === 0) return rateUnits['mL/s'];
  const power = decimals(order);
  if (power === '1') return unit('mL/s (L/mol)', 'mL/s.L/mol', '\\mathrm{mL\\,s^{-1}\\,L\\,mol^{-1}}');
  return {
    printed: `mL/s (L/mol)${raisedTo(Number(power))}`,
    ucum: Number.isInteger(order) && order > 0 ? `mL/s.L${power}/mol${power}` : null,
    latex: `\\mathrm{mL\\,s^{-1}\\,(L\\,mol^{-1})^{${power}}}`,
  };
}
