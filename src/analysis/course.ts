/**
 * The course of one run: how the share of the limiting reagent that is used up, and the gas that has come out, grow
 * with time. The rate over the ceiling is `pacePerS` at the start and falls with what is left.
 */
export interface Course {
  /** Starting rate over ceiling, 1/s, at `anchorS`. */
  readonly pacePerS: number;
  /** Power of the share left with which the rate falls; not used where `saturation` is given. */
  readonly order: number;
  /**
   * Ceiling that the shares count from over the true one: of the reagent 1 - bend share is left. 1 unless given; 0: nothing is
   * used up, the rate does not fall.
   */
  readonly bend?: number;
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
 * for the Michaelis form; with one, what is held back leaves at held/lag, see `released`.
 *
 * @param logs -ln(1 - share) of each reading; shares below 0 are readings that lie below the baseline by chance
 * @returns null where a share is never reached
 */
export function momentsOf(course: Course, logs: readonly number[]): Moments | null {
  const found = course.lagS !== undefined && course.lagS > 0 ? released(course, course.lagS, logs) : made(course, logs);
  return found.times.every(Number.isFinite) && found.slopes.every(Number.isFinite) ? found : null;
}

/** The moments alone, for what needs no slopes. */
export function timesOf(course: Course, logs: readonly number[]): readonly number[] | null {
  if (course.lagS !== undefined && course.lagS > 0) return momentsOf(course, logs)?.times ?? null;
  const times: number[] = [];
  for (const log of logs) times.push(timeOf(course, log));
  return times.every(Number.isFinite) ? times : null;
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

/** -ln of the share that is really left, where the ceiling that the shares count from is not the true one. */
const bentLog = (log: number, bend: number): number => (bend === 1 ? log : -Math.log1p(bend * Math.expm1(-log)));

/** Moment at which -ln(share left) is `log`. */
function timeOf(course: Course, log: number): number {
  const { pacePerS, order, saturation, bend = 1, warmingPerS = 0, anchorS = 0 } = course;
  const steady = steadyTime(bentLog(log, bend), -Math.expm1(-log), bend, order, saturation) / pacePerS;
  if (warmingPerS === 0) return steady;
  // steady = (exp(w (t - a)) - exp(-w a))/w
  return Math.log1p(warmingPerS * steady * Math.exp(warmingPerS * anchorS)) / warmingPerS;
}

/** Integral of 1/(shape of the rate) over the share, at constant temperature. */
function steadyTime(log: number, share: number, bend: number, order: number, saturation: number | undefined): number {
  if (bend === 0) return share;
  if (saturation === undefined) return conversionTime(log, order) / bend;
  return (share + (saturation * log) / bend) / (1 + saturation);
}

/** d(time)/d(share used up). */
function slopeOf(course: Course, log: number, time: number): number {
  const { pacePerS, order, saturation, bend = 1, warmingPerS = 0, anchorS = 0 } = course;
  const left = Math.exp(-bentLog(log, bend));
  const shape = saturation === undefined ? left ** order : (left * (1 + saturation)) / (saturation + left);
  return Math.exp(-warmingPerS * (time - anchorS)) / (pacePerS * shape);
}

/** The course is cut into pieces of this size in -ln(share left), or a quarter of what there is. */
const pieceSize = 0.1;
/** Beyond so many the last reading is never reached. */
const furthest = 400;

/**
 * What is held back leaves at held/lag: y' = (x - y)/lag. In each piece x, the share used up, is the cubic that has its
 * values and slopes at both ends; y is then exact, and the error is below 1e-6 of the ceiling.
 */
function released(course: Course, lagS: number, logs: readonly number[]): Moments {
  const wanted = logs.map((_, i) => i).sort((a, b) => (logs[a] ?? 0) - (logs[b] ?? 0));
  const times = logs.map(() => Number.NaN);
  const slopes = logs.map(() => Number.NaN);
  const last = Math.max(logs[wanted.at(-1) ?? 0] ?? 0, 0.01);
  const size = Math.min(pieceSize, last / 4);
  const piece: Piece = { used: 0, b1: 1 / slopeOf(course, 0, 0), b2: 0, b3: 0, held: 0, lagS };
  let time = 0;
  let out = 0;
  let next = 0;
  for (let j = 1; j <= furthest && next < wanted.length; j++) {
    const end = timeOf(course, j * size);
    // Below the first order all is used up at a finite moment; what is held back still comes.
    const over = !(end - time > 1e-6 * lagS) || !Number.isFinite(end);
    const h = over ? lagS : end - time;
    const used = over ? piece.used : -Math.expm1(-j * size);
    const b1 = over ? 0 : 1 / slopeOf(course, j * size, end);
    cubic(piece, used, b1, h);
    piece.held = piece.used - out - lagS * (piece.b1 - lagS * (2 * piece.b2 - 6 * lagS * piece.b3));
    const outEnd = outAt(piece, h);
    for (; next < wanted.length; next++) {
      const i = wanted[next] ?? 0;
      const share = -Math.expm1(-(logs[i] ?? 0));
      if (share > outEnd) break;
      const s = share <= out ? 0 : crossing(piece, share, h);
      const flow = Math.max(flowAt(piece, s), (outEnd - out) / h / 2, 1e-300);
      times[i] = time + s + (share < out ? (share - out) / flow : 0);
      slopes[i] = 1 / flow;
    }
    time += h;
    out = outEnd;
    piece.used = used;
    piece.b1 = b1;
  }
  return { times, slopes };
}

/** Share used up in a piece, used + b1 s + b2 s^2 + b3 s^3, and what is held back beyond the steady state at its start. */
interface Piece {
  used: number;
  b1: number;
  b2: number;
  b3: number;
  held: number;
  readonly lagS: number;
}

/** The cubic with the piece's value and slope at its start and the given ones at its end, h later (Hermite). */
function cubic(piece: Piece, used: number, slope: number, h: number): void {
  // What has ended no longer grows.
  if (used === piece.used) piece.b1 = 0;
  const mean = (used - piece.used) / h;
  piece.b2 = (3 * mean - 2 * piece.b1 - slope) / h;
  piece.b3 = (piece.b1 + slope - 2 * mean) / (h * h);
}

/** Share that has come out, s seconds into a piece: x - lag x' + lag^2 x'' - lag^3 x''' and what fades away. */
function outAt({ used, b1, b2, b3, held, lagS }: Piece, s: number): number {
  const x = used + s * (b1 + s * (b2 + s * b3));
  const first = b1 + s * (2 * b2 + 3 * s * b3);
  return x - lagS * (first - lagS * (2 * b2 + 6 * s * b3 - 6 * lagS * b3)) - held * Math.exp(-s / lagS);
}

function flowAt({ b1, b2, b3, held, lagS }: Piece, s: number): number {
  const first = b1 + s * (2 * b2 + 3 * s * b3);
  return first - lagS * (2 * b2 + 6 * s * b3 - 6 * lagS * b3) + (held / lagS) * Math.exp(-s / lagS);
}

/** When a share has come out, between 0 and `end` s into a piece: Newton's method, halving where it leaves them. */
function crossing(piece: Piece, share: number, end: number): number {
  let low = 0;
  let high = end;
  let s = end / 2;
  for (let i = 0; i < 60; i++) {
    const off = outAt(piece, s) - share;
    if (off < 0) low = s;
    else high = s;
    const next = s - off / flowAt(piece, s);
    if (Math.abs(next - s) <= 1e-11 * end) return next;
    s = next > low && next < high ? next : (low + high) / 2;
  }
  return s;
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
