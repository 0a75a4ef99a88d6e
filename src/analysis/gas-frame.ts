import { GAS_CONSTANT } from '../chemistry/constants.ts';
import { headspaceCorrection, levelGrowth } from '../chemistry/gas.ts';
import { waterVapourPressure } from '../chemistry/water-vapour.ts';
import { asDisplaced, stretchAt } from './rising-head.ts';
import type { Measured, RunData } from './run-data.ts';

/**
 * mol of dry gas made per m3 of moist gas displaced at the start: (p - p_water(T))/(R T), with the shares pressed into the
 * headspace and kept dissolved. For what the growing head adds by and by, see `rising-head.ts`.
 * The uncertainty is that of temperature, pressure, headspace, bore and what is dissolved, by partial derivatives (central differences for T).
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

function computeGasPerVolume(run: RunData): Measured | null {
  const collected = collectedPerVolume(run);
  const dissolved = run.gas?.dissolved;
  if (!collected || !dissolved) return collected;
  const { uShared, uSlant, uOwn } = dissolved;
  const factor = 1 + dissolved.perCollected;
  return {
    value: collected.value * factor,
    u: collected.value * Math.hypot((factor * collected.u) / collected.value, uShared, uSlant, uOwn),
  };
}

function collectedPerVolume({ temperatureK, gas }: RunData): Measured | null {
  if (!temperatureK || !gas) return null;
  // Outside liquid water, or all vapour: the collected gas cannot be what it is said to be.
  if (!(temperatureK.value > 273.3 && temperatureK.value < 373)) return null;
  const vapour = waterVapourPressure(temperatureK.value);
  if (!(gas.pressurePa.value > vapour)) return null;
  const { back, pressurePa } = gas;
  const pressed = (kelvin: number): number =>
    1 + (back ? headspaceCorrection(back, pressurePa.value, kelvin) : (gas.headspaceRelative ?? 0));
  const at = (kelvin: number): number =>
    ((pressurePa.value - waterVapourPressure(kelvin)) / (GAS_CONSTANT * kelvin)) * pressed(kelvin);
  const value = at(temperatureK.value);
  if (!Number.isFinite(value)) return null;
  // Without an uncertain temperature its effect is not asked for.
  const byT = temperatureK.u === 0 ? 0 : (at(temperatureK.value + 0.1) - at(temperatureK.value - 0.1)) / 0.2;
  // What is pressed into the headspace follows from the rise of the level and does not change with the air pressure.
  const byP = (back ? value / pressed(temperatureK.value) : value) / (pressurePa.value - vapour);
  const ofAir = Math.hypot(byT * temperatureK.u, byP * pressurePa.u);
  if (!back || !gas.uBack) return { value, u: ofAir };
  // The pressed share goes with the headspace, and with the bore to the power of minus two.
  const byShare = value - value / pressed(temperatureK.value);
  const { headspace, bore } = gas.uBack;
  return { value, u: Math.hypot(ofAir, byShare * headspace.relative, 2 * byShare * bore.relative) };
}

/**
 * By how much a displaced volume stands for more gas as the level rises, 1/m3: see `rising-head.ts`. 0 where no headspace
 * and bore are stated, or the conditions of the gas are not known.
 */
export function growthPerM3(run: RunData): number {
  let found = grown.get(run);
  if (found === undefined) {
    found = computeGrowth(run);
    grown.set(run, found);
  }
  return found;
}

const grown = new WeakMap<RunData, number>();

function computeGrowth(run: RunData): number {
  const { gas, temperatureK } = run;
  // What is dissolved is a share of all that is collected: it changes nothing in how the volumes grow.
  const atStart = gas?.back ? collectedPerVolume(run) : null;
  if (!gas?.back || !temperatureK || !atStart) return 0;
  const perM3 = levelGrowth(atStart.value, gas.pressurePa.value, temperatureK.value, gas.back);
  return Number.isFinite(perM3) ? perM3 : 0;
}

/** The run with its volumes taken as they were read: for what looks at the readings one by one. */
export function withLevelHead(run: RunData): RunData {
  if (growthPerM3(run) === 0 || !run.gas) return run;
  const { back: _, ...gas } = run.gas;
  return { ...run, gas };
}

/**
 * Water that the gas of full conversion of the limiting reagent displaces, m3, from the baseline: as given, else from
 * n_limiting (gas per limiting) / (moles of gas per volume), n being c V_solution, or what was weighed of a solid. Null when
 * neither is known.
 */
export function ceilingOf(run: RunData): Measured | null {
  if (run.ceilingM3) return run.ceilingM3;
  const { gas } = run;
  const limiting = limitingAmount(run);
  const density = gasPerVolume(run);
  if (!gas || !limiting || !density) return null;
  const atStart = (limiting.mol * gas.gasPerLimiting) / density.value;
  const perM3 = growthPerM3(run);
  const value = asDisplaced(perM3, atStart);
  const relative = Math.hypot(limiting.own, limiting.common, density.u / density.value, limiting.volume);
  return { value, u: (atStart * relative) / stretchAt(perM3, value) };
}

/** With its relative standard uncertainties: of this run's measuring out, of what runs share, of the solution's volume. */
interface LimitingAmount {
  readonly mol: number;
  readonly own: number;
  readonly common: number;
  readonly volume: number;
}

/** How much of the limiting reagent there is; null where it is not known. */
function limitingAmount(run: RunData): LimitingAmount | null {
  const { gas } = run;
  if (!gas) return null;
  const solid = run.solids?.[gas.limiting];
  if (solid)
    return solid.mol > 0
      ? {
          mol: solid.mol,
          own: solid.u / solid.mol,
          common: Math.hypot(solid.uCommonRelative, solid.uPurityRelative ?? 0),
          volume: 0,
        }
      : null;
  const c = run.concentrations?.[gas.limiting];
  if (!c || !(c.value > 1e-23)) return null;
  const { value: m3, u: uM3 } = gas.solutionM3;
  return { mol: c.value * m3, own: c.u / c.value, common: c.uCommonRelative, volume: uM3 / m3 };
}

/**
 * Factor from displaced volume per time (m3/s at the pressure of the start, as estimates have it) to d[gas]/dt in the solution (mol m-3 s-1), with the relative standard
 * uncertainty of what runs share (temperature, pressure, headspace and bore). Null when the volumes cannot become amounts.
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
