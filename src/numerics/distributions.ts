import { NonConvergence, OutOfRange } from './errors.ts';
import { incompleteBeta, incompleteGamma, logGamma } from './special-functions.ts';

/*
 * Normal, Student, chi-square and F distributions: probability below and above a value, and quantiles. Degrees of
 * freedom may be any positive number (Welch-Satterthwaite gives fractions), for Student also Infinity. Own code on
 * `special-functions.ts`; see there why. Checked against mpmath (40 digits) to 1e-12 relative.
 */

/**
 * Probability that a standard normal variable lies below z. Tails keep their relative accuracy.
 * @example
 * normalCdf(1.96) // => 0.9750
 */
export function normalCdf(z: number): number {
  requireNumber(z, 'The value');
  const tail = incompleteGamma(0.5, (z * z) / 2);
  return z < 0 ? tail.upper / 2 : 0.5 + tail.lower / 2;
}

/**
 * Probability that a standard normal variable lies above z.
 * @example
 * normalUpperTail(1.96) // => 0.0250
 */
export function normalUpperTail(z: number): number {
  return normalCdf(-z);
}

/**
 * z below which a standard normal variable lies with probability p, 0 < p < 1.
 * Source: Wichura, Algorithm AS 241 (PPND16), Appl. Statist. 37 (1988) 477; relative accuracy about 1e-16.
 * @throws OutOfRange unless 0 < p < 1
 * @example
 * normalQuantile(0.975) // => 1.95996
 */
export function normalQuantile(p: number): number {
  requireProbability(p);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (
      (q *
        (((((((2509.0809287301227 * r + 33430.57558358813) * r + 67265.7709270087) * r + 45921.95393154987) * r +
          13731.69376550946) *
          r +
          1971.5909503065513) *
          r +
          133.14166789178438) *
          r +
          3.3871328727963665)) /
      (((((((5226.495278852546 * r + 28729.085735721943) * r + 39307.89580009271) * r + 21213.794301586597) * r +
        5394.196021424751) *
        r +
        687.1870074920579) *
        r +
        42.31333070160091) *
        r +
        1)
    );
  }
  let r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  let value: number;
  if (r <= 5) {
    r -= 1.6;
    value =
      (((((((0.0007745450142783414 * r + 0.022723844989269184) * r + 0.2417807251774506) * r + 1.2704582524523684) * r +
        3.6478483247632045) *
        r +
        5.769497221460691) *
        r +
        4.630337846156546) *
        r +
        1.4234371107496835) /
      (((((((1.0507500716444169e-9 * r + 0.0005475938084995345) * r + 0.015198666563616457) * r + 0.14810397642748008) *
        r +
        0.6897673349851) *
        r +
        1.6763848301838038) *
        r +
        2.053191626637759) *
        r +
        1);
  } else {
    r -= 5;
    value =
      (((((((2.0103343992922881e-7 * r + 2.7115555687434876e-5) * r + 0.0012426609473880784) * r +
        0.026532189526576124) *
        r +
        0.29656057182850487) *
        r +
        1.7848265399172913) *
        r +
        5.463784911164114) *
        r +
        6.657904643501103) /
      (((((((2.0442631033899397e-15 * r + 1.421511758316446e-7) * r + 1.8463183175100548e-5) * r +
        0.0007868691311456133) *
        r +
        0.014875361290850615) *
        r +
        0.1369298809227358) *
        r +
        0.599832206555888) *
        r +
        1);
  }
  return q < 0 ? -value : value;
}

/**
 * Probability that Student's t with `degreesOfFreedom` lies below t.
 * @example
 * studentCdf(2.228, 10) // => 0.9750
 */
export function studentCdf(t: number, degreesOfFreedom: number): number {
  return studentUpperTail(-t, degreesOfFreedom);
}

/**
 * Probability that Student's t lies above t; keeps its relative accuracy far out. DLMF 8.17 with x = df/(df + t^2).
 * @example
 * studentUpperTail(2.228, 10) // => 0.0250
 */
export function studentUpperTail(t: number, degreesOfFreedom: number): number {
  requireNumber(t, 'The value');
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return normalUpperTail(t);
  requireDegrees(degreesOfFreedom);
  const square = t * t;
  const x = degreesOfFreedom / (degreesOfFreedom + square);
  const half = incompleteBeta(x, square / (degreesOfFreedom + square), degreesOfFreedom / 2, 0.5) / 2;
  return t > 0 ? half : 1 - half;
}

/**
 * t above which Student's t lies with probability q (0 < q < 1): the coverage factor at q = 0.025 for 95 %.
 * @example
 * studentUpperQuantile(0.025, 10) // => 2.228
 */
export function studentUpperQuantile(q: number, degreesOfFreedom: number): number {
  requireProbability(q);
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return -normalQuantile(q);
  requireDegrees(degreesOfFreedom);
  if (q === 0.5) return 0;
  if (q > 0.5) return -studentUpperQuantile(1 - q, degreesOfFreedom);
  // In closed form for 1 and 2 degrees of freedom (also where the tail is so long that a search would crawl).
  if (degreesOfFreedom === 1) return 1 / Math.tan(Math.PI * q);
  if (degreesOfFreedom === 2) return (1 - 2 * q) / Math.sqrt(2 * q * (1 - q));
  return searchQuantile((t) => studentUpperTail(t, degreesOfFreedom), q, -normalQuantile(q));
}

/**
 * t below which Student's t lies with probability p.
 * @example
 * studentQuantile(0.975, 10) // => 2.228
 */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  return p < 0.5 ? -studentUpperQuantile(p, degreesOfFreedom) : studentUpperQuantile(1 - p, degreesOfFreedom);
}

/**
 * Probability that chi-square with `degreesOfFreedom` lies below x >= 0.
 * @example
 * chiSquareCdf(3.841, 1) // => 0.950
 */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  requireDegrees(degreesOfFreedom);
  requireNumber(x, 'The value');
  return incompleteGamma(degreesOfFreedom / 2, x / 2).lower;
}

/**
 * Probability that chi-square lies above x.
 * @example
 * chiSquareUpperTail(3.841, 1) // => 0.050
 */
export function chiSquareUpperTail(x: number, degreesOfFreedom: number): number {
  requireDegrees(degreesOfFreedom);
  requireNumber(x, 'The value');
  return incompleteGamma(degreesOfFreedom / 2, x / 2).upper;
}

/**
 * x below which chi-square lies with probability p. First guess: Wilson and Hilferty (1931).
 * @example
 * chiSquareQuantile(0.95, 1) // => 3.841
 */
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
    : searchQuantile((x) => chiSquareUpperTail(x, degreesOfFreedom), 1 - p, start);
}

/**
 * Probability that F lies below f >= 0.
 * @example
 * fisherCdf(4.965, 1, 10) // => 0.950
 */
export function fisherCdf(f: number, numeratorDf: number, denominatorDf: number): number {
  requireDegrees(numeratorDf);
  requireDegrees(denominatorDf);
  requireNumber(f, 'The value');
  if (f <= 0) return 0;
  const top = numeratorDf * f;
  const sum = top + denominatorDf;
  return incompleteBeta(top / sum, denominatorDf / sum, numeratorDf / 2, denominatorDf / 2);
}

/**
 * Probability that F lies above f.
 * @example
 * fisherUpperTail(4.965, 1, 10) // => 0.050
 */
export function fisherUpperTail(f: number, numeratorDf: number, denominatorDf: number): number {
  return f <= 0 ? 1 : fisherCdf(1 / f, denominatorDf, numeratorDf);
}

/**
 * f below which F lies with probability p.
 * @example
 * fisherQuantile(0.95, 1, 10) // => 4.965
 */
export function fisherQuantile(p: number, numeratorDf: number, denominatorDf: number): number {
  requireProbability(p);
  requireDegrees(numeratorDf);
  requireDegrees(denominatorDf);
  return p < 0.5
    ? searchQuantile((f) => -fisherCdf(f, numeratorDf, denominatorDf), -p, 1)
    : searchQuantile((f) => fisherUpperTail(f, numeratorDf, denominatorDf), 1 - p, 1);
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
