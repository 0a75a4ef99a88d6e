import type { Dilution, Plan, PlannedRun, Stock, WeighedSolid } from '../../log/plan.ts';

/** Changes of a plan: each takes a plan and gives the next one. Nothing is edited in place. */

/** The smallest free number behind `stem`: "stock-2". */
function freeId(stem: string, taken: readonly string[]): string {
  for (let i = 1; ; i++) if (!taken.includes(`${stem}-${i}`)) return `${stem}-${i}`;
}

const idsOf = (plan: Plan): string[] => [...plan.stocks, ...plan.dilutions].map((entry) => entry.id);

export function addStock(plan: Plan, species: string): Plan {
  const stock: Stock = {
    id: freeId('stock', idsOf(plan)),
    name: plan.stocks.some((entry) => entry.name === species) ? `${species} ${plan.stocks.length + 1}` : species,
    species,
    strength: { value: 0, unit: 'mol/L' },
  };
  return { ...plan, stocks: [...plan.stocks, stock] };
}

export function addDilution(plan: Plan): Plan {
  const from = plan.stocks.at(-1) ?? plan.stocks[0];
  if (!from) return plan;
  const dilution: Dilution = {
    id: freeId('dilution', idsOf(plan)),
    name: `half ${from.name}`.slice(0, 80),
    from: from.id,
    takeMl: 50,
    addWaterMl: 50,
  };
  return { ...plan, dilutions: [...plan.dilutions, dilution] };
}

/** A new run with the pours of the last one, so that only what differs is typed. */
export function addRun(plan: Plan): Plan {
  const labels = plan.runs.map((run) => run.label);
  let number = plan.runs.length + 1;
  while (labels.includes(String(number))) number += 1;
  const like = plan.runs.at(-1);
  const run: PlannedRun = { ...(like ?? { pours: [] }), label: String(number) };
  return { ...plan, runs: [...plan.runs, run] };
}

export const changeStock = (plan: Plan, id: string, change: Partial<Stock>): Plan => ({
  ...plan,
  stocks: plan.stocks.map((stock) => (stock.id === id ? { ...stock, ...change } : stock)),
});

export const changeDilution = (plan: Plan, id: string, change: (dilution: Dilution) => Dilution): Plan => ({
  ...plan,
  dilutions: plan.dilutions.map((dilution) => (dilution.id === id ? change(dilution) : dilution)),
});

export const changeRun = (plan: Plan, index: number, change: (run: PlannedRun) => PlannedRun): Plan => ({
  ...plan,
  runs: plan.runs.map((run, at) => (at === index ? change(run) : run)),
});

/**
 * Sets how much of a solution goes into a flask; 0 takes it out. The order of pouring stays; water that is new goes in
 * first, anything else last.
 */
export function setPour(run: PlannedRun, solution: string, volumeMl: number, vesselMl?: number): PlannedRun {
  const known = run.pours.some((pour) => pour.solution === solution);
  if (volumeMl === 0) return { ...run, pours: run.pours.filter((pour) => pour.solution !== solution) };
  if (!known) {
    const pour = vesselMl === undefined ? { solution, volumeMl } : { solution, volumeMl, vesselMl };
    return { ...run, pours: solution === 'water' ? [pour, ...run.pours] : [...run.pours, pour] };
  }
  return { ...run, pours: run.pours.map((pour) => (pour.solution === solution ? { ...pour, volumeMl } : pour)) };
}

/** Changes what is stated of a solid in a run; `undefined` takes a figure out, and a solid of which nothing is stated goes. */
export function setSolid(
  run: PlannedRun,
  species: string,
  change: { readonly [Part in keyof Omit<WeighedSolid, 'species'>]: WeighedSolid[Part] | undefined },
): PlannedRun {
  const { solids = [], ...rest } = run;
  const before = solids.find((solid) => solid.species === species) ?? { species };
  const after = Object.fromEntries(
    Object.entries({ ...before, ...change }).filter(([, value]) => value !== undefined),
  ) as WeighedSolid;
  const others = solids.filter((solid) => solid.species !== species);
  const stated = Object.keys(after).length > 1 ? [...others, after] : others;
  return stated.length === 0 ? rest : { ...rest, solids: stated };
}

/** Capacity of the vessel that a solution is measured with, mL: one vessel for each solution, for all runs. */
export const vesselOf = (plan: Plan, solution: string): number | undefined =>
  plan.runs.flatMap((run) => run.pours).find((pour) => pour.solution === solution && pour.vesselMl !== undefined)
    ?.vesselMl;

export function setVessel(plan: Plan, solution: string, vesselMl: number | undefined): Plan {
  const measured = ({ vesselMl: _, ...pour }: PlannedRun['pours'][number]): PlannedRun['pours'][number] =>
    vesselMl === undefined ? pour : { ...pour, vesselMl };
  return {
    ...plan,
    runs: plan.runs.map((run) => ({
      ...run,
      pours: run.pours.map((pour) => (pour.solution === solution ? measured(pour) : pour)),
    })),
  };
}

export const removeRun = (plan: Plan, index: number): Plan => ({
  ...plan,
  runs: plan.runs.filter((_, at) => at !== index),
});

/** Takes a bottle or dilution out, with what is made from it and poured of it. */
export function removeSolution(plan: Plan, id: string): Plan {
  const gone = new Set([id]);
  for (let again = true; again; ) {
    again = false;
    for (const dilution of plan.dilutions) {
      if (gone.has(dilution.from) && !gone.has(dilution.id)) {
        gone.add(dilution.id);
        again = true;
      }
    }
  }
  return {
    ...plan,
    stocks: plan.stocks.filter((stock) => !gone.has(stock.id)),
    dilutions: plan.dilutions.filter((dilution) => !gone.has(dilution.id)),
    runs: plan.runs.map((run) => ({ ...run, pours: run.pours.filter((pour) => !gone.has(pour.solution)) })),
  };
}

/** What a dilution may be made from without going round in a circle: stocks, and dilutions not made from it. */
export function sourcesFor(plan: Plan, dilution: Dilution): readonly { readonly id: string; readonly name: string }[] {
  const madeFrom = (id: string, depth: number): boolean => {
    if (id === dilution.id) return true;
    const source = plan.dilutions.find((entry) => entry.id === id);
    return source !== undefined && depth < plan.dilutions.length && madeFrom(source.from, depth + 1);
  };
  return [...plan.stocks, ...plan.dilutions.filter((entry) => !madeFrom(entry.id, 0))].map(({ id, name }) => ({
    id,
    name,
  }));
}
