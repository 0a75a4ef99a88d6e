import { GAS_CONSTANT } from '../chemistry/constants.ts';
import { waterVapourPressure } from '../chemistry/water-vapour.ts';
import type { Measured, RunData } from './run-data.ts';

/**
 * mol of dry gas per m3 of moist gas as displaced: (p - p_water(T))/(R T), with the share pressed into the headspace.
 * The uncertainty is that of temperature and pressure, by partial derivatives (central differences for T).
 * @returns null without temperature or pressure
 */
export function gasPerVolume(run: RunData): Measured | null {
  let found = known.get(run);
  if (found === undefined) {
    found = computeGasPerVolume(run);
    known.set(run, found);
  }
  return found;
}

/** Asked for several times of each run, of which the inner loops make thousands. */
const known = new WeakMap<RunData, Measured | null>();

function computeGasPerVolume({ temperatureK, gas }: RunData): Measured | null {
  if (!temperatureK || !gas) return null;
  // Outside liquid water, or all vapour: the collected gas cannot be what it is said to be.
  if (!(temperatureK.value > 273.3 && temperatureK.value < 373)) return null;
  const vapour = waterVapourPressure(temperatureK.value);
  if (!(gas.pressurePa.value > vapour)) return null;
  const pressed = 1 + (gas.headspaceRelative ?? 0);
  const value = ((gas.pressurePa.value - vapour) / (GAS_CONSTANT * temperatureK.value)) * pressed;
  const at = (kelvin: number): number =>
    ((gas.pressurePa.value - waterVapourPressure(kelvin)) / (GAS_CONSTANT * kelvin)) * pressed;
  // Without an uncertain temperature its effect is not asked for.
  const byT = temperatureK.u === 0 ? 0 : (at(temperatureK.value + 0.1) - at(temperatureK.value - 0.1)) / 0.2;
  const byP = value / (gas.pressurePa.value - vapour);
  return { value, u: Math.hypot(byT * temperatureK.u, byP * gas.pressurePa.u) };
}

/**
 * Gas that full conversion of the limiting reagent displaces, m3, from the baseline: as given, else
 * c_limiting V_solution (gas per limiting) / (moles of gas per volume). Null when neither is known.
 */
export function ceilingOf(run: RunData): Measured | null {
  if (run.ceilingM3) return run.ceilingM3;
  const { gas } = run;
  const limiting = gas ? run.concentrations?.[gas.limiting] : undefined;
  const density = gasPerVolume(run);
  if (!gas || !limiting || !density || !(limiting.value > 1e-23)) return null;
  const value = (limiting.value * gas.solutionM3.value * gas.gasPerLimiting) / density.value;
  const relative = Math.hypot(
    limiting.u / limiting.value,
    limiting.uCommonRelative,
    density.u / density.value,
    gas.solutionM3.u / gas.solutionM3.value,
  );
  return { value, u: value * relative };
}

/**
 * Factor from displaced volume per time (m3/s) to d[gas]/dt in the solution (mol m-3 s-1), with the relative standard
 * uncertainty of what runs share (temperature and pressure of the gas). Null when the volumes cannot become amounts.
 */
export function amountPerVolumeRate(run: RunData): { readonly factor: number; readonly uRelative: number } | null {
  const density = gasPerVolume(run);
  if (!run.gas || !density) return null;
  return { factor: density.value / run.gas.solutionM3.value, uRelative: density.u / density.value };
}

/** Relative growth of the rate per second from the drift of temperature: Ea (dT/dt)/(R T^2), 1/s; 0 when unknown. */
export function warmingPerS(run: RunData, activationJPerMol: Measured | undefined): number {
  if (!run.driftKPerS || !run.temperatureK || !activationJPerMol) return 0;
  return (activationJPerMol.value * run.driftKPerS) / (GAS_CONSTANT * run.temperatureK.value ** 2);
}
