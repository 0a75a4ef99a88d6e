/** Carbon dioxide and water in notebooks and tables: in, out, the same figures both ways, and what is said of it. */
import { expect, test } from 'vitest';
import { analysisOf, experimentOf } from '../../src/analysis/notebook-analysis.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { ratesTable } from '../../src/files/rates-csv.ts';
import { readingsCsv } from '../../src/files/readings-csv.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { defaultSetup, type Setup } from '../../src/log/setup.ts';
import { dissolvedGasNotes } from '../../src/results/dissolved-gas.ts';
import { reportOf } from '../../src/results/report.ts';
import { created, enteredRun, reading, stamped, startRun } from '../log/events.ts';
import { the } from '../the.ts';

const acids = [10, 15, 20];

/** Marble in 50 mL with 10 to 20 mL of 1 mol/L acid; the volumes are invented. */
function notebook(dissolving?: Setup['dissolving'], ...more: Parameters<typeof stamped>) {
  const setup = { ...defaultSetup, temperatureC: 20, pressure: { kind: 'station', hPa: 1013.25 } } as const;
  return stamped(
    created,
    { kind: 'set-up', setup: { ...setup, ...(dissolving ? { dissolving } : {}) } },
    {
      kind: 'planned',
      plan: {
        reaction: 'carbonate-acid',
        stocks: [{ id: 'acid', name: 'acid', species: 'HCl', strength: { value: 1, unit: 'mol/L' } }],
        dilutions: [],
        runs: [...acids, 20].map((acid, i) => ({
          label: String(i + 1),
          pours: [
            { solution: 'water', volumeMl: 50 - acid },
            { solution: 'acid', volumeMl: acid },
          ],
          solids: [{ species: 'CaCO3', massG: 3, uMassG: 0.02, purityPercent: 95, uPurityPercent: 2 }],
        })),
      },
    },
    ...acids.flatMap((acid, i) => [
      ...enteredRun(
        i,
        [5, 10, 15, 20, 25, 30, 35, 40].map((ml) => [-300 * Math.log1p(-ml / (10 * acid)), ml]),
      ),
      { kind: 'run-ended', run: `run-${i + 1}`, timeMs: 100_000 * i + 90_000 } as const,
    ]),
    ...more,
  );
}

const answerOf = (text: string) => {
  const answer = ratesOfFile(text);
  if (!answer.ok) throw new Error(answer.sentence);
  return JSON.parse(JSON.stringify(answer.json));
};

test.each<[string, Setup['dissolving'], RegExp, RegExp]>([
  [
    'fresh',
    { water: 'fresh', waterMl: 250 },
    /the solution can hold 47 mL of it, the fresh water under the gas 240 mL \(Weiss/,
    /frische Wasser unter dem Gas 240 mL/,
  ],
  [
    'saturated',
    { water: 'saturated', waterMl: 250 },
    /while the water under the gas was saturated with it/,
    /damit gesättigt/,
  ],
  ['none', { water: 'none' }, /while the gas stands on no water/, /über keinem Wasser/],
  ['nothing', undefined, /33 mL or more, as the setup says neither how much of it there is/, /33 mL oder mehr/],
])('said on the screen, in the report and in the answer, and the same as a table (%s)', (_, dissolving, en, de) => {
  const events = notebook(dissolving);
  const state = reduce(events);
  const found = analysisOf(state);
  const whole = { id: 'nb', events };
  const [sentence] = dissolvedGasNotes(found.analysis);
  expect(sentence).toMatch(en);
  expect(dissolvedGasNotes(found.analysis, 'de')[0]).toMatch(de);
  const report = reportOf(whole, state, found, 'mL/s');
  expect(report.rates.notes).toContain(sentence);
  const csv = readingsCsv(state, report.readings, experimentOf(state).experiment);
  const [table, book] = [answerOf(csv), answerOf(notebookToJson(whole))];
  expect(book.notes).toContain(sentence);
  const { made_per_collected, low, high, u } = book.runs[0].dissolved;
  expect(low).toBeLessThan(made_per_collected);
  expect(made_per_collected).toBeLessThan(high);
  expect(u).toBeGreaterThan(0);
  expect(table.runs[0].dissolved).toEqual(book.runs[0].dissolved);
  expect(table.law.accepted.k / book.law.accepted.k).toBeCloseTo(1, 9);
  expect(table.law.accepted.u / book.law.accepted.u).toBeCloseTo(1, 6);
});

test('while a run goes on, the screen says the same as the table', () => {
  const called = [5, 10, 15, 20].map((ml, i) =>
    reading(`open-${i}`, 900 - 300 * Math.log1p(-ml / 200), String(ml), 'run-4'),
  );
  const events = notebook(
    { water: 'fresh', waterMl: 250 },
    startRun('run-4', '4'),
    { kind: 'baseline', value: '0', timeMs: 900_000, run: 'run-4' },
    ...called.flat(),
  );
  const state = reduce(events);
  expect(state.runs.at(-1)?.endedMs).toBeNull();
  const found = analysisOf(state);
  const report = reportOf({ id: 'nb', events }, state, found, 'mL/s');
  const table = answerOf(readingsCsv(state, report.readings, experimentOf(state).experiment));
  const accepted = the(found.analysis.law.ok ? found.analysis.law.accepted : null);
  // The table's times are written to a few decimal places.
  expect(table.law.accepted.k / accepted.k).toBeCloseTo(1, 5);
  found.analysis.experiment.runs.forEach(({ gas }, i) => {
    expect(table.runs[i].dissolved.made_per_collected).toBeCloseTo(1 + the(gas?.dissolved).perCollected, 9);
  });
});

test('the report names what the gas stands on, and the budget has it', () => {
  const events = notebook({ water: 'fresh', waterMl: 250 });
  const state = reduce(events);
  const { facts, budget } = reportOf({ id: 'nb', events }, state, analysisOf(state), 'mL/s');
  expect(facts).toContainEqual(['The gas stands on', '250 mL of fresh water']);
  expect(JSON.stringify(the(budget).rows)).toContain('gas that stays dissolved');
});

const rows = [0, 10, 20, 30].map((t) => `${t},${14 + t / 5}`);
const tableOf = (more: Readonly<Record<string, string | number>>): string =>
  [
    ['time_s', 'volume_mL', ...Object.keys(more)].join(','),
    ...rows.map((row) => [row, ...Object.values(more)].join(',')),
  ].join('\n');

test.each([
  [{ gas: 'carbon' }, /names the gas "carbon": write O2, H2, CO2 or N2/],
  [{ gas: 'CO2', water: 'tap' }, /neither fresh nor saturated nor none/],
  [{ water: 'fresh' }, /needs the column gas with CO2/],
  [{ gas: 'O2', water_mL: 250 }, /needs the column gas with CO2/],
  [{ gas: 'CO2', water: 'fresh', water_mL: 0.25 }, /0\.25 mL cannot be right; it looks like 0\.25 L\. That is 250 mL/],
])('a table with wrong words about the water is refused in words (%o)', (more, sentence) => {
  const read = ratesTable(tableOf(more));
  expect(read.ok ? '' : read.sentence).toMatch(sentence);
});

test('a table of oxygen is what it was', () => {
  const read = ratesTable(tableOf({ gas: 'O2' }));
  expect(read.ok && read.kind === 'readings' && read.experiment.runs[0]?.gas).toBeUndefined();
});
