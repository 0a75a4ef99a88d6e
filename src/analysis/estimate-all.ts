import type { RateEstimate } from './estimate.ts';
import { firstOrderRate } from './first-order-rate.ts';
import { lineRate } from './line-rate.ts';
import { quadraticRate } from './quadratic-rate.ts';
import type { Estimates } from './recommend.ts';
import type { EstimatorName, Refused } from './run-data.ts';
import type { RunFrame } from './run-frame.ts';

/** The three estimates, always all. `gainU`: relative standard uncertainty of the cylinder's scale. */
export function estimateAll(frame: RunFrame, gainU: number): Estimates {
  return {
    line: lineRate(frame, gainU),
    quadratic: quadraticRate(frame, gainU),
    firstOrder: firstOrderRate(frame, gainU),
  };
}

/** One of them. */
export function estimateOne(frame: RunFrame, gainU: number, name: EstimatorName): RateEstimate | Refused {
  return { line: lineRate, quadratic: quadraticRate, firstOrder: firstOrderRate }[name](frame, gainU);
}
