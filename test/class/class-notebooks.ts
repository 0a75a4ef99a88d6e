import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import type { Plan } from '../../src/log/plan.ts';
import type { Notebook } from '../../src/log/state.ts';
import { seeded } from '../files/mutations.ts';

/** What a simulated group does otherwise than the plan of the class. */
export interface Odd {
  /** Factor on every rate. */
  readonly factor?: number;
  /** Poured into run 2 of the iodide, mL, called and taken as poured. */
  readonly iodideInRun2?: number;
  readonly temperatureC?: number;
  /** Gas above the reaction that is allowed for, mL. */
  readonly headspaceMl?: number;
  /** Factor on the true rate of run 2 alone. */
  readonly factorInRun2?: number;
  /** Peroxide that truly went into run 1, mL, and nobody noticed. */
  readonly peroxideInRun1?: number;
  /** The same in every run, as a fraction of what is on the label, and nobody noticed. */
  readonly peroxideStrength?: number;
  readonly withoutPressure?: boolean;
  readonly catalase?: boolean;
  readonly group?: string;
  /** As it is handed out: all groups have the same. */
  readonly title?: string;
  /** false: counts as real work. */
  readonly invented?: boolean;
  /** By how much calls are late, s, in turn with calls that are not. */
  readonly lateEverySecondS?: number;
  /** Runs that were done; default all three. */
  readonly runs?: number;
}

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'peroxide', name: 'peroxide', species: 'H2O2', strength: { value: 0.9, unit: 'mol/L', uRelative: 0.02 } },
    { id: 'iodide', name: 'iodide', species: 'I-', strength: { value: 0.12, unit: 'mol/L', uRelative: 0.01 } },
  ],
  dilutions: [],
  runs: [
    { label: '1', pours: pours(20, 20) },
    { label: '2', pours: pours(20, 10) },
    { label: '3', pours: pours(10, 20) },
  ],
};

function pours(peroxideMl: number, iodideMl: number): Plan['runs'][number]['pours'] {
  return [
    { solution: 'water', volumeMl: 50 - peroxideMl - iodideMl },
    { solution: 'iodide', volumeMl: iodideMl },
    { solution: 'peroxide', volumeMl: peroxideMl },
  ];
}

/** The same figures, told as another reaction. */
const withCatalase: Plan = {
  ...plan,
  reaction: 'peroxide-catalase',
  stocks: plan.stocks.map((stock) => (stock.species === 'I-' ? { ...stock, species: 'catalase' } : stock)),
};

/** A simulated group's notebook (figures invented): three runs of eleven readings, k = 0.0087 L/(mol s) times `factor`. */
export function groupNotebook(number: number, odd: Odd = {}): Notebook {
  const random = seeded(7000 + number);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const id = `group-${String(number).padStart(4, '0')}-of-the-class`;
  const events: NotebookEvent[] = [];
  let atMs = 0;
  const at = (ms: number, body: EventBody): void => {
    atMs = Math.max(atMs, Math.round(ms));
    events.push({
      id: `${id}-${events.length + 1}`,
      seq: events.length + 1,
      atMs,
      wallMs: 1_700_000_000_000 + atMs,
      page: 1,
      body,
    });
  };
  at(0, {
    kind: 'created',
    title: odd.title ?? `Bench ${number}`,
    seed: number,
    invented: odd.invented ?? true,
    app: 'test',
  });
  if (odd.group !== undefined) at(0, { kind: 'grouped', group: odd.group });
  at(0, {
    kind: 'set-up',
    setup: {
      stepMl: 2,
      spanMl: 20,
      cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'B' },
      temperatureC: odd.temperatureC ?? 22.5,
      uTemperatureC: 0.3,
      ...(odd.withoutPressure ? {} : { pressure: { kind: 'station' as const, hPa: 1004 } }),
      ...(odd.headspaceMl === undefined
        ? {}
        : { backPressure: { on: true, headspaceMl: odd.headspaceMl, cylinderBoreMm: 28 } }),
    },
  });
  at(0, { kind: 'planned', plan: odd.catalase ? withCatalase : plan });
  // Every group's stock and thermometer are a little off.
  const own = (odd.factor ?? 1) * Math.exp(0.03 * normal());
  let start = 60_000;
  for (const { label, pours: planned } of plan.runs.slice(0, odd.runs)) {
    const volume = (name: string): number => planned.find(({ solution }) => solution === name)?.volumeMl ?? 0;
    const iodideMl = label === '2' ? (odd.iodideInRun2 ?? volume('iodide')) : volume('iodide');
    if (iodideMl !== volume('iodide'))
      at(start - 20_000, {
        kind: 'poured',
        value: String(iodideMl),
        reagent: 'iodide',
        solution: 'iodide',
        timeMs: start - 20_000,
        run: null,
        forRun: label,
        settled: 'accepted',
      });
    const peroxideMl = label === '1' ? (odd.peroxideInRun1 ?? volume('peroxide')) : volume('peroxide');
    const totalMl = 50 - volume('iodide') + iodideMl - volume('peroxide') + peroxideMl;
    const ceilingMl = 0.5 * 0.9e-3 * peroxideMl * (odd.peroxideStrength ?? 1) * 25.16e3;
    const k = 2 * 0.0087 * own * (label === '2' ? (odd.factorInRun2 ?? 1) : 1) * ((0.12 * iodideMl) / totalMl);
    const run = `run-${label}-of-${number}`;
    at(start - 5000, { kind: 'baseline', value: '4', timeMs: start - 5000, run: null });
    at(start, { kind: 'run-started', run, label, timeMs: start });
    for (let i = 1; i <= 11; i++) {
      const late = i % 2 === 0 ? (odd.lateEverySecondS ?? 0) : 0;
      const seconds = -Math.log(1 - (2 * i) / ceilingMl) / k + 0.1 * normal() + late;
      const onsetMs = Math.round(start + 1000 * seconds);
      const call = `call-${label}-${i}-of-${number}`;
      at(onsetMs + 700, {
        kind: 'called',
        call,
        onsetMs,
        endMs: onsetMs + 500,
        timing: 'sound',
        uOnsetMs: 15,
        clip: false,
        run,
      });
      at(onsetMs + 1500, {
        kind: 'judged',
        call,
        outcome: 'taken',
        meaning: { kind: 'reading', values: [{ value: String(4 + 2 * i) }] },
        rivals: [],
        reason: 'heard and expected',
        by: 'ear',
      });
    }
    at(atMs + 3000, { kind: 'run-ended', run, timeMs: atMs + 3000 });
    start = atMs + 120_000;
  }
  return { id, events };
}
