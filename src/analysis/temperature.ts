import { GAS_CONSTANT } from '../chemistry/constants.ts';
import { nth } from '../numerics/nth.ts';
import { quadraticForm } from '../numerics/quadratic-form.ts';
import { fitBasis } from './basis-fit.ts';
import { type Refused, refuse } from './run-data.ts';
import { halfWidth95, judgeScatter } from './scatter.ts';
import { unbroken } from './unbroken.ts';

/** Boltzmann's over Planck's constant, 1/(K s), exact in the SI. */
const boltzmannOverPlanck = 1.380649e-23 / 6.62607015e-34;

export interface RateConstantAt {
  readonly label: string;
  readonly temperatureK: number;
  readonly k: number;
  /** Standard uncertainty of k that does not come from something shared by all; null: not known. */
  readonly u: number | null;
}

export interface TemperatureFit {
  readonly ok: true;
  /** Arrhenius: k = A exp(-Ea/(R T)). J/mol; ln A in the unit of k. */
  readonly activation: Interval;
  readonly lnA: Interval;
  /** Eyring: k = (kB T/h) exp(dS/R) exp(-dH/(R T)). J/mol and J/(mol K); dS holds for k in 1/s or L/(mol s). */
  readonly enthalpy: Interval;
  readonly entropy: Interval;
  readonly df: number;
  readonly points: readonly { readonly label: string; readonly temperatureK: number; readonly lnK: number }[];
  /** ln k minus the Arrhenius line, by point. */
  readonly residuals: readonly number[];
  readonly sentence: string;
}

export interface Interval {
  readonly value: number;
  readonly u: number;
  readonly low95: number;
  readonly high95: number;
}

/**
 * Rate constants at several temperatures: ln k against 1/T by least squares, intervals with Student's t for the few
 * degrees of freedom there are. All rows weigh the same when any u is missing, else by (u/k)^2. With two temperatures
 * and no stated u there is a value but no uncertainty (u = 0 is never claimed: the interval is then endless).
 * The temperatures' own errors are not in it: a thermometer that is off by the same everywhere hardly changes Ea.
 */
export function temperatureFit(points: readonly RateConstantAt[]): TemperatureFit | Refused {
  if (points.some((p) => !(p.k > 0) || !Number.isFinite(p.k) || !(p.temperatureK > 0)))
    return refuse('not-positive', 'Every rate constant must be above zero, at a temperature in kelvin above zero.');
  const temperatures = points.map((p) => p.temperatureK);
  const spreadK = Math.max(...temperatures) - Math.min(...temperatures);
  if (points.length < 2 || !(spreadK > 0.5))
    return refuse('equal-temperatures', 'The runs are at one temperature; an activation energy needs two that differ.');
  const stated = points.every((p) => p.u !== null && p.u > 0);
  const weights = points.map(({ k, u }) => (stated && u ? (k / u) ** 2 : 1));
  // Centred and scaled: -1/R (1/T - 1/T0), so that the slope is Ea itself.
  const t0 = points.length / points.reduce((sum, p) => sum + 1 / p.temperatureK, 0);
  const x = points.map((p) => -(1 / p.temperatureK - 1 / t0) / GAS_CONSTANT);
  const arrhenius = line(
    x,
    points.map((p) => Math.log(p.k)),
    weights,
    stated,
  );
  const eyring = line(
    x,
    points.map((p) => Math.log(p.k / p.temperatureK)),
    weights,
    stated,
  );
  if (!arrhenius || !eyring)
    return refuse('equal-temperatures', 'The temperatures are too close for an activation energy.');
  const shift = 1 / (GAS_CONSTANT * t0);
  const df = arrhenius.df;
  const activation = arrhenius.combination([0, 1], 0);
  return {
    ok: true,
    activation,
    lnA: arrhenius.combination([1, shift], 0),
    enthalpy: eyring.combination([0, 1], 0),
    entropy: scaled(eyring.combination([1, shift], -Math.log(boltzmannOverPlanck)), GAS_CONSTANT),
    df,
    points: points.map(({ label, temperatureK, k }) => ({ label, temperatureK, lnK: Math.log(k) })),
    residuals: arrhenius.residuals,
    sentence: sentenceOf(points.length, activation, spreadK),
  };
}

function sentenceOf(runs: number, activation: Interval, spreadK: number): string {
  const kj = (j: number): string => (j / 1000).toFixed(Math.abs(j) < 1e4 ? 1 : 0);
  if (!Number.isFinite(activation.low95))
    return unbroken(
      `${runs} runs at two temperatures give ${kj(activation.value)} kJ/mol; there is nothing to tell its uncertainty from.`,
    );
  return unbroken(
    `Over ${spreadK.toFixed(0)} kelvin the activation energy is ${kj(activation.value)} kJ/mol, between ${kj(activation.low95)} and ${kj(activation.high95)} with 95 % confidence.`,
  );
}

const scaled = (interval: Interval, by: number): Interval => ({
  value: interval.value * by,
  u: interval.u * by,
  low95: interval.low95 * by,
  high95: interval.high95 * by,
});

function line(x: readonly number[], y: readonly number[], weights: readonly number[], stated: boolean) {
  const fit = fitBasis([x.map(() => 1), x], y, weights);
  if (!fit) return null;
  const scatter = judgeScatter(fit.sumOfSquares, x.length - 2, { stated, assumed: Number.POSITIVE_INFINITY });
  return {
    df: scatter.df,
    residuals: fit.residuals,
    combination(gradient: readonly [number, number], add: number): Interval {
      const value = gradient[0] * nth(fit.coefficients, 0) + gradient[1] * nth(fit.coefficients, 1) + add;
      const u = Math.sqrt(Math.max(quadraticForm(fit.covariance, gradient), 0)) * scatter.scale;
      const half = halfWidth95({ u, df: scatter.df });
      return { value, u, low95: value - half, high95: value + half };
    },
  };
}

/** Rate at `kelvin` over the rate at `referenceK`, for an activation energy in J/mol. */
export function arrheniusFactor(kelvin: number, referenceK: number, activationJPerMol: number): number {
  return Math.exp((-activationJPerMol / GAS_CONSTANT) * (1 / kelvin - 1 / referenceK));
}
