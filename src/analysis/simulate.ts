import { GAS_CONSTANT } from '../chemistry/constants.ts';
import { OutOfRange } from '../numerics/errors.ts';
import { named, nth } from '../numerics/nth.ts';
import type { Random } from '../numerics/random.ts';
import { gasPerVolume } from './gas-frame.ts';
import type { Concentration, Experiment, RunData, RunEvent, RunReading } from './run-data.ts';

/** One run to simulate: what is meant to be in the flask. */
export interface SimulatedRunPlan {
  readonly label: string;
  /** Starting concentrations as planned, mol/m3. */
  readonly concentrations: Readonly<Record<string, number>>;
  readonly temperatureK?: number;
}

export interface SimulationPlan {
  readonly runs: readonly SimulatedRunPlan[];
  /** d[gas]/dt = k prod c^order, SI (m3, mol, s), at `referenceK`. */
  readonly k: number;
  readonly referenceK: number;
  readonly activationJPerMol: number;
  readonly orders: Readonly<Record<string, number>>;
  readonly limiting: string;
  readonly gasPerLimiting: number;
  readonly solutionM3: number;
  readonly pressurePa: number;
  readonly stepM3: number;
  /** Marks called per run. */
  readonly readings: number;
  /** Cylinder reading before mixing, m3. */
  readonly baselineM3: number;
  /** Steps between the baseline and the first called mark. */
  readonly firstMark: number;
}

/**
 * What goes wrong by how much: standard deviations of normal errors, all independent. The analysis gets the same
 * figures, unless `told` says otherwise.
 */
export interface SimulationErrors {
  readonly timeS: number;
  readonly volumeM3: number;
  readonly baselineVolumeM3: number;
  readonly gainRelative: number;
  readonly pourRelative: number;
  readonly stockRelative: number;
  readonly temperatureK: number;
  readonly pressurePa: number;
  /** Mean delay of a call, s: the same for every call, so it must not matter. */
  readonly delayS: number;
  /** Probability that a run has one misheard value. */
  readonly misheard: number;
  /** Probability of one missed or doubled mark, a late call, a leak from some reading on, a surge at the start. */
  readonly missedMark: number;
  readonly lateCall: number;
  readonly leak: number;
  readonly surge: number;
  /** Kelvin per second that the flask warms by in every run, told to nobody. */
  readonly driftKPerS: number;
  /** Factors on the standard uncertainties of time and volume that the analysis gets. Default 1. */
  readonly toldTime?: number;
  readonly toldVolume?: number;
}

export const usualErrors: SimulationErrors = {
  timeS: 0.1,
  volumeM3: 0.1e-6,
  baselineVolumeM3: 0.1e-6,
  gainRelative: 0.005,
  pourRelative: 0.005,
  stockRelative: 0.01,
  temperatureK: 0.2,
  pressurePa: 100,
  delayS: 0.4,
  misheard: 0,
  missedMark: 0,
  lateCall: 0,
  leak: 0,
  surge: 0,
  driftKPerS: 0,
};

/** What really was, for judging the analysis. */
export interface SimulatedTruth {
  /** k at the temperature that the analysis was told, SI. */
  readonly k: number;
  readonly orders: Readonly<Record<string, number>>;
  readonly runs: readonly {
    /** True displaced volume per time before any gas was made, at the first reading, and meanly over the readings, m3/s. */
    readonly zeroGasM3PerS: number;
    readonly firstReadingM3PerS: number;
    readonly misheard: { readonly index: number; readonly trueM3: number } | null;
    readonly shiftedFrom: number | null;
    readonly late: number | null;
    readonly leakFrom: number | null;
    readonly surge: boolean;
  }[];
}

/**
 * A whole experiment from a known truth. The kinetics is exact: with f the share of the limiting reagent used up, the
 * volume grows as dV/dt = r0 (1 - f)^x, whose solution is in closed form for any order x; the time at which the true
 * volume passes a mark is therefore exact too. A reading is called when the eye says the mark is passed: the true
 * volume is then the mark plus an error of reading, and the call comes a delay and a personal spread later.
 *
 * Shared by all runs of an experiment: scale error of the cylinder, strength of each stock, errors of the thermometer
 * and barometer. Shared by a run: what was poured, the baseline reading.
 */
export function simulateExperiment(
  plan: SimulationPlan,
  errors: SimulationErrors,
  random: Random,
): { readonly experiment: Experiment; readonly truth: SimulatedTruth } {
  const gain = 1 + random.normal(0, errors.gainRelative);
  const species = Object.keys(plan.orders);
  const stock = new Map(species.map((name) => [name, 1 + random.normal(0, errors.stockRelative)]));
  const temperatureError = random.normal(0, errors.temperatureK);
  const pressure = plan.pressurePa + random.normal(0, errors.pressurePa);
  const runs: RunData[] = [];
  const truths: SimulatedTruth['runs'][number][] = [];
  for (const planned of plan.runs) {
    const toldK = planned.temperatureK ?? plan.referenceK;
    const trueK = toldK + temperatureError;
    const k = arrhenius(plan, trueK);
    const trueConcentration = new Map<string, number>();
    const told: Record<string, Concentration> = {};
    for (const [name, value] of Object.entries(planned.concentrations)) {
      const poured = 1 + random.normal(0, errors.pourRelative);
      trueConcentration.set(name, value * poured * (stock.get(name) ?? 1));
      told[name] = { value, u: value * errors.pourRelative, uCommonRelative: errors.stockRelative };
    }
    const density = densityAt(plan, trueK, pressure);
    let rate = k;
    for (const name of species) rate *= (trueConcentration.get(name) ?? 0) ** named(plan.orders, name);
    const zeroGas = (rate * plan.solutionM3) / density;
    const ceiling = ((trueConcentration.get(plan.limiting) ?? 0) * plan.solutionM3 * plan.gasPerLimiting) / density;
    const order = plan.orders[plan.limiting] ?? 0;
    const warming = (plan.activationJPerMol * errors.driftKPerS) / (GAS_CONSTANT * trueK ** 2);
    const timeAt = (volume: number): number => reactionTime(volume, zeroGas, ceiling, order, warming);

    const leakFrom = random.uniform() < errors.leak ? 4 + random.integer(3) : null;
    const surge = random.uniform() < errors.surge;
    const late = random.uniform() < errors.lateCall ? 1 + random.integer(plan.readings - 2) : null;
    const readings: RunReading[] = [];
    let leaked = 0;
    for (let i = 0; i < plan.readings; i++) {
      const mark = plan.baselineM3 + (plan.firstMark + i) * plan.stepM3;
      const read = mark + random.normal(0, errors.volumeM3);
      let displaced = (read - plan.baselineM3) * gain;
      // A fifth of the gas is lost from the leak on: more must be made for the same reading.
      if (leakFrom !== null && i > leakFrom) leaked += 0.25 * plan.stepM3;
      displaced += leaked;
      // A surge: half a step more came at the start than the reaction made, before the flow was steady.
      if (surge && i >= 1) displaced -= 0.5 * plan.stepM3;
      const moment = timeAt(displaced);
      if (!Number.isFinite(moment)) break;
      const lateBy = late === i ? 0.4 * (plan.stepM3 / zeroGas) : 0;
      readings.push({
        timeS: moment + errors.delayS + lateBy + random.normal(0, errors.timeS),
        volumeM3: mark,
        uTimeS: errors.timeS * (errors.toldTime ?? 1),
        uVolumeM3: errors.volumeM3 * (errors.toldVolume ?? 1),
      });
    }
    const { heard, misheard } = mishear(readings, plan, errors, random);
    const { shifted, from } = missMark(heard, plan, errors, random);
    runs.push({
      label: planned.label,
      readings: shifted,
      baselineM3: {
        value: plan.baselineM3 + random.normal(0, errors.baselineVolumeM3),
        u: errors.baselineVolumeM3,
      },
      concentrations: told,
      gainURelative: errors.gainRelative,
      temperatureK: { value: toldK, u: errors.temperatureK },
      gas: {
        solutionM3: { value: plan.solutionM3, u: 0 },
        gasPerLimiting: plan.gasPerLimiting,
        limiting: plan.limiting,
        pressurePa: { value: plan.pressurePa, u: errors.pressurePa },
      },
      stepM3: plan.stepM3,
      ...(leakFrom === null ? {} : { events: [] as RunEvent[] }),
    });
    const firstDisplaced = plan.firstMark * plan.stepM3 * gain;
    truths.push({
      zeroGasM3PerS: zeroGas,
      firstReadingM3PerS: zeroGas * (1 - firstDisplaced / ceiling) ** order,
      misheard,
      shiftedFrom: from,
      late,
      leakFrom,
      surge,
    });
  }
  return {
    experiment: {
      runs,
      activationJPerMol: { value: plan.activationJPerMol, u: 0 },
    },
    truth: { k: arrhenius(plan, plan.runs[0]?.temperatureK ?? plan.referenceK), orders: plan.orders, runs: truths },
  };
}

function arrhenius(plan: SimulationPlan, kelvin: number): number {
  return plan.k * Math.exp((-plan.activationJPerMol / GAS_CONSTANT) * (1 / kelvin - 1 / plan.referenceK));
}

function densityAt(plan: SimulationPlan, kelvin: number, pascal: number): number {
  const density = gasPerVolume({
    label: '',
    readings: [],
    temperatureK: { value: kelvin, u: 0 },
    gas: {
      solutionM3: { value: plan.solutionM3, u: 0 },
      gasPerLimiting: plan.gasPerLimiting,
      limiting: plan.limiting,
      pressurePa: { value: pascal, u: 0 },
    },
  });
  if (!density) throw new OutOfRange('A simulated run needs gas at a temperature and pressure.');
  return density.value;
}

/**
 * Moment at which `volume` has been made, s, after mixing. From dV/dt = r0 (1 - V/C)^x: t = (C/r0) g(f), f = V/C,
 * g(f) = (1 - (1 - f)^(1-x))/(1 - x), and -ln(1 - f) for x = 1. Warming stretches the clock: the integral of
 * exp(w t) is (exp(w t) - 1)/w, so the moment is ln(1 + w t)/w.
 */
export function reactionTime(volume: number, r0: number, ceiling: number, order: number, warming = 0): number {
  const f = volume / ceiling;
  if (!(f < 1)) return Number.POSITIVE_INFINITY;
  const log = -Math.log1p(-f);
  const x = order - 1;
  const g = Math.abs(x * log) < 1e-9 ? log : Math.expm1(x * log) / x;
  const t = (ceiling / r0) * g;
  return warming === 0 ? t : Math.log1p(warming * t) / warming;
}

/** One reading of the run taken for another number, as ears do: -teen and -ty, five and nine, a neighbouring mark, swapped digits. */
function mishear(
  readings: readonly RunReading[],
  plan: SimulationPlan,
  errors: SimulationErrors,
  random: Random,
): { heard: RunReading[]; misheard: { index: number; trueM3: number } | null } {
  const heard = [...readings];
  if (heard.length === 0 || random.uniform() >= errors.misheard) return { heard, misheard: null };
  const index = random.integer(heard.length);
  const reading = nth(heard, index);
  const wrong = mishearings(Math.round(reading.volumeM3 * 1e6), plan.stepM3 * 1e6);
  const ml = nth(wrong, random.integer(wrong.length));
  heard[index] = { ...reading, volumeM3: ml * 1e-6 };
  return { heard, misheard: { index, trueM3: reading.volumeM3 } };
}

function mishearings(ml: number, step: number): number[] {
  const out = new Set<number>();
  const tens = Math.floor(ml / 10);
  const ones = ml % 10;
  if (ml >= 13 && ml <= 19) out.add(ones * 10);
  if (ml >= 30 && ml <= 90 && ones === 0) out.add(10 + tens);
  if (ones === 5) out.add(ml + 4);
  if (ones === 9) out.add(ml - 4);
  if (ml >= 21 && ones !== 0) out.add(tens * 10);
  if (ml >= 12 && ml <= 98 && ones !== tens && ones !== 0) out.add(ones * 10 + tens);
  out.add(ml + step);
  if (ml >= step) out.add(ml - step);
  return [...out];
}

/** A mark that was passed over unnoticed (all later calls one step low) or a noise taken for a mark (one step high). */
function missMark(
  readings: readonly RunReading[],
  plan: SimulationPlan,
  errors: SimulationErrors,
  random: Random,
): { shifted: RunReading[]; from: number | null } {
  const shifted = [...readings];
  if (shifted.length < 6 || random.uniform() >= errors.missedMark) return { shifted, from: null };
  const from = 2 + random.integer(shifted.length - 4);
  const moved = (byM3: number): RunReading[] =>
    shifted.map((reading, i) => (i < from ? reading : { ...reading, volumeM3: reading.volumeM3 + byM3 }));
  if (random.uniform() < 0.5) {
    // The reading at `from` never happened; the marks that follow are called with its number.
    shifted.splice(from, 1);
    return { shifted: moved(-plan.stepM3), from };
  }
  return { shifted: moved(plan.stepM3), from };
}

/**
 * The classroom case: peroxide and iodide, rate law and constant of Liebhafsky and Mohammad (J. Am. Chem. Soc. 55
 * (1933) 3977): d[O2]/dt = k [H2O2][I-], k = 0.69 L/(mol min) = 0.0115 L/(mol s) at 25 C, Ea 56.1 kJ/mol. 25 mL of
 * solution, eleven marks of 2 mL, three runs, of which each pair differs in one reagent.
 */
export const peroxideIodide: SimulationPlan = {
  runs: [
    { label: '1', concentrations: { H2O2: 150, 'I-': 80 } },
    { label: '2', concentrations: { H2O2: 300, 'I-': 80 } },
    { label: '3', concentrations: { H2O2: 150, 'I-': 160 } },
  ],
  k: 1.15e-5,
  referenceK: 298.15,
  activationJPerMol: 56_100,
  orders: { H2O2: 1, 'I-': 1 },
  limiting: 'H2O2',
  gasPerLimiting: 0.5,
  solutionM3: 25e-6,
  pressurePa: 100_000,
  stepM3: 2e-6,
  readings: 11,
  baselineM3: 10e-6,
  firstMark: 1,
};
