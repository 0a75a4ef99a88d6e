import { catalogue, type PageLanguage } from '../language/page-language.ts';
import type { EventBody, NotebookEvent } from '../log/event.ts';
import type { Plan } from '../log/plan.ts';
import type { Setup } from '../log/setup.ts';
import type { Notebook } from '../log/state.ts';
import { last } from '../numerics/nth.ts';
import { demoId } from './practice-kind.ts';

/** What the example's notebook says in words. */
const texts = catalogue(
  {
    title: 'A first look',
    peroxide: 'peroxide',
    iodide: 'iodide',
    lookedAway: 'invented: the caller looked away and called nine seconds late',
    alike: (rival: string, value: string) => `“${rival}” and “${value}” sound alike`,
    expected: 'heard and expected',
    heardAs: (rival: string, value: string) => `heard as ${rival}, but ${value} is the next mark`,
  },
  {
    title: 'Ein erster Blick',
    peroxide: 'Peroxid',
    iodide: 'Iodid',
    lookedAway: 'erfunden: Wer ansagte, sah weg und war neun Sekunden zu spät',
    alike: (rival, value) => `„${rival}“ und „${value}“ klingen ähnlich`,
    expected: 'gehört und erwartet',
    heardAs: (rival, value) => `als ${rival} gehört, aber ${value} ist die nächste Marke`,
  },
);
type Texts = (typeof texts)['en'];

/** The invented truth: rate = k [peroxide] [iodide], k in L/mol/s. */
export const demoTruth = { k: 0.0087, peroxideOrder: 1, iodideOrder: 1 } as const;

const setup: Setup = {
  stepMl: 2,
  spanMl: 20,
  cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'B' },
  temperatureC: 22.5,
  uTemperatureC: 0.3,
  pressure: { kind: 'station', hPa: 1004 },
};

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    {
      id: 'peroxide',
      name: 'peroxide',
      species: 'H2O2',
      strength: { value: 0.9, unit: 'mol/L', uRelative: 0.02 },
      availableMl: 250,
    },
    {
      id: 'iodide',
      name: 'iodide',
      species: 'I-',
      strength: { value: 0.12, unit: 'mol/L', uRelative: 0.01 },
      availableMl: 200,
    },
  ],
  dilutions: [],
  runs: [
    { label: '1', pours: pours(20, 20) },
    { label: '2', pours: pours(20, 10) },
    { label: '3', pours: pours(10, 20) },
  ],
};

/** A flask of 50 mL. */
function pours(peroxideMl: number, iodideMl: number): Plan['runs'][number]['pours'] {
  return [
    { solution: 'water', volumeMl: 50 - peroxideMl - iodideMl },
    { solution: 'iodide', volumeMl: iodideMl },
    { solution: 'peroxide', volumeMl: peroxideMl },
  ];
}

/** Seeded uniform random numbers in 0..1 (a multiplicative congruential generator; good enough for a demo). */
function makeRandom(seed: number): () => number {
  let state = seed % 2147483647;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Nearly normal, mean 0 and standard deviation 1: the sum of twelve uniforms. */
function normal(random: () => number): number {
  let sum = -6;
  for (let i = 0; i < 12; i++) sum += random();
  return sum;
}

/** Seconds from mixing until `volumeMl` of gas has come over, first order in the peroxide. */
function secondsUntil(volumeMl: number, peroxideMl: number, iodideMl: number): number {
  const peroxideMol = 0.9 * peroxideMl * 1e-3;
  const iodide = (0.12 * iodideMl) / 50;
  // Ideal gas at 295.65 K and 1004 hPa less 27 hPa of water vapour: 25.16 L/mol. Half a mole of gas a mole.
  const ceilingMl = 0.5 * peroxideMol * 25.16e3;
  return -Math.log(1 - volumeMl / ceilingMl) / (2 * demoTruth.k * iodide);
}

/**
 * The example: an invented notebook for a first look, three runs of a peroxide that an iodide takes apart. Every figure in
 * it comes from the seeded generator above, none from a bench; the notebook is marked as invented wherever it is shown.
 * @param wallMs wall clock at which its last event is said to have happened, ms since 1970
 * @param language in which its title and its remarks are written
 */
export function demoNotebook(wallMs: number, language: PageLanguage = 'en'): Notebook {
  const t = texts[language];
  const random = makeRandom(20817);
  const bodies: { atMs: number; body: EventBody }[] = [];
  const at = (atMs: number, ...added: EventBody[]): void => {
    for (const body of added) bodies.push({ atMs, body });
  };
  at(0, { kind: 'created', title: t.title, seed: 20817, invented: true, app: '' });
  at(0, { kind: 'opened', joined: 'first' });
  at(
    0,
    { kind: 'set-up', setup },
    {
      kind: 'planned',
      plan: {
        ...plan,
        stocks: plan.stocks.map((stock) => ({ ...stock, name: stock.id === 'iodide' ? t.iodide : t.peroxide })),
      },
    },
  );
  let clock = 30_000;
  for (const planned of plan.runs) {
    clock = oneRun(t, at, planned, clock, random) + 120_000;
  }
  const endMs = last(bodies).atMs;
  const events = bodies.map(
    ({ atMs, body }, index): NotebookEvent => ({
      id: `${demoId}-${index + 1}`,
      seq: index + 1,
      atMs,
      wallMs: Math.round(wallMs - endMs + atMs),
      page: 1,
      body,
    }),
  );
  return { id: demoId, events };
}

/** One run: baseline, start, eleven calls two millilitres apart, end. Returns its end, ms. */
function oneRun(
  t: Texts,
  at: (atMs: number, ...added: EventBody[]) => void,
  { label, pours }: Plan['runs'][number],
  startMs: number,
  random: () => number,
): number {
  const run = `demo-run-${label}`;
  const volumeOf = (solution: string): number => pours.find((pour) => pour.solution === solution)?.volumeMl ?? 0;
  const baselineMl = 4;
  const mixedMs = startMs + 20_000;
  at(startMs, { kind: 'baseline', value: String(baselineMl), timeMs: startMs, run: null });
  at(mixedMs, { kind: 'run-started', run, label, timeMs: mixedMs });
  at(mixedMs + 500, { kind: 'happened', what: 'swirling', timeMs: mixedMs + 500, run });
  let lastMs = mixedMs + 1000;
  for (let index = 0; index < 11; index++) {
    const markMl = baselineMl + 2 + 2 * index;
    const seconds = secondsUntil(markMl - baselineMl, volumeOf('peroxide'), volumeOf('iodide'));
    const late = label === '3' && index === 6 ? 9000 : 0;
    const onsetMs = Math.round(mixedMs + 1000 * seconds + 220 * normal(random) + late);
    const call = `${run}-call-${index + 1}`;
    const turn = turnOf(label, index);
    lastMs = onsetMs + 1400;
    at(onsetMs + 600, {
      kind: 'called',
      call,
      onsetMs,
      endMs: onsetMs + 520,
      timing: 'sound',
      uOnsetMs: 15,
      clip: false,
      run,
    });
    at(lastMs, ...judgement(t, call, String(turn?.heard ?? markMl), turn?.rival));
    if (turn?.correctTo !== undefined) {
      lastMs += 4000;
      at(lastMs, { kind: 'corrected', reading: `${call}#0`, value: turn.correctTo, by: 'voice' });
    }
    if (late > 0) {
      at(lastMs, {
        kind: 'set-aside',
        reading: `${call}#0`,
        cause: 'late-call',
        why: t.lookedAway,
      });
    }
  }
  at(lastMs + 5000, { kind: 'run-ended', run, timeMs: lastMs + 5000 });
  return lastMs + 5000;
}

/** What goes wrong in the demo, so that a newcomer sees what a doubt and a correction look like. */
function turnOf(label: string, index: number): { heard?: string; rival?: string; correctTo?: string } | null {
  if (label === '1' && index === 6) return { heard: '19', correctTo: '18' };
  if (label === '2' && index === 4) return { rival: '40' };
  return null;
}

function judgement(t: Texts, call: string, value: string, rival: string | undefined): EventBody[] {
  const words = rival === undefined ? [value] : [rival, value];
  return [
    { kind: 'heard', call, ear: 'rehearsal', alternatives: words.map((text) => ({ text, p: null })), final: true },
    {
      kind: 'judged',
      call,
      outcome: rival === undefined ? 'taken' : 'doubtful',
      meaning: { kind: 'reading', values: [{ value }] },
      rivals:
        rival === undefined
          ? []
          : [
              {
                meaning: { kind: 'reading', values: [{ value: rival }] },
                p: 0.2,
                why: t.alike(rival, value),
              },
            ],
      reason: rival === undefined ? t.expected : t.heardAs(rival, value),
      by: 'ear',
    },
  ];
}

/**
 * The example as a notebook of one's own, to work on: all that is in it, its figures still marked as invented.
 * @param events those of the example, with what was changed in it
 * @param id of the copy
 */
export function copyOfExample({ events }: Pick<Notebook, 'events'>, id: string, title: string): Notebook {
  return {
    id,
    events: events.map((event) =>
      event.body.kind === 'created' ? { ...event, body: { ...event.body, title } } : event,
    ),
  };
}
