import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { entryOf } from '../../src/class/class-entry.ts';
import { classResult } from '../../src/class/class-result.ts';
import { whyText } from '../../src/class/class-texts.ts';
import type { EventBody } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import type { Notebook } from '../../src/log/state.ts';
import { simulate, three } from '../benchmarks/kinetics-simulator.ts';
import { created, stamped } from '../log/events.ts';
import { groupNotebook } from './class-notebooks.ts';

/** A simulated table of three runs as a notebook; in one of them part of the gas is lost from some reading on. */
function leakyNotebook(seed: number): Notebook {
  const { experiment } = simulate({ title: 'leak 40 %', leak: 0.4 }, seed);
  const events: EventBody[] = [
    created,
    {
      kind: 'set-up',
      setup: { ...defaultSetup, temperatureC: 25, pressure: { kind: 'station', hPa: 1013.25 } },
    },
    {
      kind: 'planned',
      plan: {
        reaction: 'peroxide-iodide',
        stocks: [
          { id: 'peroxide', name: 'peroxide', species: 'H2O2', strength: { value: 0.75, unit: 'mol/L', uRelative: 0 } },
          { id: 'iodide', name: 'iodide', species: 'I-', strength: { value: 0.4, unit: 'mol/L', uRelative: 0 } },
        ],
        dilutions: [],
        runs: three.map(([a, b], i) => ({
          label: String(i + 1),
          pours: [
            { solution: 'water', volumeMl: 50 - (50 * a) / 0.75 - (50 * b) / 0.4 },
            { solution: 'iodide', volumeMl: (50 * b) / 0.4 },
            { solution: 'peroxide', volumeMl: (50 * a) / 0.75 },
          ],
        })),
      },
    },
    ...experiment.runs.flatMap(({ label, readings }): EventBody[] => [
      {
        kind: 'readings-entered',
        run: `r${label}`,
        label,
        timing: 'file',
        stated: false,
        fromMs: 1e6 * Number(label),
        readings: readings.map(({ timeS, volumeM3 }) => ({
          time: timeS.toFixed(1),
          value: (volumeM3 * 1e6).toFixed(0),
          uTimeMs: 100,
        })),
      },
      { kind: 'baseline', value: '10', timeMs: 1e6 * Number(label), run: `r${label}` },
    ]),
  ];
  return { id: `leaky-${seed}`, events: stamped(...events).map((one) => ({ ...one, id: `${seed}-${one.id}` })) };
}

test('the class has no k that the notebook withholds until its readings are checked', () => {
  let unsettled = 0;
  for (let seed = 201; seed < 221; seed++) {
    const notebook = leakyNotebook(seed);
    const { headline } = analysisOf(reduce(notebook.events)).analysis;
    const entry = entryOf(notebook);
    expect(entry.quantities.k?.value, `${seed}`).toBe(headline?.k?.value);
    if (entry.lack?.code === 'unsettled') unsettled++;
  }
  expect(unsettled).toBeGreaterThan(5);
});

test('why it has none is said in both languages, with how many readings are to be checked and where', () => {
  const entry = entryOf(leakyNotebook(201));
  const { apart } = classResult([entryOf(groupNotebook(1)), entryOf(groupNotebook(2)), entry], 'k');
  const why = apart.find((one) => one.entry === entry)?.why;
  if (!why) throw new Error('averaged in');
  expect(whyText(why)).toMatch(/^\d+ readings to check first, in runs? [12 and3,]+: k depends/);
  expect(whyText(why, 'de')).toMatch(
    /^Zuerst sind \d+ Ablesungen zu prüfen, in .*: Von ihnen hängt ab, wie groß k ist/,
  );
});
