import { NonConvergence, OutOfRange } from './errors.ts';
import { incompleteBeta, incompleteGamma, logGamma } from './special-functions.ts';

/*
 * Normal, Student, chi-square and F distributions: probability below and above a value, and quantiles. Degrees of
 * freedom may be any positive number (Welch-Satterthwaite gives fractions), for Student also Infinity. Own code on
 * `special-functions.ts`; see there why. Checked against mpmath (40 digits) to 1e-12 relative.
 */

/** Probability that a standard normal variable lies below z. Tails keep their relative accuracy. */
export function normalCdf(z: number): number {
  requireNumber(z, 'The value');
  const tail = incompleteGamma(0.5, (z * z) / 2);
  return z < 0 ? tail.upper / 2 : 0.5 + tail.lower / 2;
}

/** Probability that a standard normal variable lies above z. */
export function normalSurvival(z: number): number {
  return normalCdf(-z);
}

/**
 * z below which a standard normal variable lies with probability p, 0 < p < 1.
 * Source: Wichura, Algorithm AS 241 (PPND16), Appl. Statist. 37 (1988) 477; relative accuracy about 1e-16.
 * @throws OutOfRange unless 0 < p < 1
 */
export function normalQuantile(p: number): number {
  requireProbability(p);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (
      (q *
        (((((((2509.0809287301226727 * r + 33430.575583588128105) * r + 67265.770927008700853) * r +
          45921.953931549871457) *
          r +
          13731.693765509461125) *
          r +
          1971.5909503065514427) *
          r +
          133.14166789178437745) *
          r +
          3.387132872796366608)) /
      (((((((5226.495278852545925 * r + 28729.085735721942674) * r + 39307.89580009271061) * r +
        21213.794301586595867) *
        r +
        5394.1960214247511077) *
        r +
        687.1870074920579083) *
        r +
        42.313330701600911252) *
        r +
        1)
    );
  }
  let r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  let value: number;
  if (r <= 5) {
    r -= 1.6;
    value =
      (((((((7.7454501427834140764e-4 * r + 0.0227238449892691845833) * r + 0.24178072517745061177) * r +
        1.27045825245236838258) *
        r +
        3.64784832476320460504) *
        r +
        5.7694972214606914055) *
        r +
        4.6303378461565452959) *
        r +
        1.42343711074968357734) /
      (((((((1.05075007164441684324e-9 * r + 5.475938084995344946e-4) * r + 0.0151986665636164571966) * r +
        0.14810397642748007459) *
        r +
        0.68976733498510000455) *
        r +
        1.6763848301838038494) *
        r +
        2.05319162663775882187) *
        r +
        1);
  } else {
    r -= 5;
    value =
      (((((((2.01033439929228813265e-7 * r + 2.71155556874348757815e-5) * r + 0.0012426609473880784386) * r +
        0.026532189526576123093) *
        r +
        0.29656057182850489123) *
        r +
        1.7848265399172913358) *
        r +
        5.4637849111641143699) *
        r +
        6.6579046435011037772) /
      (((((((2.04426310338993978564e-15 * r + 1.4215117583164458887e-7) * r + 1.8463183175100546818e-5) * r +
        7.868691311456132591e-4) *
        r +
        0.0148753612908506148525) *
        r +
        0.13692988092273580531) *
        r +
        0.59983220655588793769) *
        r +
        1);
  }
  return q < 0 ? -value : value;
}

/** Probability that Student's t with `degreesOfFreedom` lies below t. */
export function tCdf(t: number, degreesOfFreedom: number): number {
  return tSurvival(-t, degreesOfFreedom);
}

/** Probability that Student's t lies above t; keeps its relative accuracy far out. DLMF 8.17 with x = df/(df + t^2). */
export function tSurvival(t: number, degreesOfFreedom: number): number {
  requireNumber(t, 'The value');
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return normalSurvival(t);
  requireDegrees(degreesOfFreedom);
  const square = t * t;
  const x = degreesOfFreedom / (degreesOfFreedom + square);
  const half = incompleteBeta(x, square / (degreesOfFreedom + square), degreesOfFreedom / 2, 0.5) / 2;
  return t > 0 ? half : 1 - half;
}

/** t above which Student's t lies with probability q (0 < q < 1): the coverage factor at q = 0.025 for 95 %. */
export function tSurvivalQuantile(q: number, degreesOfFreedom: number): number {
  requireProbability(q);
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return -normalQuantile(q);
  requireDegrees(degreesOfFreedom);
  if (q === 0.5) return 0;
  if (q > 0.5) return -tSurvivalQuantile(1 - q, degreesOfFreedom);
  // In closed form for 1 and 2 degrees of freedom (also where the tail is so long that a search would crawl).
  if (degreesOfFreedom === 1) return 1 / Math.tan(Math.PI * q);
  if (degreesOfFreedom === 2) return (1 - 2 * q) / Math.sqrt(2 * q * (1 - q));
  return searchQuantile((t) => tSurvival(t, degreesOfFreedom), q, -normalQuantile(q));
}

/** t below which Student's t lies with probability p. */
export function tQuantile(p: number, degreesOfFreedom: number): number {
  return p < 0.5 ? -tSurvivalQuantile(p, degreesOfFreedom) : tSurvivalQuantile(1 - p, degreesOfFreedom);
}

/** Probability that chi-square with `degreesOfFreedom` lies below x >= 0. */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  requireDegrees(degreesOfFreedom);
  requireNumber(x, 'The value');
  return incompleteGamma(degreesOfFreedom / 2, x / 2).lower;
}

/** Probability that chi-square lies above x. */
export function chiSquareSurvival(x: number, degreesOfFreedom: number): number {
  requireDegrees(degreesOfFreedom);
  requireNumber(x, 'The value');
  return incompleteGamma(degreesOfFreedom / 2, x / 2).upper;
}

/** x below which chi-square lies with probability p. First guess: Wilson and Hilferty (1931). */
export function chiSquareQuantile(p: number, degreesOfFreedom: number): number {
  requireProbability(p);
  requireDegrees(degreesOfFreedom);
  const c = 2 / (9 * degreesOfFreedom);
  const cube = 1 - c + normalQuantile(p) * Math.sqrt(c);
  // Far down the lower tail P(a, y) is y^a / Gamma(a + 1): solved for y.
  const a = degreesOfFreedom / 2;
  const start = cube > 0.1 ? degreesOfFreedom * cube ** 3 : 2 * Math.exp((Math.log(p) + Math.log(a) + logGamma(a)) / a);
  return p < 0.5
    ? searchQuantile((x) => -chiSquareCdf(x, degreesOfFreedom), -p, start)
    : searchQuantile((x) => chiSquareSurvival(x, degreesOfFreedom), 1 - p, start);
}

/** Probability that F lies below f >= 0. */
export function fCdf(f: number, numeratorDf: number, denominatorDf: number): number {
  requireDegrees(numeratorDf);
  requireDegrees(denominatorDf);
  requireNumber(f, 'The value');
  if (f <= 0) return 0;
  const top = numeratorDf * f;
  const sum = top + denominatorDf;
  return incompleteBeta(top / sum, denominatorDf / sum, numeratorDf / 2, denominatorDf / 2);
}

/** Probability that F lies above f. */
export function fSurvival(f: number, numeratorDf: number, denominatorDf: number): number {
  return f <= 0 ? 1 : fCdf(1 / f, denominatorDf, numeratorDf);
}

/** f below which F lies with probability p. */
export function fQuantile(p: number, numeratorDf: number, denominatorDf: number): number {
  requireProbability(p);
  requireDegrees(numeratorDf);
  requireDegrees(denominatorDf);
  return p < 0.5
    ? searchQuantile((f) => -fCdf(f, numeratorDf, denominatorDf), -p, 1)
    : searchQuantile((f) => fSurvival(f, numeratorDf, denominatorDf), 1 - p, 1);
}

/**
 * The x > 0 at which a falling function of x has the value `target`: bracket by doubling and halving from `start`,
 * then the bisection-safeguarded secant (regula falsi, Illinois variant) on logarithms where both are positive.
 */
function searchQuantile(falling: (x: number) => number, target: number, start: number): number {
  const gap = (x: number): number => {
    const value = falling(x);
    // Logarithms make tails nearly straight; both have one sign by construction.
    const ratio = value / target;
    return ratio > 0 ? Math.sign(target) * Math.log(ratio) : -Math.sign(target) * Number.MAX_VALUE;
  };
  let low = Math.max(start, 1e-8);
  let high = low;
  let gapLow = gap(low);
  let gapHigh = gapLow;
  for (let i = 0; gapLow < 0; i++) {
    if (i > 1100) throw new NonConvergence('A limit of a confidence interval could not be computed.', 'no lower end');
    high = low;
    gapHigh = gapLow;
    low /= 2;
    gapLow = gap(low);
  }
  for (let i = 0; gapHigh > 0; i++) {
    if (i > 1100) throw new NonConvergence('A limit of a confidence interval could not be computed.', 'no upper end');
    low = high;
    gapLow = gapHigh;
    high *= 2;
    gapHigh = gap(high);
  }
  let side = 0;
  for (let i = 0; i < 300; i++) {
    if (gapLow === 0) return low;
    if (gapHigh === 0) return high;
    let x = low + ((high - low) * gapLow) / (gapLow - gapHigh);
    // Every fourth step halves, so that a badly bent function cannot stall the secant.
    if (!(x > low && x < high) || i % 4 === 3) x = low + (high - low) / 2;
    if (high - low <= 4e-16 * high || x === low || x === high) return x;
    const value = gap(x);
    if (value > 0) {
      low = x;
      gapLow = value;
      if (side === 1) gapHigh /= 2;
      side = 1;
    } else {
      high = x;
      gapHigh = value;
      if (side === -1) gapLow /= 2;
      side = -1;
    }
  }
  return low + (high - low) / 2;
}

function requireProbability(p: number): void {
  if (!(p > 0 && p < 1)) throw new OutOfRange('A probability must lie between 0 and 1.', `got ${p}`);
}

function requireDegrees(degreesOfFreedom: number): void {
  if (!(degreesOfFreedom > 0 && degreesOfFreedom < Number.POSITIVE_INFINITY)) {
    throw new OutOfRange('There are too few readings for an uncertainty.', `degrees of freedom ${degreesOfFreedom}`);
  }
}

function requireNumber(x: number, what: string): void {
  if (Number.isNaN(x)) throw new OutOfRange(`${what} must be an ordinary number.`, 'NaN');
}
