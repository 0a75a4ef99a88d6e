import {
  DegenerateData,
  NonConvergence,
  OutOfRange,
  requireFinite,
  requireResult,
  requireSameLength,
} from './errors.ts';
import { nth } from './nth.ts';

/** Straight line with errors in both coordinates. */
export interface YorkLine {
  readonly slope: number;
  readonly intercept: number;
  /** From the stated uncertainties alone, at the adjusted points (York 2004). */
  readonly stated: LineErrors;
  /** `stated` times sqrt(mswd): judged from the scatter. null with two readings. */
  readonly scaled: LineErrors | null;
  /**
   * The uncertainties of the readings carried through the fit to first order at the observed points, as older papers
   * and some metrology software state them (Kalantar 1992; Krystek and Anton, Meas. Sci. Technol. 22 (2011) 035101).
   */
  readonly observed: LineErrors;
  /** Weighted sum of squares S. */
  readonly chiSquare: number;
  readonly degreesOfFreedom: number;
  /** Mean square weighted deviation S/(n - 2); null with two readings. */
  readonly mswd: number | null;
  /** Likeliest true position of each point, on the line. */
  readonly adjusted: readonly { readonly x: number; readonly y: number }[];
  /** (y - intercept - slope x) in units of its own standard uncertainty. */
  readonly normalisedResiduals: readonly number[];
  /** Pull of each reading on its own fitted value, 0..1. */
  readonly leverages: readonly number[];
  readonly iterations: number;
}

export interface LineErrors {
  readonly slope: number;
  readonly intercept: number;
  /** Covariance of intercept and slope. */
  readonly covariance: number;
}

const MAX_ITERATIONS = 500;

/**
 * Best straight line when both coordinates of each point are uncertain, with optional correlation of the two errors
 * of a point. With one coordinate exact it is the weighted regression of the other; swapping the axes gives the same
 * line.
 *
 * Derivation: minimise S = sum W_i (y_i - a - b x_i)^2 with 1/W_i = u_y^2 + b^2 u_x^2 - 2 b r u_x u_y, the variance of
 * the residual. dS/da = 0 gives a = ybar - b xbar (W-weighted means); dS/db = 0 arranged as
 * b = sum(W beta V)/sum(W beta U), U, V the deviations from the means, beta the adjusted deviation in x, is iterated.
 *
 * @param x abscissae, at least two different values
 * @param y ordinates, same length
 * @param ux standard uncertainty of each x, >= 0
 * @param uy standard uncertainty of each y, >= 0; not both zero at one point
 * @param correlation of the two errors of each point, -1..1, default 0
 * @throws DegenerateData when the points do not determine a line with a finite slope
 * @throws OutOfRange for uncertainties that are negative, not finite, or both zero
 * @throws NonConvergence after 500 iterations
 * Source: York, Evensen, Martínez, De Basabe Delgado, Am. J. Phys. 72 (2004) 367. Check: Pearson's data with York's
 * weights, test/published/york-2004.test.ts.
 * @example
 * fitYorkLine([0, 1, 2], [1, 3, 5], [0.1, 0.1, 0.1], [0.1, 0.1, 0.1]).slope // => 2
 */
export function fitYorkLine(
  x: readonly number[],
  y: readonly number[],
  ux: readonly number[],
  uy: readonly number[],
  correlation?: readonly number[],
): YorkLine {
  const n = x.length;
  for (const [list, what] of [
    [x, 'The abscissae'],
    [y, 'The ordinates'],
    [ux, 'The uncertainties of x'],
    [uy, 'The uncertainties of y'],
    [correlation ?? x, 'The correlations'],
  ] as const) {
    requireSameLength(list, x, 'Readings and their uncertainties');
    requireFinite(list, what);
  }
  if (n < 2) throw new DegenerateData('A line needs at least two readings.', `${n} given`);
  const [lowX, highX] = extent(x);
  const [lowY, highY] = extent(y);
  if (!(highX > lowX)) throw new DegenerateData('All abscissae are equal, so there is no slope to find.');

  // Own spans (or errors, where larger) as units, so that no tolerance depends on seconds or hours.
  const unitX = Math.max(highX - lowX, extent(ux)[1]);
  const unitY = Math.max(highY - lowY, extent(uy)[1]);
  if (!(unitY > 0)) throw new DegenerateData('All ordinates are equal and said to be exact; there is nothing to fit.');
  const points = x.map((value, i): Point => {
    const point = {
      x: (value - lowX) / unitX,
      y: (nth(y, i) - lowY) / unitY,
      ux: nth(ux, i) / unitX,
      uy: nth(uy, i) / unitY,
      r: correlation ? nth(correlation, i) : 0,
    };
    if (point.ux < 0 || point.uy < 0) throw new OutOfRange('An uncertainty cannot be negative.', `reading ${i}`);
    if (point.ux === 0 && point.uy === 0) {
      throw new OutOfRange('A reading cannot be exact in both coordinates.', `reading ${i}`);
    }
    if (Math.abs(point.r) > 1) throw new OutOfRange('A correlation lies between -1 and 1.', `reading ${i}`);
    return point;
  });

  const { slope: b, iterations } = findSlope(points);
  const { sumW, meanX, meanY, chiSquare } = step(points, b);
  const intercept = meanY - b * meanX;
  const placed = points.map((point) => {
    const w = weightOf(point, b);
    const along = w * adjustment(point, b, point.x - meanX, point.y - meanY);
    return { w, along, residual: (point.y - intercept - b * point.x) * Math.sqrt(w) };
  });
  const adjustedMean = placed.reduce((sum, { w, along }) => sum + w * (meanX + along), 0) / sumW;
  const spreadAdjusted = placed.reduce((sum, { w, along }) => sum + w * (meanX + along - adjustedMean) ** 2, 0);
  if (!(spreadAdjusted > 0)) throw new DegenerateData('The readings do not determine a slope.', 'no adjusted spread');

  // Back to the given units: slope * unitY/unitX, zero of x at lowX, of y at lowY.
  const slope = (b * unitY) / unitX;
  const errors = (mean: number, spread: number): LineErrors => {
    const slopeVariance = (unitY / unitX) ** 2 / spread;
    const origin = lowX + mean * unitX;
    return {
      slope: Math.sqrt(slopeVariance),
      intercept: Math.sqrt((unitY * unitY) / sumW + origin * origin * slopeVariance),
      covariance: -origin * slopeVariance,
    };
  };
  const stated = errors(adjustedMean, spreadAdjusted);
  const observed = carriedThrough(points, b, intercept, lowX, unitX, unitY);
  requireResult(slope, stated.intercept, stated.covariance, observed.slope, observed.intercept, chiSquare);
  const degreesOfFreedom = n - 2;
  const mswd = degreesOfFreedom > 0 ? chiSquare / degreesOfFreedom : null;
  return {
    slope,
    intercept: lowY + intercept * unitY - slope * lowX,
    stated,
    scaled:
      mswd === null
        ? null
        : {
            slope: stated.slope * Math.sqrt(mswd),
            intercept: stated.intercept * Math.sqrt(mswd),
            covariance: stated.covariance * mswd,
          },
    observed,
    chiSquare,
    degreesOfFreedom,
    mswd,
    adjusted: placed.map(({ along }) => ({
      x: lowX + (meanX + along) * unitX,
      y: lowY + (meanY + b * along) * unitY,
    })),
    normalisedResiduals: placed.map(({ residual }) => residual),
    leverages: placed.map(({ w, along }) =>
      Math.min(1, w * (1 / sumW + (meanX + along - adjustedMean) ** 2 / spreadAdjusted)),
    ),
    iterations,
  };
}

/**
 * First-order propagation through the minimum of G = S/2: with H the Hessian of G in (a, b) and M its mixed
 * derivatives with the readings, the covariance of (a, b) is H^-1 M V M' H^-1 (implicit differentiation of grad G = 0).
 */
function carriedThrough(
  points: readonly Point[],
  b: number,
  a: number,
  lowX: number,
  unitX: number,
  unitY: number,
): LineErrors {
  let haa = 0;
  let hab = 0;
  let hbb = 0;
  let maa = 0;
  let mab = 0;
  let mbb = 0;
  for (const { x, y, ux, uy, r } of points) {
    const shared = r * ux * uy;
    const v = uy * uy + b * b * ux * ux - 2 * b * shared;
    const slopeOfV = 2 * b * ux * ux - 2 * shared;
    const residual = y - a - b * x;
    const pull = (residual * slopeOfV) / (v * v);
    haa += 1 / v;
    hab += x / v + pull;
    hbb += (x * x) / v + 2 * x * pull - (residual * residual * ux * ux) / (v * v) + pull * pull * v;
    const ax = b / v;
    const ay = -1 / v;
    const bx = (x * b - residual) / v + b * pull;
    const by = -x / v - pull;
    maa += ax * ax * ux * ux + ay * ay * uy * uy + 2 * ax * ay * shared;
    mab += ax * bx * ux * ux + ay * by * uy * uy + (ax * by + ay * bx) * shared;
    mbb += bx * bx * ux * ux + by * by * uy * uy + 2 * bx * by * shared;
  }
  const determinant = haa * hbb - hab * hab;
  const [iaa, iab, ibb] = [hbb / determinant, -hab / determinant, haa / determinant];
  const varA = iaa * iaa * maa + 2 * iaa * iab * mab + iab * iab * mbb;
  const varB = iab * iab * maa + 2 * iab * ibb * mab + ibb * ibb * mbb;
  const cov = iaa * iab * maa + (iaa * ibb + iab * iab) * mab + iab * ibb * mbb;
  // Intercept in given units: lowY + unitY a - slope lowX.
  const ratio = unitY / unitX;
  const intercept = unitY * unitY * varA - 2 * unitY * ratio * lowX * cov + (ratio * lowX) ** 2 * varB;
  return {
    slope: ratio * Math.sqrt(varB),
    intercept: Math.sqrt(Math.max(0, intercept)),
    covariance: unitY * ratio * cov - ratio * ratio * lowX * varB,
  };
}

/** A reading in the fit's own units: both coordinates, their uncertainties and the correlation of their errors. */
interface Point {
  readonly x: number;
  readonly y: number;
  readonly ux: number;
  readonly uy: number;
  readonly r: number;
}

/**
 * One over the variance of the residual. An exact y on a level line, or errors fully along the line, have no finite
 * weight: `findSlope` steps off such a slope.
 */
function weightOf({ ux, uy, r }: Point, b: number): number {
  const variance = uy * uy + b * b * ux * ux - 2 * b * r * ux * uy;
  return variance > 0 ? 1 / variance : Number.POSITIVE_INFINITY;
}

/** Adjusted deviation in x, before the weight; u and v are the deviations from the means. */
const adjustment = ({ ux, uy, r }: Point, b: number, u: number, v: number): number =>
  u * uy * uy + b * v * ux * ux - (b * u + v) * r * ux * uy;

/** Means, sum of squares and the next slope, all at slope b. */
function step(points: readonly Point[], b: number) {
  let sumW = 0;
  let meanX = 0;
  let meanY = 0;
  for (const point of points) {
    const w = weightOf(point, b);
    sumW += w;
    meanX += w * point.x;
    meanY += w * point.y;
  }
  meanX /= sumW;
  meanY /= sumW;
  let top = 0;
  let bottom = 0;
  let chiSquare = 0;
  for (const point of points) {
    const u = point.x - meanX;
    const v = point.y - meanY;
    const w = weightOf(point, b);
    const along = w * adjustment(point, b, u, v);
    top += w * along * v;
    bottom += w * along * u;
    chiSquare += w * (v - b * u) ** 2;
  }
  return { sumW, meanX, meanY, next: top / bottom, chiSquare };
}

const mostSurveyed = 1000;

/**
 * The slope of least S. S is first surveyed over all directions of the line (it can have a second, poorer minimum
 * across it), then York's fixed-point iteration polishes, quickened by Aitken's extrapolation.
 */
function findSlope(points: readonly Point[]): { slope: number; iterations: number } {
  // To find where the least S lies, some of very many points will do; York's iteration then sees them all.
  const every = Math.max(1, Math.floor(points.length / mostSurveyed));
  const some = every === 1 ? points : points.filter((_, i) => i % every === 0);
  const at = (angle: number): number => {
    const value = step(some, Math.tan(angle)).chiSquare;
    return Number.isFinite(value) ? value : Number.POSITIVE_INFINITY;
  };
  const steps = 48;
  const width = Math.PI / steps;
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < steps; i++) {
    const angle = (i + 0.5) * width - Math.PI / 2;
    const value = at(angle);
    if (value < least) {
      least = value;
      best = angle;
    }
  }
  if (!Number.isFinite(least)) throw new DegenerateData('The readings do not determine a line.', 'S is not finite');
  let low = best - width;
  let high = best + width;
  for (let i = 0; i < 40; i++) {
    const a = low + 0.381966 * (high - low);
    const c = high - 0.381966 * (high - low);
    if (at(a) < at(c)) high = c;
    else low = a;
  }
  let slope = Math.tan((low + high) / 2);

  let previousChange = Number.POSITIVE_INFINITY;
  for (let iteration = 1; iteration <= MAX_ITERATIONS; iteration++) {
    const first = step(points, slope).next;
    const second = step(points, first).next;
    const change = first - slope;
    const bend = second - 2 * first + slope;
    if (!Number.isFinite(second)) throw new DegenerateData('The readings do not determine a line.', 'no finite slope');
    const size = Math.max(1e-3, Math.abs(second));
    const settled = Math.abs(second - first);
    // Stop at rounding level, or where it no longer shrinks although already tiny.
    if (settled <= 4e-16 * size || (settled <= 1e-13 * size && settled >= previousChange)) {
      return { slope: second, iterations: iteration };
    }
    previousChange = settled;
    const leap = bend === 0 ? second : slope - (change * change) / bend;
    slope = Number.isFinite(leap) && step(points, leap).chiSquare <= step(points, second).chiSquare ? leap : second;
  }
  throw new NonConvergence('The straight line through these readings did not settle.', `${MAX_ITERATIONS} iterations`);
}

function extent(values: readonly number[]): [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return [low, high];
}
