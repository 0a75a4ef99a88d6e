import { GAS_CONSTANT } from '../chemistry/constants.ts';
import { warmingPerS } from './gas-frame.ts';
import type { RunData } from './run-data.ts';

/**
 * How fast the temperature of a flask may drift that was measured once, K/s: 0.3 K/min as a standard uncertainty, and no
 * more than 3 K within a run. Common practice, no source: a flask a few degrees from the room, or one that warms itself.
 */
const usualDriftKPerS = 0.3 / 60;
const mostDriftK = 3;
/** A drift that was called is known to this, K over the run: two readings of a thermometer divided in degrees. */
const calledDriftK = 0.3;
/** Where no activation energy is known, J/mol: the middle of those of common reactions in water. Common practice, no source. */
export const usualActivationJPerMol = 50_000;

/** Relative growth of the rate per second from the drift that was called, 1/s; 0 where none was. */
export const warmingOf = (run: RunData, activationJPerMol: number): number =>
  activationJPerMol > 0 ? warmingPerS(run, { value: activationJPerMol, u: 0 }) : 0;

/** Inverse variance of a growth of the rate that the called temperatures do not tell, s2. */
export function warmingPrecision(activationJPerMol: number, runs: readonly RunData[], spanS: number): number {
  const kelvin = runs.find(({ temperatureK }) => temperatureK)?.temperatureK?.value ?? 298.15;
  const told = runs.every(({ driftKPerS }) => driftKPerS !== undefined);
  const drift = told ? calledDriftK / spanS : Math.min(usualDriftKPerS, mostDriftK / spanS);
  const perS = (activationJPerMol * drift) / (GAS_CONSTANT * kelvin ** 2);
  return 1 / perS ** 2;
}
