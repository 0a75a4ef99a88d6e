import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { TemperatureFit } from '../../analysis/temperature.ts';
import { GAS_CONSTANT } from '../../chemistry/constants.ts';
import type { PageLanguage } from '../../language/page-language.ts';
import type { Plot } from '../../results/plot-svg.ts';
import { resultTexts } from '../../results/texts.ts';

/** Boltzmann's over Planck's constant, 1/(K s), exact in the SI. */
const boltzmannOverPlanck = 1.380649e-23 / 6.62607015e-34;

export interface AtTemperature {
  readonly label: string;
  readonly kelvin: number;
  /** ln k in the law's own unit (`ExperimentAnalysis.unit`). */
  readonly lnK: number;
  /** Relative standard uncertainty; null: not known. */
  readonly uRelative: number | null;
}

/** k of each run at its own temperature. */
export function constantsByTemperature({ law }: ExperimentAnalysis, fit: TemperatureFit): AtTemperature[] {
  const perRun = law.ok ? (law.accepted?.perRun ?? []) : [];
  return fit.points.map(({ label, temperatureK, lnK }) => {
    // Carried to its own temperature a run's k keeps its relative uncertainty.
    const own = perRun.find((one) => one.label === label);
    return { label, kelvin: temperatureK, lnK, uRelative: own?.u ? own.u / own.k : null };
  });
}

/** ln k (Arrhenius) or ln(k/T) (Eyring) against 1000/T, one point a run, with the fitted line. */
export function temperaturePlot(
  points: readonly AtTemperature[],
  fit: TemperatureFit,
  eyring: boolean,
  language: PageLanguage = 'en',
): Plot {
  const t = resultTexts[language].plots;
  const drawn = points.map(({ label, kelvin, lnK, uRelative }) => ({
    x: 1000 / kelvin,
    y: eyring ? lnK - Math.log(kelvin) : lnK,
    half: uRelative ?? 0,
    label,
  }));
  const at = (x: number): number =>
    eyring
      ? Math.log(boltzmannOverPlanck) + (fit.entropy.value - (fit.enthalpy.value * x) / 1000) / GAS_CONSTANT
      : fit.lnA.value - (fit.activation.value * x) / 1000 / GAS_CONSTANT;
  const xs = drawn.map(({ x }) => x);
  const ends = [Math.min(...xs), Math.max(...xs)];
  return {
    language,
    title: eyring ? t.eyring : t.arrhenius,
    description: t.byTemperature(eyring),
    xLabel: '1000 K / T',
    yLabel: eyring ? 'ln (k/T)' : 'ln k',
    series: [
      { kind: 'line', name: 'fit', points: ends.map((x) => ({ x, y: at(x) })) },
      { kind: 'points', name: 'runs', mark: 'dot', points: drawn },
    ],
  };
}
