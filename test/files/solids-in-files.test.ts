/** A solid reagent in notebooks and tables: in, out, and the same figures both ways. */
import { expect, test } from 'vitest';
import { ceilingOf } from '../../src/analysis/gas-frame.ts';
import { uncertainInputs } from '../../src/analysis/inputs.ts';
import { analysisOf, experimentOf } from '../../src/analysis/notebook-analysis.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { ratesTable } from '../../src/files/rates-csv.ts';
import { readingsCsv } from '../../src/files/readings-csv.ts';
import { notebookFromJson } from '../../src/log/file.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import type { PlannedRun } from '../../src/log/plan.ts';
import { reduce } from '../../src/log/reduce.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { reportOf } from '../../src/results/report.ts';
import { created, enteredRun, stamped } from '../log/events.ts';

const acids = [5, 10, 20];

/** Magnesium in 50 mL with 5, 10 and 20 mL of acid: an evenly shrinking cube root, 60 to 95 mL of 103.9 mL. */
function notebook(solids: PlannedRun['solids']) {
  const runs = acids.map((acid, i) => ({
    label: String(i + 1),
    pours: [
      { solution: 'water', volumeMl: 50 - acid },
      { solution: 'acid', volumeMl: acid },
    ],
    ...(solids ? { solids } : {}),
  }));
  return stamped(
    created,
    {
      kind: 'set-up',
      setup: { ...defaultSetup, temperatureC: 25, pressure: { kind: 'station', hPa: 1013.25 } },
    },
    {
      kind: 'planned',
      plan: {
        reaction: 'magnesium-acid',
        stocks: [{ id: 'acid', name: 'acid', species: 'HCl', strength: { value: 2, unit: 'mol/L' } }],
        dilutions: [],
        runs,
      },
    },
    ...acids.flatMap((acid, i) =>
      enteredRun(
        i,
        [10, 20, 30, 40, 50, 60, 70].map((ml) => [(1 - Math.cbrt(1 - ml / 103.9)) * (4000 / acid), ml]),
      ),
    ),
  );
}

const weighed = [{ species: 'Mg', massG: 0.1, uMassG: 0.002, pieces: 'ribbon' }];
const ribbon = [{ species: 'Mg', lengthCm: 8, uLengthCm: 0.1, gPerM: 1.25, uGPerM: 0.02 }];

test('a mass on the run sheet gives the run its ceiling and its limiting reagent', () => {
  for (const solids of [weighed, ribbon]) {
    const [run] = experimentOf(reduce(notebook(solids))).experiment.runs;
    expect(run?.gas).toMatchObject({ limiting: 'Mg', gasPerLimiting: 1 });
    expect((run && ceilingOf(run)?.value) ?? 0).toBeCloseTo(103.9e-6, 7);
    expect(Object.keys(run?.concentrations ?? {})).toEqual(['HCl']);
  }
  const [plenty] = experimentOf(reduce(notebook([{ species: 'Mg', massG: 1 }]))).experiment.runs;
  expect(plenty?.gas).toMatchObject({ limiting: 'HCl', gasPerLimiting: 0.5 });
});

test('without a mass the notebook is read as it always was', () => {
  const [run] = experimentOf(reduce(notebook(undefined))).experiment.runs;
  expect(run?.solids).toBeUndefined();
  expect(run && ceilingOf(run)).toBeNull();
});

const impure = [{ species: 'Mg', massG: 0.125, uMassG: 0.002, purityPercent: 80, uPurityPercent: 2 }];

test('a purity goes into amount, ceiling, limiting reagent, budget and answer', () => {
  const events = notebook(impure);
  const { experiment } = experimentOf(reduce(events));
  const [run] = experiment.runs;
  // 0.125 g of 80 % are 0.100 g of magnesium: 103.9 mL. 2 of 80 % are 2.5 %, weighing 1.6 %: 3.1 mL together.
  const ceiling = run && ceilingOf(run);
  expect(ceiling?.value).toBeCloseTo(103.9e-6, 7);
  expect((ceiling?.u ?? 0) * 1e6).toBeCloseTo(103.9 * Math.hypot(0.025, 0.016), 1);
  const sources = uncertainInputs(experiment).map(({ name }) => name);
  expect(sources).toContain('purity of Mg');
  expect(sources).not.toContain('mass per length of Mg');
  // 1 g of 1 % is 0.41 mmol, far less than the acid; 1 g of all magnesium is more than it.
  const limiting = (purityPercent: number) =>
    experimentOf(reduce(notebook([{ species: 'Mg', massG: 1, purityPercent }]))).experiment.runs[0]?.gas?.limiting;
  expect([limiting(1), limiting(100)]).toEqual(['Mg', 'HCl']);
  const answer = ratesOfFile(notebookToJson({ id: 'nb', events }));
  const [row] = answer.ok ? JSON.parse(JSON.stringify(answer.json)).table : [];
  expect(row.mass_Mg.value).toBeCloseTo(0.125, 12);
  expect(row.purity_Mg).toMatchObject({ value: 80, unit: '%' });
  expect(row.purity_Mg.u).toBeCloseTo(2, 12);
});

test.each([
  ['weighed', weighed],
  ['ribbon', ribbon],
  ['impure', impure],
])('saved and opened again, and as a table, it gives the same figures (%s)', (_, solids) => {
  const events = notebook(solids);
  const state = reduce(events);
  const whole = { id: 'nb', events };
  const json = notebookToJson(whole);
  const opened = notebookFromJson(json);
  expect(opened.ok && opened.value.events).toEqual(events);
  const csv = readingsCsv(
    state,
    reportOf(whole, state, analysisOf(state), 'mL/s').readings,
    experimentOf(state).experiment,
  );
  expect(csv.split('\r\n')[0]).toMatch(/mass_Mg_g/);
  const [table, book] = [ratesOfFile(csv), ratesOfFile(json)].map((answer) => {
    if (!answer.ok) throw new Error(answer.sentence);
    return JSON.parse(JSON.stringify(answer.json));
  });
  expect(book.law.accepted.orders).toEqual(table.law.accepted.orders);
  expect(table.law.accepted.k / book.law.accepted.k).toBeCloseTo(1, 9);
  expect(table.law.accepted.u / book.law.accepted.u).toBeCloseTo(1, 6);
  expect(book.table[0].mass_Mg.value).toBeCloseTo(solids === impure ? 0.125 : 0.1, 12);
  expect(table.table[0].mass_Mg.value).toBeCloseTo(book.table[0].mass_Mg.value, 12);
  expect(table.table[0].purity_Mg).toEqual(book.table[0].purity_Mg);
});

const rows = [0, 10, 20, 30].map((t) => `${t},${14 + t / 5}`);
const tableOf = (more: Readonly<Record<string, string | number>>): string =>
  [
    ['time_s', 'volume_mL', ...Object.keys(more)].join(','),
    ...rows.map((row) => [row, ...Object.values(more)].join(',')),
  ].join('\n');

test.each([
  [{ mass_Zn_g: 1 }, /molar mass of Zn is not known here/],
  [{ u_mass_Mg_g: 0.1 }, /no column mass_Mg_g/],
  [{ pieces_Mg: 'ribbon' }, /no column mass_Mg_g/],
  [{ mass_Mg_g: 0 }, /must be above 0 g/],
  [{ mass_Mg_g: -1 }, /must be above 0 g/],
  [{ mass_Mg_g: 5000 }, /at most 1000 g/],
  [{ mass_Mg_g: 0.1, u_mass_Mg_g: -1 }, /u_mass_Mg_g/],
  [{ purity_Mg_percent: 95 }, /no column mass_Mg_g/],
  [{ mass_Mg_g: 0.1, purity_Mg_percent: 0.95 }, /0\.95 % cannot be right: it should lie between 1 and 100 %/],
  [{ mass_Mg_g: 0.1, purity_Mg_percent: 950 }, /950 % cannot be right/],
  [{ mass_Mg_g: 0.1, u_purity_Mg_percent: -1 }, /u_purity_Mg_percent/],
  [{ mass_Mg_g: 0.1, limiting: 'CaCO3' }, /names CaCO3 as limiting/],
  [{ mass_constructor_g: 1 }, /cannot be used as a name/],
])('a table with a wrong mass is refused in words (%o)', (more, sentence) => {
  const read = ratesTable(tableOf(more));
  expect(read.ok ? '' : read.sentence).toMatch(sentence);
});
