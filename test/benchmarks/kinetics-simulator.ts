import type { Experiment, RunData, RunReading } from '../../src/analysis/run-data.ts';

/**
 * Experiments integrated step by step (Runge and Kutta, fourth order) by a simulator that shares no formula with the
 * fits: reaction, held-back gas, headspace, leak and temperature are differential equations, and a reading is a moment at
 * which the level passes a mark.
 */

const R = 8.314462618;
const celsius = 273.15;
/** Vapour pressure of water, Pa: Buck, J. Appl. Meteorol. 20 (1981) 1527, as revised 1996 (from memory). */
const vapour = (kelvin: number): number => {
  const c = kelvin - celsius;
  return 611.21 * Math.exp((18.678 - c / 234.5) * (c / (257.14 + c)));
};

/** Mulberry32 and the polar method: its own random numbers. */
export function randomOf(seed: number): { uniform: () => number; normal: (sd: number) => number } {
  let a = seed >>> 0;
  const uniform = (): number => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = (sd: number): number =>
    sd * Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

export interface Scenario {
  readonly title: string;
  /** Starting concentrations of the limiting reagent A and the catalyst B, mol/L. */
  readonly runs?: readonly (readonly [number, number])[];
  /** Order in A; in B it is 1. */
  readonly order?: number;
  /** Michaelis constant, mol/L, in place of the order. */
  readonly saturation?: number;
  readonly lagS?: number;
  readonly driftKPerMin?: number;
  /** Standard deviation of a drift that is another one in every experiment, K/min. */
  readonly anyDriftKPerMin?: number;
  /** The temperature is called at the end as well. */
  readonly driftTold?: boolean;
  /** The stirrer slows in the middle of every run: the rate falls to this share. */
  readonly slowsTo?: number;
  /** The catalyst fades with this time constant: the rate falls with time, whatever the amounts. */
  readonly fadesS?: number;
  readonly leak?: number;
  readonly late?: boolean;
  readonly misheard?: boolean;
  readonly miscounted?: boolean;
  /** One run makes no gas. */
  readonly deadRun?: boolean;
  readonly readings?: number;
  readonly stepMl?: number;
  /** Read at these moments, s, to a tenth of a millilitre, and not at marks. */
  readonly timesS?: readonly number[];
  /** Rate constant, L/(mol s); 0.0115 unless given, 0.05 L2/(mol2 s) at order 2. */
  readonly k?: number;
  /** Uncertainties and ceiling told. */
  readonly stated?: boolean;
  readonly ceiling?: boolean;
  /** Only the catalyst is stated; A is the same in all runs. */
  readonly onlyCatalyst?: boolean;
  readonly headspaceMl?: number;
  readonly clean?: boolean;
}

export interface Truth {
  readonly k: number;
  readonly rates: readonly { readonly zeroGas: number; readonly atFirst: number }[];
  readonly orders: Readonly<Record<string, number>> | null;
}

export const three: readonly (readonly [number, number])[] = [
  [0.15, 0.08],
  [0.3, 0.08],
  [0.15, 0.16],
];
export const five: readonly (readonly [number, number])[] = [...three, [0.3, 0.16], [0.15, 0.08]];
/** The same amount of A in all runs. */
const catalysed: readonly (readonly [number, number])[] = [
  [0.15, 0.08],
  [0.15, 0.16],
  [0.15, 0.24],
  [0.15, 0.08],
];
export const scenarios: readonly Scenario[] = [
  { title: 'clean, stated', stated: true, clean: true },
  { title: 'clean, five runs, stated', runs: five, stated: true, clean: true },
  { title: 'clean, nothing stated', clean: true },
  { title: 'clean, 4 readings a run', readings: 4, stepMl: 5, clean: true },
  { title: 'headspace 250 mL, stated', stated: true, headspaceMl: 250, clean: true },
  { title: 'no ceiling known', ceiling: false },
  { title: 'no ceiling, 4 readings', ceiling: false, readings: 4, stepMl: 5 },
  { title: 'no ceiling, stated', ceiling: false, stated: true },
  { title: 'no ceiling, order 2', ceiling: false, order: 2 },
  { title: 'no ceiling, catalyst fades', ceiling: false, fadesS: 300 },
  { title: 'no ceiling, 3 readings', ceiling: false, readings: 3, stepMl: 7, stated: true },
  { title: 'no ceiling, catalyst fades fast', ceiling: false, fadesS: 100, readings: 8, stated: true },
  { title: 'no ceiling, only B stated', runs: catalysed, ceiling: false, onlyCatalyst: true },
  {
    title: 'no ceiling, only B stated, order 2',
    runs: catalysed,
    ceiling: false,
    onlyCatalyst: true,
    order: 2,
    stated: true,
  },
  {
    title: 'no ceiling, only B stated, fades',
    runs: catalysed,
    ceiling: false,
    onlyCatalyst: true,
    fadesS: 300,
    stated: true,
  },
  { title: 'no ceiling, table 30/60/90 s', ceiling: false, timesS: [30, 60, 90] },
  { title: 'no ceiling, table 30/60/90 s, stated', ceiling: false, timesS: [30, 60, 90], stated: true },
  { title: 'no ceiling, fast table', ceiling: false, timesS: [30, 60, 90, 120], k: 0.1 },
  { title: 'no ceiling, table to the end', ceiling: false, timesS: [30, 60, 90, 120, 180, 240, 300], k: 0.1 },
  { title: 'no ceiling, held back 20 s', ceiling: false, lagS: 20 },
  { title: 'held back 20 s, stated', lagS: 20, stated: true },
  { title: 'held back 60 s, stated', lagS: 60, stated: true },
  { title: 'held back 60 s, nothing stated', lagS: 60 },
  { title: 'held back 60 s, any drift', lagS: 60, anyDriftKPerMin: 0.3, stated: true },
  { title: 'held back 60 s, drift told', lagS: 60, driftTold: true, stated: true },
  { title: 'stirrer slows to 80 %', slowsTo: 0.8, stated: true },
  { title: 'order 2, stated', order: 2, stated: true },
  { title: 'saturating, stated', saturation: 0.15, stated: true },
  { title: 'drift 0.3 K/min, stated', driftKPerMin: 0.3, stated: true },
  { title: 'one run makes no gas', runs: five, deadRun: true, stated: true },
  { title: 'misheard, nothing stated', misheard: true },
  { title: 'miscounted, nothing stated', miscounted: true },
  { title: 'late call, nothing stated', late: true },
  { title: 'leak 20 %, nothing stated', leak: 0.2 },
  { title: 'leak 40 %, nothing stated', leak: 0.4 },
];

const solution = 50e-6;
const pressure = 101_325;
const kelvin = 298.15;
const activation = 56_100;
const errors = { timeS: 0.1, volumeM3: 0.1e-6 };

export function simulate(s: Scenario, seed: number): { experiment: Experiment; truth: Truth } {
  const random = randomOf(seed * 7919 + 13);
  const order = s.order ?? 1;
  const k = s.k ?? (s.order === 2 ? 0.05 : 0.0115);
  const plan = s.runs ?? three;
  const wrong = Math.floor(random.uniform() * plan.length);
  const density = (pressure - vapour(kelvin)) / (R * kelvin);
  const drift = (s.driftKPerMin ?? 0) + (s.anyDriftKPerMin ? random.normal(s.anyDriftKPerMin) : 0);
  const rates: { zeroGas: number; atFirst: number }[] = [];
  const runs = plan.map(([a, b], index): RunData => {
    const dead = s.deadRun && index === plan.length - 1;
    const halfway = (2 * 6 * (s.stepMl ?? 2) * 1e-6 * density) / (solution * 1000);
    const pace = (left: number, t: number): number => {
      const T = kelvin + (drift / 60) * t;
      const hot = Math.exp((-activation / R) * (1 / T - 1 / kelvin));
      const shape = s.saturation === undefined ? left ** order : (left * 0.3) / (s.saturation + left);
      const stirred = s.slowsTo !== undefined && a - left > halfway ? s.slowsTo : 1;
      const active = s.fadesS === undefined ? 1 : Math.exp(-t / s.fadesS);
      return dead ? 0 : k * b * shape * hot * stirred * active * solution * 1000;
    };
    // mol of gas per s; two of A make one of gas.
    const perVolume = density + (997.05 * 9.80665 * rise * (s.headspaceMl ?? 0) * 1e-6) / (R * kelvin);
    const usedUp = (2 * (s.stepMl ?? 2) * 1e-6 * density) / (solution * 1000);
    rates.push({ zeroGas: pace(a, 0) / perVolume, atFirst: pace(a - usedUp, 0) / perVolume });
    const readings = called(s, { pace, a, density, index, wrong }, random);
    return {
      label: String(index + 1),
      readings,
      baselineM3: s.stated
        ? { value: 10e-6 + random.normal(errors.volumeM3), u: errors.volumeM3 }
        : { value: 10e-6, u: 0 },
      concentrations: {
        ...(s.onlyCatalyst ? {} : { A: { value: a * 1000, u: 0, uCommonRelative: 0 } }),
        B: { value: b * 1000, u: 0, uCommonRelative: 0 },
      },
      temperatureK: { value: kelvin, u: 0 },
      ...(s.driftTold ? { driftKPerS: 0 } : {}),
      ...(s.ceiling === false
        ? {}
        : {
            gas: {
              solutionM3: { value: solution, u: 0 },
              gasPerLimiting: 0.5,
              limiting: 'A',
              pressurePa: { value: pressure, u: 0 },
              ...(s.headspaceMl ? { back: { headspaceM3: s.headspaceMl * 1e-6, risePerM3: rise } } : {}),
            },
          }),
      uStated: s.stated === true,
      ...(s.stated ? {} : { resolution: s.timesS ? { timeS: 1, volumeM3: 1e-7 } : { timeS: 0.1, volumeM3: 1e-6 } }),
      ...(s.timesS ? {} : { stepM3: (s.stepMl ?? 2) * 1e-6 }),
    };
  });
  const kSeen = s.ceiling === false ? (k * solution * 1000) / density : k;
  const unstated = s.onlyCatalyst ? (plan[0]?.[0] ?? Number.NaN) ** order : 1;
  const orders = s.onlyCatalyst ? { B: 1 } : { A: order, B: 1 };
  return {
    experiment: { runs },
    truth: { k: kSeen * unstated, rates, orders: s.saturation === undefined ? orders : null },
  };
}

/** A cylinder of 28 mm: height per volume, 1/m2. */
const rise = 1 / (Math.PI * 0.014 ** 2);

interface Flask {
  readonly pace: (left: number, t: number) => number;
  readonly a: number;
  readonly density: number;
  readonly index: number;
  readonly wrong: number;
}

function called(s: Scenario, flask: Flask, random: ReturnType<typeof randomOf>): RunReading[] {
  const step = (s.stepMl ?? 2) * 1e-6;
  const count = s.readings ?? 11;
  const mine = flask.index === flask.wrong;
  const leakFrom = s.leak && mine ? 3 + Math.floor(random.uniform() * 4) : null;
  const levels = Array.from({ length: count }, (_, i) => (i + 1) * step + random.normal(errors.volumeM3));
  if (flask.pace(flask.a, 0) === 0)
    return levels.map((_, i) => ({
      timeS: 30 * (i + 1),
      volumeM3: 10e-6 + Math.abs(random.normal(errors.volumeM3)),
      uTimeS: errors.timeS,
      uVolumeM3: errors.volumeM3,
    }));
  const leakLevel = leakFrom === null ? Number.POSITIVE_INFINITY : (leakFrom + 1) * step;
  if (s.timesS) return atMoments(s, flask, s.timesS, leakLevel, random);
  const times = passing(s, flask, levels, leakLevel);
  const readings = times.map((time, i): RunReading => {
    const volumeM3 = 10e-6 + (i + 1) * step;
    return {
      timeS: Math.round((time + 0.4 + random.normal(errors.timeS)) * 10) / 10,
      volumeM3,
      uTimeS: errors.timeS,
      uVolumeM3: errors.volumeM3,
    };
  });
  if (!mine) return readings;
  const at = 2 + Math.floor(random.uniform() * (count - 4));
  return readings.map((reading, i) => {
    if (s.misheard && i === at)
      return { ...reading, volumeM3: reading.volumeM3 + (random.uniform() < 0.5 ? 6e-6 : -4e-6) };
    if (s.miscounted && i >= at) return { ...reading, volumeM3: reading.volumeM3 + step };
    const half = ((readings[i + 1]?.timeS ?? reading.timeS) - reading.timeS) / 2;
    return s.late && i === at ? { ...reading, timeS: reading.timeS + half } : reading;
  });
}

/** A table: the level at given moments, read to a tenth of a millilitre. */
function atMoments(
  s: Scenario,
  flask: Flask,
  timesS: readonly number[],
  leakLevel: number,
  random: ReturnType<typeof randomOf>,
): RunReading[] {
  const readings: RunReading[] = [];
  let seen = { t: 0, level: 0 };
  for (const { t, level } of rising(s, flask, leakLevel)) {
    for (let at = timesS[readings.length]; at !== undefined && t >= at; at = timesS[readings.length]) {
      const late = random.normal(errors.timeS);
      const there = seen.level + ((level - seen.level) * (at + late - seen.t)) / (t - seen.t);
      const volumeM3 = Math.round((10e-6 + there + random.normal(errors.volumeM3)) * 1e7) * 1e-7;
      readings.push({ timeS: at, volumeM3, uTimeS: errors.timeS, uVolumeM3: errors.volumeM3 });
    }
    seen = { t, level };
    if (readings.length === timesS.length) break;
  }
  return readings;
}

/** Moments at which the level passes each of `levels`. */
function passing(s: Scenario, flask: Flask, levels: readonly number[], leakLevel: number): number[] {
  const times: number[] = [];
  let seen = { t: 0, level: 0 };
  for (const { t, level } of rising(s, flask, leakLevel)) {
    for (let next = levels[times.length]; next !== undefined && level >= next; next = levels[times.length])
      times.push(seen.t + ((t - seen.t) * (next - seen.level)) / (level - seen.level));
    seen = { t, level };
    if (times.length === levels.length) break;
  }
  return times;
}

/** The level in the cylinder every quarter of a second, by integrating what is made, held back, lost and displaced. */
function* rising(s: Scenario, flask: Flask, leakLevel: number): Generator<{ t: number; level: number }> {
  const h = 0.25;
  let made = 0;
  let held = 0;
  let out = 0;
  let before = 0;
  const tau = s.lagS ?? 0;
  const left = (n: number): number => Math.max(flask.a - (2 * n) / (solution * 1000), 0);
  for (let t = 0; t < 7200; t += h) {
    const k1 = flask.pace(left(made), t);
    const k2 = flask.pace(left(made + (h / 2) * k1), t + h / 2);
    const k3 = flask.pace(left(made + (h / 2) * k2), t + h / 2);
    const k4 = flask.pace(left(made + h * k3), t + h);
    const gain = (h * (k1 + 2 * k2 + 2 * k3 + k4)) / 6;
    made += gain;
    let release = gain;
    if (tau > 0) {
      // Held back gas leaves at held/tau; the exact step for a steady source over 0.25 s.
      const next = held * Math.exp(-h / tau) + (gain / h) * tau * -Math.expm1(-h / tau);
      release = held + gain - next;
      held = next;
    }
    out += release * (before > leakLevel ? 1 - (s.leak ?? 0) : 1);
    const level = displaced(s, out, flask.density);
    yield { t: t + h, level };
    before = level;
  }
}

/** Level, m3, for gas let out, mol: with a headspace the gas is pressed by the rising level. */
function displaced({ headspaceMl }: Scenario, mol: number, density: number): number {
  if (!headspaceMl) return mol / density;
  const head = headspaceMl * 1e-6;
  const dry = pressure - vapour(kelvin);
  let v = mol / density;
  for (let i = 0; i < 20; i++) {
    const p = dry + 997.05 * 9.80665 * rise * v;
    v = (mol * R * kelvin + dry * head) / p - head;
  }
  return v;
}
