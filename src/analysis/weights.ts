import { item } from '../numerics/nth.ts';
import type { RunFrame } from './run-frame.ts';

/**
 * Inverse effective variances 1/(u_V^2 + (dV/dt)^2 u_t^2), frame units: how an error of the moment counts as one of
 * the volume (Orear, Am. J. Phys. 50 (1982) 912). Ones when nothing was stated.
 * @param slopes dV/dt of the curve at each reading
 */
export function effectiveWeights(frame: RunFrame, slopes: readonly number[]): number[] {
  if (!frame.stated) return frame.t.map(() => 1);
  const least = 1e-12 ** 2;
  const { ut, uv } = frame;
  return slopes.map((slope, i) => 1 / Math.max(item(uv, i) ** 2 + (slope * item(ut, i)) ** 2, least));
}
