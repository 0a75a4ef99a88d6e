import type {
  Concentration,
  DissolvedGas,
  Experiment,
  GasFrame,
  KnownTo,
  Measured,
  RunData,
  SolidReagent,
} from './run-data.ts';

/**
 * Which groups of a class have the same error: those with the same bottles and solids, or every group that does the
 * reaction. No averaging over them lessens it.
 */
export type CommonTo = 'kit' | 'reaction';

/** One uncertain input of an experiment, to be moved by `z` of its standard uncertainties. */
export interface UncertainInput {
  /** Unique: "temperature", "strength of H2O2", "poured H2O2, run 1". */
  readonly name: string;
  /** What it is shown as in a budget: several inputs share a source. */
  readonly source: string;
  /** true: the same error in all runs. */
  readonly shared: boolean;
  /** Absent: each group has an error of its own. */
  readonly commonTo?: CommonTo;
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

  const cylinders = new Map<string, number>();
  for (const { cylinder = '', gainURelative = 0 } of experiment.runs)
    if (gainURelative > 0) cylinders.set(cylinder, Math.max(cylinders.get(cylinder) ?? 0, gainURelative));
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
  for (const [part, name] of [
    ['uShared', 'gas that stays dissolved'],
    ['uSlant', 'gas that stays dissolved, by what was collected'],
  ] as const) {
    if (!experiment.runs.some((run) => run.gas?.dissolved?.[part])) continue;
    inputs.push({
      name,
      source: 'gas that stays dissolved',
      shared: true,
      commonTo: 'reaction',
      move: (e, z) => eachRun(e, (run) => withOtherDissolved(run, (dissolved) => z * dissolved[part])),
    });
  }
  const species = new Set(experiment.runs.flatMap((run) => Object.keys(run.concentrations ?? {})));
  for (const name of species) {
    if (!experiment.runs.some((run) => (run.concentrations?.[name]?.uCommonRelative ?? 0) > 0)) continue;
    inputs.push({
      name: `strength of ${name}`,
      source: `strength of ${name}`,
      shared: true,
      commonTo: 'kit',
      move: (e, z) => eachRun(e, (run) => withConcentration(run, name, (c) => c.value * (1 + z * c.uCommonRelative))),
    });
  }
  const solids = new Set(experiment.runs.flatMap((run) => Object.keys(run.solids ?? {})));
  for (const [part, what] of [
    ['uCommonRelative', 'mass per length of'],
    ['uPurityRelative', 'purity of'],
  ] as const)
    for (const name of solids) {
      if (!experiment.runs.some((run) => (run.solids?.[name]?.[part] ?? 0) > 0)) continue;
      inputs.push({
        name: `${what} ${name}`,
        source: `${what} ${name}`,
        shared: true,
        commonTo: 'kit',
        move: (e, z) => eachRun(e, (run) => withSolid(run, name, (solid) => solid.mol * (1 + z * (solid[part] ?? 0)))),
      });
    }
  for (const own of experiment.runs.flatMap(inputsOfRun))
    inputs.push({
      name: `${own.name}, run ${own.label}`,
      source: own.source,
      shared: false,
      move: (e, z) => eachRun(e, (run) => (run.label === own.label ? own.change(run, z) : run)),
    });
  return inputs;
}

/** An input that belongs to one run alone. */
interface RunInput {
  readonly label: string;
  readonly name: string;
  readonly source: string;
  readonly change: (run: RunData, z: number) => RunData;
}

function inputsOfRun(run: RunData): RunInput[] {
  const { label, baselineM3, ceilingM3, gas } = run;
  const inputs: RunInput[] = [];
  for (const [name, c] of Object.entries(run.concentrations ?? {}))
    if (c.u > 0)
      inputs.push({
        label,
        name: `poured ${name}`,
        source: 'poured volumes',
        change: (r, z) => withAmount(r, name, z),
      });
  for (const [name, solid] of Object.entries(run.solids ?? {}))
    if (solid.u > 0)
      inputs.push({
        label,
        name: `weighed ${name}`,
        source: 'weighed solids',
        change: (r, z) => withSolid(r, name, (own) => own.mol + z * own.u),
      });
  if (baselineM3 && baselineM3.u > 0)
    inputs.push({
      label,
      name: 'baseline',
      source: 'baseline',
      change: (r, z) => (r.baselineM3 ? { ...r, baselineM3: moved(r.baselineM3, z) } : r),
    });
  // A tied ceiling is fitted, not put in: what it is uncertain by is in the fit.
  if (ceilingM3 && ceilingM3.u > 0 && run.ceilingTiedBy === undefined)
    inputs.push({
      label,
      name: 'ceiling',
      source: 'ceiling',
      change: (r, z) => (r.ceilingM3 ? { ...r, ceilingM3: moved(r.ceilingM3, z) } : r),
    });
  if ((gas?.dissolved?.uOwn ?? 0) > 0)
    inputs.push({
      label,
      name: 'gas that stays dissolved',
      source: 'gas that stays dissolved',
      change: (r, z) => withOtherDissolved(r, ({ uOwn }) => z * uOwn),
    });
  if (gas && gas.solutionM3.u > 0)
    inputs.push({
      label,
      name: 'volume of the solution',
      source: 'poured volumes',
      change: (r, z) => (r.gas ? { ...r, gas: { ...r.gas, solutionM3: moved(r.gas.solutionM3, z) } } : r),
    });
  return inputs;
}

/** More inputs of single runs than this are moved in groups. */
const mostSingle = 96;
/** Runs times groups of one kind of input: what a large file may cost. */
const groupBudget = 20_000;
/** Of one kind of input of single runs so many are moved; each stands for as many others as there are. */
const mostOfAKind = 2_000;

/**
 * The inputs to move one after the other when effects are added in quadrature. In a notebook of very many runs those of
 * single runs are moved in groups, each run by a sign of its own: the mean square of what a group does is the sum of the
 * squares of its members (Hutchinson, Commun. Stat. Simul. 18 (1989) 1059). Their share of the result is small by then.
 */
export function inputsToMove(experiment: Experiment): readonly UncertainInput[] {
  const single = experiment.runs.flatMap(inputsOfRun);
  if (single.length <= mostSingle) return uncertainInputs(experiment);
  const shared = uncertainInputs({ ...experiment, runs: experiment.runs.map(withoutOwn) });
  const count = Math.max(4, Math.min(32, Math.round(groupBudget / experiment.runs.length)));
  const groups = new Map<string, Map<string, RunInput>>();
  const seen = new Map<string, number>();
  const standsFor = Math.max(1, Math.ceil(experiment.runs.length / mostOfAKind));
  for (const input of single) {
    const place = seen.get(input.name) ?? 0;
    seen.set(input.name, place + 1);
    if (place % standsFor !== 0) continue;
    const nth = place / standsFor;
    const key = `${input.name} ${nth % count}`;
    const group = groups.get(key) ?? new Map<string, RunInput>();
    groups.set(key, group.set(input.label, input));
  }
  return [...shared, ...[...groups].map(([name, members]) => groupInput(name, members, Math.sqrt(standsFor)))];
}

/** @param factor by which each member is moved further, for those that it stands for: effects add in quadrature */
function groupInput(name: string, members: ReadonlyMap<string, RunInput>, factor: number): UncertainInput {
  // Plus and minus in the order of Thue and Morse, which goes along with no pattern of the runs.
  const signs = new Map([...members.keys()].map((label, i) => [label, thueMorse(i)]));
  return {
    name,
    source: [...members.values()][0]?.source ?? name,
    shared: false,
    move: (e, z) => ({
      ...e,
      runs: e.runs.map((run) => members.get(run.label)?.change(run, z * factor * (signs.get(run.label) ?? 1)) ?? run),
    }),
  };
}

function thueMorse(i: number): 1 | -1 {
  let odd = false;
  for (let rest = i; rest > 0; rest >>= 1) odd = odd !== ((rest & 1) === 1);
  return odd ? -1 : 1;
}

/** The run with what is uncertain in it alone taken as exact. */
function withoutOwn(run: RunData): RunData {
  const { concentrations, gas } = run;
  return {
    ...run,
    ...(run.baselineM3 ? { baselineM3: { ...run.baselineM3, u: 0 } } : {}),
    ...(run.ceilingM3 ? { ceilingM3: { ...run.ceilingM3, u: 0 } } : {}),
    ...(gas
      ? {
          gas: {
            ...gas,
            solutionM3: { ...gas.solutionM3, u: 0 },
            ...(gas.dissolved ? { dissolved: { ...gas.dissolved, uOwn: 0 } } : {}),
          },
        }
      : {}),
    ...(concentrations
      ? { concentrations: Object.fromEntries(Object.entries(concentrations).map(([n, c]) => [n, { ...c, u: 0 }])) }
      : {}),
    ...(run.solids
      ? { solids: Object.fromEntries(Object.entries(run.solids).map(([n, solid]) => [n, { ...solid, u: 0 }])) }
      : {}),
  };
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

/** The run with another part of its gas dissolved, within the ends of what can be. */
function withOtherDissolved(run: RunData, by: (dissolved: DissolvedGas) => number): RunData {
  const dissolved = run.gas?.dissolved;
  if (!run.gas || !dissolved) return run;
  const perCollected = Math.min(Math.max(dissolved.perCollected + by(dissolved), dissolved.low), dissolved.high);
  return { ...run, gas: { ...run.gas, dissolved: { ...dissolved, perCollected } } };
}

/** Another amount of a species poured into this run alone; a ceiling that is tied to it goes along. */
function withAmount(run: RunData, name: string, z: number): RunData {
  const changed = withConcentration(run, name, (own) => own.value + z * own.u);
  const { ceilingM3, ceilingTiedBy } = run;
  const before = run.concentrations?.[name]?.value;
  const after = changed.concentrations?.[name]?.value;
  if (ceilingTiedBy !== name || !ceilingM3 || !before || !after) return changed;
  return { ...changed, ceilingM3: { ...ceilingM3, value: (ceilingM3.value * after) / before } };
}

/** Every volume of the cylinder times `factor`, and a ceiling that they told. */
function stretched(run: RunData, factor: number): RunData {
  return {
    ...run,
    readings: run.readings.map((reading) => ({ ...reading, volumeM3: reading.volumeM3 * factor })),
    ...(run.ceilingTiedBy !== undefined && run.ceilingM3
      ? { ceilingM3: { ...run.ceilingM3, value: run.ceilingM3.value * factor } }
      : {}),
    ...(run.baselineM3 ? { baselineM3: { ...run.baselineM3, value: run.baselineM3.value * factor } } : {}),
  };
}

function withConcentration(run: RunData, name: string, value: (c: Concentration) => number): RunData {
  const c = run.concentrations?.[name];
  if (!c) return run;
  return { ...run, concentrations: { ...run.concentrations, [name]: { ...c, value: Math.max(value(c), 1e-12) } } };
}

function withSolid(run: RunData, name: string, mol: (solid: SolidReagent) => number): RunData {
  const solid = run.solids?.[name];
  if (!solid) return run;
  return { ...run, solids: { ...run.solids, [name]: { ...solid, mol: Math.max(mol(solid), 1e-12) } } };
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
    ...(run.solids
      ? {
          solids: Object.fromEntries(
            Object.entries(run.solids).map(([name, solid]) => [
              name,
              {
                ...solid,
                u: 0,
                uCommonRelative: 0,
                ...(solid.uPurityRelative === undefined ? {} : { uPurityRelative: 0 }),
              },
            ]),
          ),
        }
      : {}),
  };
}

function bareGas({ uBack: _, dissolved, ...gas }: GasFrame): GasFrame {
  return {
    ...gas,
    pressurePa: { ...gas.pressurePa, u: 0 },
    solutionM3: { ...gas.solutionM3, u: 0 },
    ...(dissolved ? { dissolved: { ...dissolved, uShared: 0, uSlant: 0, uOwn: 0 } } : {}),
  };
}
