/**
 * The course of one run: how the share of the limiting reagent that is used up, and the gas that has come out, grow
 * with time. The rate over the ceiling is `pacePerS` at the start and falls with what is left.
 */
export interface Course {
  /** Starting rate over ceiling, 1/s, at `anchorS`. */
  readonly pacePerS: number;
  /** Power of the share left with which the rate falls; not used where `saturation` is given. */
  readonly order: number;
  /** Michaelis constant over the starting concentration: the rate falls as u (1 + q)/(q + u), u being the share left. */
  readonly saturation?: number;
  /** Time constant of the release of gas that is held back at first, s. */
  readonly lagS?: number;
  /** Relative growth of the rate with time from warming, 1/s. */
  readonly warmingPerS?: number;
  /** Moment, s after mixing, at which `pacePerS` holds where the run warms; 0 unless given. */
  readonly anchorS?: number;
}

/** When shares of the gas had come out, s after mixing, and d(time)/d(share) there, s. */
export interface Moments {
  readonly times: readonly number[];
  readonly slopes: readonly number[];
}

/**
 * Moments after mixing at which the given shares of the gas had come out. Without a lag in closed form for any order and
 * for the Michaelis form; with one, what is held back leaves at held/lag, which is summed along the course exactly for
 * the straight pieces between some hundred moments (error below 1e-5 of the ceiling).
 *
 * @param logs -ln(1 - share) of each reading; shares below 0 are readings that lie below the baseline by chance
 * @returns null where a share is never reached
 */
export function momentsOf(course: Course, logs: readonly number[]): Moments | null {
  const found = course.lagS !== undefined && course.lagS > 0 ? released(course, course.lagS, logs) : made(course, logs);
  return found.times.every(Number.isFinite) && found.slopes.every(Number.isFinite) ? found : null;
}

function made(course: Course, logs: readonly number[]): Moments {
  const times: number[] = [];
  const slopes: number[] = [];
  for (const log of logs) {
    const time = timeOf(course, log);
    times.push(time);
    slopes.push(slopeOf(course, log, time));
  }
  return { times, slopes };
}

/** Moment at which -ln(share left) is `log`. */
function timeOf(course: Course, log: number): number {
  const { pacePerS, order, saturation, warmingPerS = 0, anchorS = 0 } = course;
  const steady =
    saturation === undefined
      ? conversionTime(log, order) / pacePerS
      : (-Math.expm1(-log) + saturation * log) / (pacePerS * (1 + saturation));
  if (warmingPerS === 0) return steady;
  // steady = (exp(w (t - a)) - exp(-w a))/w
  return Math.log1p(warmingPerS * steady * Math.exp(warmingPerS * anchorS)) / warmingPerS;
}

/** d(time)/d(share used up). */
function slopeOf(course: Course, log: number, time: number): number {
  const { pacePerS, order, saturation, warmingPerS = 0, anchorS = 0 } = course;
  const left = Math.exp(-log);
  const shape = saturation === undefined ? left ** order : (left * (1 + saturation)) / (saturation + left);
  return Math.exp(-warmingPerS * (time - anchorS)) / (pacePerS * shape);
}

/** Pieces into which the course up to the last reading is cut. */
const pieces = 96;
const mostPieces = 4000;

function released(course: Course, lagS: number, logs: readonly number[]): Moments {
  const wanted = logs.map((_, i) => i).sort((a, b) => (logs[a] ?? 0) - (logs[b] ?? 0));
  const times = logs.map(() => Number.NaN);
  const slopes = logs.map(() => Number.NaN);
  const last = Math.max(...logs, 0.01);
  let before = { time: 0, used: 0, out: 0 };
  let next = 0;
  for (let piece = 1; piece <= mostPieces && next < wanted.length; piece++) {
    // Finer at the start, where the gas held back builds up.
    const log = last * (piece < pieces / 2 ? (2 * piece * piece) / pieces / pieces : piece / pieces);
    const time = timeOf(course, log);
    const used = -Math.expm1(-log);
    // Below the first order all is used up at a finite moment; what is held back still comes.
    const ends = !Number.isFinite(time) || (before.used > 1 - 1e-9 && time - before.time < lagS / 100);
    const h = ends ? lagS : time - before.time;
    const gain = ends ? 0 : (used - before.used) / h;
    const here = ends ? before.used : used;
    // y' = (x - y)/lag with x straight: y = x - lag gain + (y0 - x0 + lag gain) exp(-t/lag)
    const held = before.used - before.out - lagS * gain;
    const outAt = (s: number): number => before.used + gain * s - lagS * gain - held * Math.exp(-s / lagS);
    const out = outAt(h);
    for (; next < wanted.length; next++) {
      const i = wanted[next] ?? 0;
      const share = -Math.expm1(-(logs[i] ?? 0));
      if (share > out) break;
      const s = share <= before.out ? 0 : crossing(outAt, share, h, before.out, out);
      const y = share <= before.out ? before.out : share;
      const flow = Math.max((before.used + gain * s - y) / lagS, (out - before.out) / h / 2, 1e-300);
      times[i] = before.time + s + (share < before.out ? (share - before.out) / flow : 0);
      slopes[i] = 1 / flow;
    }
    before = { time: before.time + h, used: here, out };
  }
  return { times, slopes };
}

/** Where a rising function reaches a value between its ends: false position with halving (Illinois). */
function crossing(of: (s: number) => number, value: number, end: number, atStart: number, atEnd: number): number {
  let [a, b] = [0, end];
  let [fa, fb] = [atStart - value, atEnd - value];
  for (let i = 0; i < 40 && b - a > 1e-12 * end; i++) {
    const s = fb === fa ? (a + b) / 2 : (a * fb - b * fa) / (fb - fa);
    const f = of(s) - value;
    if (Math.abs(f) < 1e-16) return s;
    if (f < 0) {
      [a, fa] = [s, f];
      fb /= 2;
    } else {
      [b, fb] = [s, f];
      fa /= 2;
    }
  }
  return (a + b) / 2;
}

/**
 * Integrated rate law of order `order`, times k: g(f) = (1 - (1 - f)^(1-x))/(1 - x) as a function of L = -ln(1 - f), that
 * is expm1((x - 1) L)/(x - 1), L itself at x = 1.
 * @example
 * conversionTime(Math.LN2, 1).toFixed(3) // => '0.693'
 */
export function conversionTime(log: number, order: number): number {
  const y = order - 1;
  return Math.abs(y * log) < 1e-9 ? log * (1 + (y * log) / 2) : Math.expm1(y * log) / y;
}
