import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import { collectedPressure, headspaceCorrection } from '../chemistry/gas.ts';
import { gainUncertainty, readingUncertainty } from '../chemistry/glassware.ts';
import { fillFlask, type Prepared, prepareSolutions } from '../chemistry/preparation.ts';
import { gasPerMol, limitingReagent, type Reaction, reactionOf } from '../chemistry/reactions.ts';
import { solidAmount } from '../chemistry/solids.ts';
import type { PlannedRun } from '../log/plan.ts';
import type { Setup } from '../log/setup.ts';
import type { NotebookState, Reading, Run } from '../log/state.ts';
import { NumericsError } from '../numerics/errors.ts';
import { analyseExperiment, type ExperimentAnalysis } from './analyse-experiment.ts';
import { backOf, uBackOf } from './back-pressure.ts';
import { dissolvedNote, withDissolved } from './dissolved-gas.ts';
import { asInFile } from './entered-run.ts';
import { plannedRunOf, pouredVolumes } from './poured.ts';
import type {
  Concentration,
  Dissolving,
  Experiment,
  GasFrame,
  Measured,
  RunData,
  RunReading,
  SolidReagent,
} from './run-data.ts';
import { tellsDrift, temperatureOf } from './run-temperature.ts';
import { warmingNote } from './self-warming.ts';
import { stationPressure } from './station-pressure.ts';

/** A notebook's readings as the computation takes them, and what was assumed on the way. */
export interface NotebookExperiment {
  readonly experiment: Experiment;
  /** Ids by run of the experiment: the run, and its readings in the order of `RunData.readings`. */
  readonly runs: readonly { readonly id: string; readonly label: string; readonly readings: readonly string[] }[];
  readonly reaction: Reaction | null;
  /** What was assumed, could not be had or is not known, a sentence each. */
  readonly notes: readonly string[];
}

export interface NotebookAnalysis extends NotebookExperiment {
  readonly analysis: ExperimentAnalysis;
}

/** Spread of one caller's moments where no rehearsal has measured it, s: 50 to 100 ms within a person (from memory). */
const usualCallS = 0.08;
/** Activation energies are known to some 5 % (spread of the published ones). */
const uActivation = 0.05;

const known = new WeakMap<NotebookState, NotebookAnalysis>();

/**
 * The analysis of a notebook: the one function behind the Rates screen, the report and `npm run rates`, so that all say
 * the same to the last digit. Remembered per state. Cost: some 30 ms for three runs.
 */
export function analysisOf(state: NotebookState): NotebookAnalysis {
  let found = known.get(state);
  if (!found) {
    const made = experimentOf(state);
    found = { ...made, analysis: analyseExperiment(made.experiment) };
    known.set(state, found);
  }
  return found;
}

/** Everything that the computation needs from a notebook, in SI. Struck readings are not in it; set-aside ones are, as such. */
export function experimentOf(state: NotebookState): NotebookExperiment {
  const notes: string[] = [];
  const { plan } = state;
  const reaction = plan ? reactionOf(plan.reaction, plan.own) : null;
  const prepared = plan ? prepareSolutions(plan.stocks, plan.dilutions) : null;
  for (const remark of prepared?.remarks ?? []) notes.push(remark);
  const labels = new Map<string, number>();
  const runs = state.runs.map((run) => {
    const count = (labels.get(run.label) ?? 0) + 1;
    labels.set(run.label, count);
    return { run, label: count === 1 ? run.label : `${run.label} (${count})` };
  });
  const bare = runs.map(({ run, label }) => runDataOf(state, run, label, reaction, prepared, notes));
  const stated = reaction?.gas === 'CO2' ? dissolvingOf(state.setup) : null;
  const data = withDissolved(bare, () => stated);
  const dissolved = dissolvedNote(reaction, data);
  const warmed = reaction && warmingNote(reaction, data, state.runs);
  notes.push(...[dissolved, warmed].filter((note) => note !== null));
  const activation = reaction?.activation[0];
  return {
    experiment: {
      runs: data,
      ...(activation ? { activationJPerMol: { value: activation.jPerMol, u: activation.jPerMol * uActivation } } : {}),
      ...(reaction ? { convention: reaction.convention } : {}),
    },
    runs: runs.map(({ run, label }) => ({ id: run.id, label, readings: counted(run).map((reading) => reading.id) })),
    reaction,
    notes: [...new Set(notes)],
  };
}

/** What the setup says of the liquids that carbon dioxide meets. */
function dissolvingOf({ dissolving = {} }: Setup): Dissolving {
  const { water, waterMl } = dissolving;
  return {
    gas: 'CO2',
    ...(water ? { water } : {}),
    ...(waterMl === undefined ? {} : { waterM3: waterMl * 1e-6 }),
  };
}

const counted = (run: Run): readonly Reading[] => run.readings.filter((reading) => !reading.struck);

/** One run in SI. `notes` collects what was assumed. */
export function runDataOf(
  state: NotebookState,
  run: Run,
  label: string,
  reaction: Reaction | null,
  prepared: Prepared | null,
  notes: string[],
): RunData {
  const { setup } = state;
  const temperature = temperatureOf(state, run);
  if (!temperature) notes.push('No temperature is known, so gas volumes cannot become amounts.');
  if (!setup.pressure) notes.push('No air pressure is known, so gas volumes cannot become amounts.');
  const flask = reaction && prepared ? flaskOf(state, run, label, reaction, prepared, notes) : null;
  const pressurePa = temperature ? pressureOf(setup, temperature.mean.value) : null;
  const gas: GasFrame | null =
    flask && pressurePa && temperature && reaction
      ? {
          solutionM3: flask.solutionM3,
          gasPerLimiting: gasPerMol(reaction, flask.limiting) || 1,
          limiting: flask.limiting,
          pressurePa,
          ...(setup.backPressure?.on ? { back: backOf(setup.backPressure), uBack: uBackOf(setup.backPressure) } : {}),
        }
      : null;
  return asInFile(run, {
    label,
    readings: counted(run).map((reading) => readingOf(reading, setup)),
    ...(run.baseline === null
      ? {}
      : {
          baselineM3: {
            value: Number(run.baseline) * 1e-6,
            u: volumeUncertainty(Number(run.baseline), setup),
          },
        }),
    ...(flask ? { concentrations: flask.concentrations } : {}),
    ...(flask && Object.keys(flask.solids).length > 0 ? { solids: flask.solids } : {}),
    gainURelative: gainUncertainty(setup.cylinder.capacityMl * 1e-6, setup.cylinder.accuracy),
    ...(temperature ? { temperatureK: temperature.mean } : {}),
    // Called twice and the same is a drift of none, which is not the same as nobody having looked.
    ...(temperature && (temperature.driftKPerS !== 0 || tellsDrift(run)) ? { driftKPerS: temperature.driftKPerS } : {}),
    ...(gas ? { gas } : {}),
    ...(flask && !gas ? { limits: { limiting: flask.limiting, solutionM3: flask.solutionM3.value } } : {}),
    events: run.timed.flatMap((event) =>
      event.kind === 'happened' ? [{ timeS: event.timeMs / 1000, what: event.what }] : [],
    ),
    stepM3: setup.stepMl * 1e-6,
    ...(run.estimator ? { chosen: run.estimator } : {}),
  });
}

function readingOf(reading: Reading, setup: Setup): RunReading {
  // A moment typed in by hand has no caller's spread of its own; one from a voice or a key has.
  const callS =
    reading.timing === 'hand' || reading.timing === 'file' ? 0 : (setup.uCallMs ?? usualCallS * 1000) / 1000;
  return {
    id: reading.id,
    timeS: reading.timeMs / 1000,
    volumeM3: reading.volumeMl * 1e-6,
    uTimeS: Math.hypot(reading.uTimeMs / 1000, callS),
    uVolumeM3: reading.uVolumeMl === undefined ? volumeUncertainty(reading.volumeMl, setup) : reading.uVolumeMl * 1e-6,
    ...(reading.setAside ? { setAside: reading.setAside.cause } : {}),
  };
}

/** A tenth of a division for a value that is on a line of the scale, 0.29 division for one between lines. */
function volumeUncertainty(ml: number, setup: Setup): number {
  const lines = ml / setup.cylinder.divisionMl;
  const onLine = Math.abs(lines - Math.round(lines)) < 1e-6;
  return readingUncertainty(setup.cylinder.divisionMl * 1e-6, onLine ? 'at-mark' : 'between');
}

/** Pressure of the collected moist gas, Pa; null when none was stated or it lies outside what the formulas hold for. */
function pressureOf(setup: Setup, kelvin: number): Measured | null {
  const { pressure } = setup;
  if (!pressure) return null;
  try {
    const station = stationPressure(pressure);
    // Gas standing above the free level is under less than air pressure; chemistry counts the head the other way round.
    const value = collectedPressure(station.value, -(setup.waterHeadMm ?? 0) / 1000, kelvin);
    return { value, u: station.u };
  } catch (error) {
    if (error instanceof NumericsError) return null;
    throw error;
  }
}

/**
 * By how much a rate in moles grows, as a fraction, when the compression of the gas above the reaction is allowed for:
 * at the start of a run, and when all of it is displaced. Null where temperature, pressure, headspace or bore were not
 * stated. Whether it is allowed for is not asked.
 */
export function headspaceShare(setup: Setup): { readonly atStart: number; readonly atEnd: number } | null {
  const { backPressure, temperatureC } = setup;
  if (!backPressure || temperatureC === undefined) return null;
  const kelvin = temperatureC + CELSIUS_ZERO_K;
  const pressure = pressureOf(setup, kelvin);
  if (!pressure) return null;
  const at = (displacedM3: number): number =>
    headspaceCorrection(backOf(backPressure), pressure.value, kelvin, displacedM3);
  try {
    return { atStart: at(0), atEnd: at(setup.spanMl * 1e-6) };
  } catch (error) {
    if (error instanceof NumericsError) return null;
    throw error;
  }
}

/** What was in the flask after mixing, of the species that matter. */
function flaskOf(
  state: NotebookState,
  run: Run,
  label: string,
  reaction: Reaction,
  prepared: Prepared,
  notes: string[],
): {
  concentrations: Record<string, Concentration>;
  solids: Record<string, SolidReagent>;
  solutionM3: Measured;
  limiting: string;
} | null {
  const pours = pouredVolumes(state, run);
  if (pours.length === 0) {
    notes.push(
      `Run ${label} is not on the run sheet and nothing was called as poured: its concentrations are unknown.`,
    );
    return null;
  }
  const filled = fillFlask(pours, prepared);
  if (!filled.ok) {
    notes.push(`Run ${label}: ${filled.sentence}`);
    return null;
  }
  const { flask } = filled;
  const wanted = new Set([...reaction.orderSpecies, reaction.limiting]);
  const concentrations = Object.fromEntries(
    Object.entries(flask.concentrations).filter(([species]) => wanted.has(species)),
  );
  const solids = solidsOf(plannedRunOf(state.plan, run.label));
  return {
    concentrations,
    solids,
    solutionM3: { value: flask.volume.m3, u: flask.volume.u },
    limiting: limitingOf(reaction, concentrations, solids, flask.volume.m3),
  };
}

/** The solids of a planned run whose amounts can be told. */
export function solidsOf(planned: PlannedRun | null): Record<string, SolidReagent> {
  return Object.fromEntries(
    (planned?.solids ?? []).flatMap((solid) => {
      const amount = solidAmount(solid);
      return amount ? [[solid.species, { ...amount, ...(solid.pieces ? { pieces: solid.pieces } : {}) }]] : [];
    }),
  );
}

/** The reagent that runs out first, of those whose amount is known; the reaction's own when that one is not known. */
function limitingOf(
  reaction: Reaction,
  concentrations: Readonly<Record<string, Concentration>>,
  solids: Readonly<Record<string, SolidReagent>>,
  solutionM3: number,
): string {
  if (!concentrations[reaction.limiting] && !solids[reaction.limiting]) return reaction.limiting;
  const dissolved = Object.entries(concentrations).map(([species, c]) => [species, c.value * solutionM3] as const);
  const weighed = Object.entries(solids).map(([species, solid]) => [species, solid.mol] as const);
  return limitingReagent(reaction, Object.fromEntries([...dissolved, ...weighed])).species;
}
