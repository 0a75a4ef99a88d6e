import type { Experiment, GasFrame, RunData } from '../../src/analysis/run-data.ts';
import { levelRise } from '../../src/chemistry/gas.ts';
import { waterVapourPressure } from '../../src/chemistry/water-vapour.ts';

/*
 * A reaction in a flask whose gas pushes water out into a cylinder, the tube ending under its water: the whole physics
 * from scratch, with nothing of the tool's own but the vapour pressure. The gas space before is H, after it H + V; the
 * head has grown by (level rise) = V/area; so the gas made is
 * [(p + rho g V/area - p_w)(H + V) - (p - p_w) H]/(R T), and by first order it is made at t = -ln(1 - n/n_all)/k'.
 */
export const kelvin = 298.15;
export const pascal = 100_000;
export const headspaceM3 = 250e-6;
export const boreM = 0.0282;

/** Gas made, mol, while so much water was displaced, m3. */
export function molesMade(displaced: number, headspace = headspaceM3, bore = boreM): number {
  const area = (Math.PI * bore ** 2) / 4;
  return (
    ((pascal + (997.047 * 9.80665 * displaced) / area - waterVapourPressure(kelvin)) * (headspace + displaced) -
      (pascal - waterVapourPressure(kelvin)) * headspace) /
    (8.31446261815324 * kelvin)
  );
}

/** d[gas]/dt = k [A][B], mol, m3, s; two A make one gas, B is not used up. */
export const k = 1.15e-5;
export const solutionM3 = 25e-6;
export const flasks = [
  { label: '1', A: 150, B: 80 },
  { label: '2', A: 300, B: 80 },
  { label: '3', A: 150, B: 160 },
];

export const exact = (value: number) => ({ value, u: 0, uCommonRelative: 0 });

/** What the analysis gets about the gas where it gets all. */
export const back = { headspaceM3, risePerM3: levelRise(boreM) };

export interface Flask {
  /** What the flask and the cylinder really are; the analysis knows `gas` alone. */
  readonly headspace?: number;
  readonly bore?: number;
  readonly baselineM3?: number;
  readonly firstS?: number;
  readonly uTimeS: number;
  readonly uVolumeM3: number;
}

/** Three flasks, eleven readings each, without error; `more` goes into each run. */
export function experimentOf(gas: Partial<GasFrame>, flask: Flask, more: Partial<RunData>): Experiment {
  const { headspace, bore, baselineM3 = 10e-6, firstS = 0, uTimeS, uVolumeM3 } = flask;
  const runs = flasks.map(({ label, A, B }): RunData => {
    const all = (A * solutionM3) / 2;
    // d(moles of gas)/dt = k [A][B] V and [A] V = 2 (all - made): k' = 2 k [B].
    const timeOf = (displaced: number): number =>
      -Math.log1p(-molesMade(displaced, headspace, bore) / all) / (2 * k * B);
    return {
      label,
      readings: Array.from({ length: 11 }, (_, i) => ({
        timeS: firstS + timeOf(i * 2e-6),
        volumeM3: baselineM3 + i * 2e-6,
        uTimeS,
        uVolumeM3,
      })),
      baselineM3: { value: baselineM3, u: 0 },
      concentrations: { A: exact(A), B: exact(B) },
      temperatureK: { value: kelvin, u: 0 },
      gas: {
        solutionM3: { value: solutionM3, u: 0 },
        gasPerLimiting: 0.5,
        limiting: 'A',
        pressurePa: { value: pascal, u: 0 },
        ...gas,
      },
      ...more,
    };
  });
  return { runs };
}
