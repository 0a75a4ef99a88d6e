import type { Concentration, Experiment, GasFrame, KnownTo, Measured, RunData } from './run-data.ts';

/** One uncertain input of an experiment, to be moved by `z` of its standard uncertainties. */
export interface UncertainInput {
  /** Unique: "temperature", "strength of H2O2", "poured H2O2, run 1". */
  readonly name: string;
  /** What it is shown as in a budget: several inputs share a source. */
  readonly source: string;
  /** true: the same error in all runs. */
  readonly shared: boolean;
  readonly move: (experiment: Experiment, z: number) => Experiment;
}

/**
 * Every uncertain input of the chain but the readings themselves. Moving an input moves all that follows from it: a
 * stronger stock raises both the concentration and the ceiling, a wrong thermometer both the gas per volume and the
 * temperature to which k belongs.
 */
export function uncertainInputs(experiment: Experiment): readonly UncertainInput[] {
  const inputs: UncertainInput[] = [];
  const eachRun = (experiment_: Experiment, change: (run: RunData) => RunData): Experiment => ({
    ...experiment_,
    runs: experiment_.runs.map(change),
  });
  const onRun = (label: string, change: (run: RunData) => RunData) => (experiment_: Experiment) =>
    eachRun(experiment_, (run) => (run.label === label ? change(run) : run));

  const cylinders = new Map<string, number>();
  for (const run of experiment.runs)
    if ((run.gainURelative ?? 0) > 0)
      cylinders.set(run.cylinder ?? '', Math.max(cylinders.get(run.cylinder ?? '') ?? 0, run.gainURelative!));
  for (const [cylinder, u] of cylinders)
    inputs.push({
      name: cylinder === '' ? 'scale of the cylinder' : `scale of ${cylinder}`,
      source: 'scale of the cylinder',
      shared: cylinders.size === 1,
      move: (e, z) => eachRun(e, (run) => ((run.cylinder ?? '') === cylinder ? stretched(run, 1 + z * u) : run)),
    });
  if (experiment.runs.some((run) => (run.temperatureK?.u ?? 0) > 0))
    inputs.push({
      name: 'temperature',
      source: 'temperature',
      shared: true,
      move: (e, z) =>
        eachRun(e, (run) => (run.temperatureK ? { ...run, temperatureK: moved(run.temperatureK, z) } : run)),
    });
  if (experiment.runs.some((run) => (run.gas?.pressurePa.u ?? 0) > 0))
    inputs.push({
      name: 'pressure',
      source: 'pressure',
      shared: true,
      move: (e, z) =>
        eachRun(e, (run) =>
          run.gas ? { ...run, gas: { ...run.gas, pressurePa: moved(run.gas.pressurePa, z) } } : run,
        ),
    });
  for (const [part, words] of [
    ['headspace', 'gas above the reaction'],
    ['bore', 'bore of the cylinder'],
  ] as const) {
    const known = experiment.runs.map((run) => knownTo(run, part)).find((one) => one && one.relative > 0);
    if (!known) continue;
    inputs.push({
      name: words,
      source: known.supposed ? `${words} (${Number((100 * known.relative).toPrecision(2))} % by judgement)` : words,
      shared: true,
      move: (e, z) => eachRun(e, (run) => pressedOtherwise(run, part, z)),
    });
  }
  const species = new Set(experiment.runs.flatMap((run) => Object.keys(run.concentrations ?? {})));
  for (const name of species) {
    if (!experiment.runs.some((run) => (run.concentrations?.[name]?.uCommonRelative ?? 0) > 0)) continue;
    inputs.push({
      name: `strength of ${name}`,
      source: `strength of ${name}`,
      shared: true,
      move: (e, z) => eachRun(e, (run) => withConcentration(run, name, (c) => c.value * (1 + z * c.uCommonRelative))),
    });
  }
  for (const run of experiment.runs) {
    for (const [name, c] of Object.entries(run.concentrations ?? {}))
      if (c.u > 0)
        inputs.push({
          name: `poured ${name}, run ${run.label}`,
          source: 'poured volumes',
          shared: false,
          move: (e, z) => onRun(run.label, (r) => withConcentration(r, name, (own) => own.value + z * own.u))(e),
        });
    if (run.baselineM3 && run.baselineM3.u > 0)
      inputs.push({
        name: `baseline, run ${run.label}`,
        source: 'baseline',
        shared: false,
        move: (e, z) => onRun(run.label, (r) => (r.baselineM3 ? { ...r, baselineM3: moved(r.baselineM3, z) } : r))(e),
      });
    if (run.ceilingM3 && run.ceilingM3.u > 0)
      inputs.push({
        name: `ceiling, run ${run.label}`,
        source: 'ceiling',
        shared: false,
        move: (e, z) => onRun(run.label, (r) => (r.ceilingM3 ? { ...r, ceilingM3: moved(r.ceilingM3, z) } : r))(e),
      });
    if (run.gas && run.gas.solutionM3.u > 0)
      inputs.push({
        name: `volume of the solution, run ${run.label}`,
        source: 'poured volumes',
        shared: false,
        move: (e, z) =>
          onRun(run.label, (r) => (r.gas ? { ...r, gas: { ...r.gas, solutionM3: moved(r.gas.solutionM3, z) } } : r))(e),
      });
  }
  return inputs;
}

const moved = (measured: Measured, z: number): Measured => ({ ...measured, value: measured.value + z * measured.u });

const knownTo = ({ gas }: RunData, part: 'headspace' | 'bore'): KnownTo | undefined =>
  gas?.back ? gas.uBack?.[part] : undefined;

/** The run with another headspace, or a cylinder of another bore, by `z` of its standard uncertainties. */
function pressedOtherwise(run: RunData, part: 'headspace' | 'bore', z: number): RunData {
  const known = knownTo(run, part);
  if (!known || !run.gas?.back) return run;
  const { headspaceM3, risePerM3 } = run.gas.back;
  // Neither can be less than nothing, however badly it is known.
  const factor = Math.max(1 + z * known.relative, 0.01);
  const back =
    part === 'headspace'
      ? { headspaceM3: headspaceM3 * factor, risePerM3 }
      : { headspaceM3, risePerM3: risePerM3 / factor ** 2 };
  return { ...run, gas: { ...run.gas, back } };
}

/** Every volume of the cylinder times `factor`. */
function stretched(run: RunData, factor: number): RunData {
  return {
    ...run,
    readings: run.readings.map((reading) => ({ ...reading, volumeM3: reading.volumeM3 * factor })),
    ...(run.baselineM3 ? { baselineM3: { ...run.baselineM3, value: run.baselineM3.value * factor } } : {}),
  };
}

function withConcentration(run: RunData, name: string, value: (c: Concentration) => number): RunData {
  const c = run.concentrations?.[name];
  if (!c) return run;
  return { ...run, concentrations: { ...run.concentrations, [name]: { ...c, value: Math.max(value(c), 1e-12) } } };
}

/** The run with every uncertainty but the readings' set to zero: for evaluating the chain at moved inputs. */
export function bare(run: RunData): RunData {
  const { gainURelative: _, ...rest } = run;
  return {
    ...rest,
    ...(run.baselineM3 ? { baselineM3: { ...run.baselineM3, u: 0 } } : {}),
    ...(run.ceilingM3 ? { ceilingM3: { ...run.ceilingM3, u: 0 } } : {}),
    ...(run.temperatureK ? { temperatureK: { ...run.temperatureK, u: 0 } } : {}),
    ...(run.gas ? { gas: bareGas(run.gas) } : {}),
    ...(run.concentrations
      ? {
          concentrations: Object.fromEntries(
            Object.entries(run.concentrations).map(([name, c]) => [name, { ...c, u: 0, uCommonRelative: 0 }]),
          ),
        }
      : {}),
  };
}

function bareGas({ uBack: _, ...gas }: GasFrame): GasFrame {
  return { ...gas, pressurePa: { ...gas.pressurePa, u: 0 }, solutionM3: { ...gas.solutionM3, u: 0 } };
}
