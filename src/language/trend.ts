import { median } from '../numerics/median.ts';
import { last, nth } from '../numerics/nth.ts';
import type { Prediction } from './course.ts';

/** A reading as far as the trend needs it. */
export interface Point {
  readonly timeS: number;
  readonly volumeMl: number;
}

/** How many of the latest readings the trend looks back at: a rate that slows down must not be averaged away. */
const lookBack = 6;

/**
 * Volume at a moment as the latest readings predict it: median of the slopes between them, laid through the latest by
 * the median of the intercepts, so that one wrong value in six does not move it. Null before the third reading.
 *
 * @param points by time; readings that were struck left out
 * @returns volume and its standard uncertainty, mL: scatter about the trend plus a fifth of what is predicted ahead (the
 * rate changes)
 */
export function predictFrom(points: readonly Point[], timeS: number): Prediction | null {
  const used = points.slice(-lookBack);
  if (used.length < 3) return null;
  const slopes: number[] = [];
  for (const [i, from] of used.entries())
    for (const to of used.slice(i + 1)) {
      const gap = to.timeS - from.timeS;
      if (gap > 0) slopes.push((to.volumeMl - from.volumeMl) / gap);
    }
  if (slopes.length === 0) return null;
  const slope = median(slopes);
  const intercept = median(used.map((point) => point.volumeMl - slope * point.timeS));
  const volumeMl = intercept + slope * timeS;
  const scatter = 1.4826 * median(used.map((point) => Math.abs(point.volumeMl - slope * point.timeS - intercept)));
  const ahead = Math.abs(slope) * Math.max(0, timeS - last(used).timeS);
  const step = Math.abs(slope) * ((last(used).timeS - nth(used, 0).timeS) / (used.length - 1));
  return { volumeMl, uMl: Math.hypot(scatter, 0.2 * ahead, 0.15 * step) + 1e-6 };
}
