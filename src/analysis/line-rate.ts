import { NumericsError } from '../numerics/errors.ts';
import { entry, nth } from '../numerics/nth.ts';
import { fitStraightLine } from '../numerics/straight-line.ts';
import { fitYorkLine } from '../numerics/york-line.ts';
import { aiccOf, makeEstimate, type RateEstimate } from './estimate.ts';
import { type Refused, refuse } from './run-data.ts';
import type { RunFrame } from './run-frame.ts';
import { judgeScatter } from './scatter.ts';

/**
 * Straight line through the readings with errors in both coordinates (York et al. 2004); where nothing was stated,
 * the ordinary least-squares line, its uncertainty from the scatter. Scale of the uncertainties: `judgeScatter`.
 *
 * @param gainU relative standard uncertainty of the scale: multiplies the slope
 * @returns the mean rate over the readings, m3/s; `no-spread` when all readings are the same volume
 */
export function lineRate(frame: RunFrame, gainU: number): RateEstimate | Refused {
  const n = frame.t.length;
  if (frame.v.every((v) => v === 0))
    return refuse(
      'no-spread',
      'All readings are the same volume: no gas came between them, so the rate is not told from zero.',
    );
  let slope: number;
  let intercept: number;
  let uSlope: number;
  let sumOfSquares: number;
  try {
    if (frame.stated) {
      // A reading said to be exact in both coordinates is exact to the last figure a computer holds.
      const exact = frame.t.map((_, i) => (frame.ut[i] === 0 && frame.uv[i] === 0 ? 1e-9 : nth(frame.uv, i)));
      const line = fitYorkLine(frame.t, frame.v, frame.ut, exact);
      slope = line.slope;
      intercept = line.intercept;
      uSlope = line.stated.slope;
      sumOfSquares = line.chiSquare;
    } else {
      const line = fitStraightLine(frame.t, frame.v);
      slope = line.slope;
      intercept = line.intercept;
      uSlope = Math.sqrt(entry(line.fit.cofactor, 1, 1));
      sumOfSquares = line.fit.sumOfSquares;
    }
  } catch (error) {
    if (error instanceof NumericsError) return refuse('no-convergence', error.sentence);
    throw error;
  }
  const scatter = judgeScatter(sumOfSquares, n - 2, frame);
  return makeEstimate(frame, {
    estimator: 'line',
    at: 'whole-run',
    slope,
    uSlope,
    scatter,
    gain: slope * gainU,
    baseline: 0,
    ceiling: 0,
    aicc: aiccOf(sumOfSquares, n, 2),
    shape: {
      kind: 'polynomial',
      originS: frame.firstTimeS,
      coefficients: [frame.firstM3 + intercept * frame.volumeScaleM3, (slope * frame.volumeScaleM3) / frame.timeScaleS],
    },
    residuals: frame.v.map((v, i) => v - intercept - slope * nth(frame.t, i)),
  });
}
