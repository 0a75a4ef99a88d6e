import fc from 'fast-check';
import { expect, test } from 'vitest';
import { analysisOf, experimentOf } from '../../src/analysis/notebook-analysis.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { experimentJson } from '../../src/files/rates-json.ts';
import { readingsCsv } from '../../src/files/readings-csv.ts';
import {
  cellText,
  fullDigits,
  tableCsv,
  tableHtml,
  tableLatex,
  tableMarkdown,
  tableTsv,
} from '../../src/files/table-text.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { Notebook } from '../../src/log/state.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { plotSvg } from '../../src/results/plot-svg.ts';
import { rateColumns, rateIn, speciesOf } from '../../src/results/rate-table.ts';
import { readingsSheet } from '../../src/results/readings-table.ts';
import { type Report, reportOf } from '../../src/results/report.ts';
import { limitsOf } from '../../src/results/report-remarks.ts';
import { svgText } from '../../src/results/svg.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { anyNotebook } from '../files/arbitrary-notebook.ts';
import { englishIn } from '../language/english-words.ts';
import { the } from '../the.ts';

function reported(notebook: Notebook, unit: Parameters<typeof reportOf>[3] = 'mL/s'): Report {
  const state = reduce(notebook.events);
  return reportOf(notebook, state, analysisOf(state), unit);
}

/** The notebook with further events at its end, or after event `after`. */
function withEvents(notebook: Notebook, bodies: readonly EventBody[], after = notebook.events.length): Notebook {
  const head = notebook.events.slice(0, after);
  const tail = notebook.events.slice(after);
  const atMs = the(head.at(-1)).atMs;
  const added = bodies.map((body): NotebookEvent => ({ id: '', seq: 0, atMs, wallMs: 1.7e12 + atMs, page: 1, body }));
  const events = [...head, ...added, ...tail].map((event, i) => ({ ...event, id: `e-${i + 1}`, seq: i + 1 }));
  return { id: notebook.id, events };
}

const everything = (report: Report): string =>
  [
    report.title,
    ...report.facts.flat(),
    ...[
      report.pours,
      report.rates,
      report.law,
      report.estimates,
      report.budget,
      readingsSheet(report.readings),
    ].flatMap((table) => (table ? [tableMarkdown(table).replaceAll('\\', '')] : [])),
    ...report.limits,
    ...report.happenings,
    ...report.cautions,
    ...report.provenance.flat(),
  ].join('\n');

test('the report of a corrected, partly set-aside run tells the whole truth', () => {
  const run = 'run-1-of-5';
  const call = (i: number): string => `call-1-${i}-of-5`;
  const plain = groupNotebook(5, { iodideInRun2: 8 });
  const inRun1 = plain.events.findIndex(({ body }) => body.kind === 'judged' && body.call === call(6)) + 1;
  const during = the(plain.events[inRun1 - 1]).atMs;
  const interrupted = withEvents(
    plain,
    [
      { kind: 'opened', joined: 'wall-clock' },
      { kind: 'happened', what: 'leak', timeMs: during, run },
      { kind: 'temperature', value: '23.5', timeMs: during, run },
      { kind: 'note', text: 'the tube slipped', timeMs: during, run },
      {
        kind: 'called',
        call: 'cough',
        onsetMs: during - 100,
        endMs: null,
        timing: 'sound',
        uOnsetMs: 10,
        clip: false,
        run,
      },
      {
        kind: 'judged',
        call: 'cough',
        outcome: 'unresolved',
        meaning: null,
        rivals: [],
        reason: 'a sound without words',
        by: 'ear',
      },
    ],
    inRun1,
  );
  const notebook = withEvents(interrupted, [
    { kind: 'corrected', reading: `${call(3)}#0`, value: '10.2', by: 'hand' },
    { kind: 'set-aside', reading: `${call(9)}#0`, cause: 'late-call', why: 'looked away' },
    { kind: 'struck', reading: `${call(11)}#0`, by: 'voice' },
    {
      kind: 'judged',
      call: call(4),
      outcome: 'doubtful',
      meaning: { kind: 'reading', values: [{ value: '12' }] },
      rivals: [],
      reason: 'twelve or twenty',
      by: 'ear',
    },
    { kind: 'poured', value: '3', reagent: 'ink', timeMs: 0, run, settled: 'open' },
  ]);
  const report = reported(notebook);
  const text = everything(report);
  // The correction, by whom; the reading set aside, why; the struck one; the doubtful one.
  expect(text).toContain('10 → 10.2 (by hand)');
  expect(text).toContain('called late: looked away');
  expect(text).toContain('struck (by voice)');
  expect(text).toContain('used, in doubt');
  expect(text).toContain('1 reading is used though what was heard was in doubt.');
  // Struck and set-aside readings are listed with all others, and counted right.
  expect(report.readings.rows).toHaveLength(33);
  const run1 = the(report.rates.rows[0]).map(cellText);
  expect(run1.slice(4, 6)).toEqual(['9', '1']);
  // What the rate would be with the reading that was set aside.
  expect(text).toMatch(/Run 1: with the reading set aside counted in, the rate would be [\d.]+ ± [\d.]+ mL\/s/);
  // What was poured, what was called, what went wrong with the clock.
  expect(text).toContain('8 (plan 10; called, taken as poured)');
  expect(text).toContain('3 mL of “ink” was called as poured');
  expect(text).toMatch(/Run 1, [\d.]+ s: leak\./);
  expect(text).toMatch(/temperature 23.5 °C/);
  expect(text).toContain('note: the tube slipped');
  expect(text).toContain('1 call during the runs gave no value');
  expect(text).toContain('the page was opened anew during the run');
  // By what it can be had again.
  expect(text).toContain('Seed of random numbers\n5');
  expect(text).toMatch(/check [0-9a-f]{8}/);
  expect(text).toContain('The label on the bottle, local rules and a qualified supervisor');
});

test('the report names a run that was set aside whole, with the reason, and one that was deleted', () => {
  const notebook = demoNotebook(1.7e12);
  const [first, second] = reduce(notebook.events).runs;
  const { limits } = reported(
    withEvents(notebook, [
      { kind: 'run-removed', run: first?.id ?? '', how: 'set-aside', why: 'the stopper came off' },
      { kind: 'run-removed', run: second?.id ?? '', how: 'deleted', why: '' },
    ]),
  );
  expect(limits).toContain('Run 1 was set aside by hand and counts nowhere: the stopper came off');
  expect(limits).toContain('Run 2 was deleted by hand and counts nowhere.');
});

test('table, screen and the command state the same numbers, digit for digit', () => {
  for (const notebook of [demoNotebook(1.7e12), groupNotebook(1), groupNotebook(2, { iodideInRun2: 5 })]) {
    const state = reduce(notebook.events);
    const { analysis } = analysisOf(state);
    const json = JSON.parse(JSON.stringify(experimentJson(analysis)));
    const report = reported(notebook);
    const csv = tableCsv(report.rates)
      .split('\r\n')
      .map((line) => line.split(','));
    const at = the(csv[0]).indexOf('rate [mL/s]');
    json.runs.forEach((run: { used: { rate_mL_per_s: number; u: number } }, i: number) => {
      expect(the(csv[i + 1])[at]).toBe(fullDigits(run.used.rate_mL_per_s));
      expect(the(csv[i + 1])[at + 1]).toBe(fullDigits(run.used.u));
    });
    const law = tableCsv(report.law);
    for (const figure of [json.law.accepted.k, json.law.accepted.u, json.whole.accepted.k, json.whole.accepted.u])
      expect(law).toContain(`,${fullDigits(figure)},`);
    for (const name of speciesOf(analysis)) expect(law).toContain(`,${fullDigits(json.law.orders[name].value)},`);
    const k = the(csv[0]).findIndex((name) => name.startsWith('k ['));
    json.law.accepted.per_run.forEach((own: { k: number }, i: number) => {
      expect(the(csv[i + 1])[k]).toBe(fullDigits(own.k));
    });
  }
}, 30_000);

test('k of a run whose rate is a straight line can be worked out from what the table states', () => {
  const demo = demoNotebook(1.7e12);
  const state = reduce(demo.events);
  expect(reported(demo).rates.notes.join('\n')).not.toContain('with what was left');
  const lined = { ...state, runs: state.runs.map((run) => ({ ...run, estimator: 'line' as const })) };
  const { rates } = reportOf(demo, lined, analysisOf(lined), 'mol/(L s)');
  const note = the(rates.notes.find((text) => text.includes('with what was left')));
  const [header, ...rows] = tableCsv(rates)
    .split('\r\n')
    .map((line) => line.split(','));
  const figure = (row: readonly string[], name: string): number =>
    Number(row[the(header).findIndex((key) => key.startsWith(name))]);
  for (const label of ['1', '2', '3']) {
    const row = the(rows.find(([run]) => run === label));
    const left = Number(new RegExp(`([\\d.]+) ± [\\d.]+ mol/L of H₂O₂ in run ${label}`).exec(note)?.[1]);
    expect(left).toBeLessThan(figure(row, 'conc_H2O2'));
    const k = figure(row, 'rate [') / (left * figure(row, 'conc_I_minus'));
    // The stated concentration has two or three digits.
    expect(k / figure(row, 'k [')).toBeCloseTo(1, 2);
  }
});

test('several readings put off by one cause make one sentence of what limits the figures', () => {
  const state = reduce(demoNotebook(1.7e12).events);
  const found = analysisOf(state);
  const [first, ...others] = found.analysis.runs;
  if (!first?.ok) throw new Error('the run has no rate');
  const flag = { reading: 3, cause: 'stirring', sentence: 'The stirring changed.' } as const;
  const flags = [flag, { ...flag, reading: 4 }].map((one) => ({ ...first.flags[0], ...one }));
  const analysis = { ...found.analysis, runs: [{ ...first, flags }, ...others] } as typeof found.analysis;
  expect(limitsOf(state, { ...found, analysis }).filter((text) => text.includes('The stirring changed.'))).toHaveLength(
    1,
  );
});

test('the rate in every unit is the same rate', () => {
  const state = reduce(demoNotebook(1.7e12).events);
  const [run] = analysisOf(state).analysis.runs;
  const perSecond = rateIn(the(run), 'mL/s');
  const perMinute = rateIn(the(run), 'mL/min');
  const molar = rateIn(the(run), 'mol/s');
  const concentration = rateIn(the(run), 'mol/(L s)');
  if ('why' in perSecond || 'why' in perMinute || 'why' in molar || 'why' in concentration) throw new Error('no rate');
  expect(perMinute.value).toBeCloseTo(60 * perSecond.value, 12);
  // 50 mL of solution.
  expect(concentration.value).toBeCloseTo(molar.value / 0.05, 12);
  // 1004 hPa less 27 hPa of water vapour at 22.5 degrees Celsius: 25.16 L/mol.
  expect(molar.value / perSecond.value).toBeCloseTo(1 / 25160, 7);
});

test('from the readings as CSV the command computes the lines that it computes from the notebook', () => {
  const notebook = withEvents(groupNotebook(4), [
    { kind: 'set-aside', reading: 'call-1-9-of-4#0', cause: 'late-call', why: 'looked away' },
    { kind: 'struck', reading: 'call-2-3-of-4#0', by: 'voice' },
  ]);
  const state = reduce(notebook.events);
  const report = reported(notebook);
  for (const decimal of ['.', ','] as const) {
    const fromCsv = ratesOfFile(readingsCsv(state, report.readings, experimentOf(state).experiment, decimal));
    const fromNotebook = ratesOfFile(notebookToJson(notebook));
    if (!fromCsv.ok || !fromNotebook.ok) throw new Error('no answer');
    const lines = (json: unknown): { rate_mL_per_s: number }[] =>
      JSON.parse(JSON.stringify(json)).runs.map((run: { line: object; readings: number }) => run.line);
    const counts = (json: unknown): number[] =>
      JSON.parse(JSON.stringify(json)).runs.map((run: { readings: number }) => run.readings);
    expect(counts(fromCsv.json)).toEqual([10, 10, 11]);
    expect(counts(fromNotebook.json)).toEqual([10, 10, 11]);
    const csvLines = lines(fromCsv.json);
    lines(fromNotebook.json).forEach((line, i) => {
      expect(the(csvLines[i]).rate_mL_per_s).toBeCloseTo(line.rate_mL_per_s, 7);
    });
  }
});

/** What the command makes of a notebook's saved readings, and of the notebook. */
function bothWays(notebook: Notebook, decimal: '.' | ',' = '.') {
  const state = reduce(notebook.events);
  const csv = readingsCsv(state, reported(notebook).readings, experimentOf(state).experiment, decimal);
  const [fromCsv, fromNotebook] = [ratesOfFile(csv), ratesOfFile(notebookToJson(notebook))];
  if (!fromCsv.ok || !fromNotebook.ok) throw new Error('no answer');
  return { csv, table: JSON.parse(JSON.stringify(fromCsv.json)), book: JSON.parse(JSON.stringify(fromNotebook.json)) };
}

test.each([
  ['as planned', groupNotebook(4), '.'],
  ['another volume of solution in one run, decimal commas', groupNotebook(5, { iodideInRun2: 8 }), ','],
  [
    'readings set aside and struck, an estimator chosen',
    withEvents(groupNotebook(6), [
      { kind: 'set-aside', reading: 'call-1-9-of-6#0', cause: 'late-call', why: '' },
      { kind: 'struck', reading: 'call-2-3-of-6#0', by: 'voice' },
      { kind: 'estimate-chosen', run: 'run-3-of-6', estimator: 'quadratic' },
    ]),
    '.',
  ],
  [
    'no baseline in any run',
    (({ id, events }) => withEvents({ id, events: events.filter(({ body }) => body.kind !== 'baseline') }, []))(
      groupNotebook(7),
    ),
    ',',
  ],
  ['the demo', demoNotebook(1.7e12), '.'],
  ['a level that presses on the gas as it rises', withPressedGas(demoNotebook(1.7e12), true), '.'],
] as const)('saved readings give the law of their notebook: %s', (_, notebook, decimal) => {
  const { table, book } = bothWays(notebook, decimal);
  expect(table.law.accepted.orders).toEqual(book.law.accepted.orders);
  expect(table.law.accepted.k_unit).toBe(book.law.accepted.k_unit);
  book.runs.forEach((run: { used: { estimator: string; rate_mL_per_s: number } }, i: number) => {
    expect(table.runs[i].used.estimator).toBe(run.used.estimator);
    expect(table.runs[i].used.rate_mL_per_s / run.used.rate_mL_per_s).toBeCloseTo(1, 9);
  });
  for (const [name, order] of Object.entries<{ value: number; u: number }>(book.law.orders)) {
    // Three runs for three unknowns: the same rates are the same orders, whatever they weigh.
    const alike = book.runs.length === 3 ? 1e-9 : 0.2 * order.u;
    expect(Math.abs(table.law.orders[name].value - order.value)).toBeLessThan(alike);
  }
  // k is a weighted mean of the runs; the table does not know what the pours weigh.
  expect(Math.abs(table.law.accepted.k - book.law.accepted.k)).toBeLessThan(0.2 * book.law.accepted.u);
});

/** The notebook with 250 mL of gas above the reaction and a cylinder of 28 mm. */
function withPressedGas(notebook: Notebook, on: boolean): Notebook {
  const { setup } = reduce(notebook.events);
  const backPressure = { on, headspaceMl: 250, cylinderBoreMm: 28 };
  return withEvents(notebook, [{ kind: 'set-up', setup: { ...setup, backPressure } }]);
}

test('one line says that the rising level is allowed for, by the command and by the report, and only then', () => {
  const pressed = withPressedGas(demoNotebook(1.7e12), true);
  const { table, book, csv } = bothWays(pressed);
  expect(csv.split('\n')[0]).toMatch(/headspace_mL,cylinder_bore_mm/);
  // By hand: 997.7 kg/m3 * 9.807 m/s2 * (250 mL + 2 * 22 mL) / (6.16 cm2 * 977 hPa): 4.8 % at 22 mL.
  for (const notes of [table.notes, book.notes, reported(pressed).rates.notes]) {
    const lines = notes.filter((line: string) => line.includes('The rising level presses'));
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatch(/stands for 4\.1 % more gas at the start of a run and for up to 4\.8 % more/);
  }
  const off = withPressedGas(demoNotebook(1.7e12), false);
  expect(everything(reported(off))).not.toContain('The rising level presses');
  expect(bothWays(off).book).toEqual(bothWays(demoNotebook(1.7e12)).book);
});

test('a bore or a headspace that nothing has still gives a report without NaN', () => {
  for (const backPressure of [
    { on: true, headspaceMl: 1e-320, cylinderBoreMm: 1e-320 },
    { on: true, headspaceMl: 10_000, cylinderBoreMm: 1e-160 },
    { on: true, headspaceMl: 10_000, cylinderBoreMm: 1e-9 },
    { on: true, headspaceMl: 1e-9, cylinderBoreMm: 500 },
  ]) {
    const { setup } = reduce(demoNotebook(1.7e12).events);
    const notebook = withEvents(demoNotebook(1.7e12), [{ kind: 'set-up', setup: { ...setup, backPressure } }]);
    expect(everything(reported(notebook, 'mol/(L s)'))).not.toMatch(/NaN|Infinity/);
  }
});

test('a table that states headspace or bore alone, or the headspace twice, is refused with the reason', () => {
  const { csv } = bothWays(withPressedGas(demoNotebook(1.7e12), true));
  const refusal = (text: string): string => {
    const answer = ratesOfFile(text);
    return answer.ok ? '' : answer.sentence;
  };
  expect(refusal(csv.replace('cylinder_bore_mm', 'other'))).toMatch(/states one only; both are needed/);
  expect(refusal(csv.replace('gas_per_limiting', 'headspace'))).toMatch(/states the headspace twice/);
  expect(refusal(csv.replaceAll(',250,28,', ',250,0,'))).toMatch(/Line 2, cylinder_bore_mm: 0 mm cannot be right/);
});

test('two runs of one label are two runs in the saved readings', () => {
  const notebook = groupNotebook(8);
  const twice = {
    ...notebook,
    events: notebook.events.map((event) =>
      event.body.kind === 'run-started' && event.body.label === '3'
        ? { ...event, body: { ...event.body, label: '2' } }
        : event,
    ),
  };
  const { table, book } = bothWays(twice);
  expect(table.runs.map((run: { run: string }) => run.run)).toEqual(['1', '2', '2 (2)']);
  expect(table.law.orders).toHaveProperty('I-');
  expect(table.law.orders['I-'].value).toBeCloseTo(book.law.orders['I-'].value, 2);
});

test('a notebook without runs, plan, temperature or pressure gives a report that says so', () => {
  const { events } = demoNotebook(1.7e12);
  const empty = reported({ id: 'x', events: events.slice(0, 1) });
  expect(empty.rates.rows).toEqual([]);
  const bare = withEvents(
    { id: 'x', events: events.filter(({ body }) => body.kind !== 'planned' && body.kind !== 'set-up') },
    [],
  );
  const report = reported(bare, 'mol/s');
  expect(report.limits.join('\n')).toMatch(/No temperature is known.*\n.*No air pressure/);
  const csv = tableCsv(report.rates);
  expect(csv).toContain('temperature or pressure is not stated');
  expect(report.law.notes.join(' ')).toMatch(/concentration/);
});

test('any notebook gives a report in every form, without NaN and without markup of its own', () => {
  fc.assert(
    fc.property(anyNotebook, (notebook) => {
      const report = reported(notebook);
      const tables = [report.rates, report.law, report.estimates, report.readings];
      for (const table of tables) {
        const forms = [tableMarkdown, tableTsv, tableCsv, tableLatex].map((form) => form(table));
        // Text of the notebook may say what it likes; figures may not.
        for (const row of table.rows)
          for (const cell of row)
            if (cell.kind === 'figure') expect(cellText(cell)).not.toMatch(/NaN|Infinity|undefined/);
        expect(forms.every((form) => form.length > 0)).toBe(true);
        expect(tableHtml(table)).not.toMatch(/<(script|img)/i);
      }
      for (const plot of [...report.curves, ...report.orders]) {
        const svg = svgText(plotSvg(plot));
        expect(svg).not.toMatch(/NaN|Infinity|<script/);
      }
    }),
    { numRuns: 150 },
  );
});

test('saved readings carry the uncertainties of the inputs, so u(k) is that of the notebook', () => {
  const { table, book } = bothWays(groupNotebook(4));
  expect(table.law.accepted.k / book.law.accepted.k).toBeCloseTo(1, 5);
  expect(table.law.accepted.u / book.law.accepted.u).toBeCloseTo(1, 2);
});

test('every column of the rate table is in the report, in every copy and in what the command prints', () => {
  const notebook = groupNotebook(3);
  const state = reduce(notebook.events);
  const { analysis } = analysisOf(state);
  const columns = rateColumns(analysis, 'mL/s');
  expect(columns.length).toBeGreaterThan(6);
  const { rates } = reported(notebook);
  const json = JSON.parse(JSON.stringify(experimentJson(analysis)));
  const csv = the(tableCsv(rates).split('\r\n')[0]).split(',');
  expect(Object.keys(json.table[0])).toEqual(columns.map(({ key }) => key));
  for (const column of columns) {
    expect(rates.columns.map(({ key }) => key)).toContain(column.key);
    expect(csv.some((head) => head === column.key || head.startsWith(`${column.key} [`))).toBe(true);
    for (const form of [tableTsv, tableMarkdown, tableHtml])
      expect(form(rates).replaceAll('\\', '')).toContain(column.label);
  }
  // The figures of the command's table are those of the CSV, to the last digit.
  const rateAt = csv.indexOf('rate [mL/s]');
  const second = the(tableCsv(rates).split('\r\n')[2]).split(',');
  expect(fullDigits(json.table[1].rate.value)).toBe(second[rateAt]);
  expect(fullDigits(json.table[1].rate.u)).toBe(second[rateAt + 1]);
  expect(json.table[1].rate.unit).toBe('mL/s');
});

test('the report in German says in German what this room says, with decimal commas and the same figures', () => {
  const notebook = groupNotebook(5, { iodideInRun2: 8 });
  const state = reduce(notebook.events);
  const found = analysisOf(state);
  const german = reportOf(notebook, state, found, 'mL/s', 'de');
  const english = reported(notebook);
  const said = [
    ...german.facts.flat(),
    ...[german.pours, german.rates, german.law, german.estimates, german.budget].flatMap((table) =>
      table ? [table.title, ...table.columns.map(({ label }) => label), ...table.notes] : [],
    ),
    ...german.happenings,
    ...german.cautions,
    ...german.provenance.map(([label]) => label),
  ].filter((text) => text !== found.experiment.convention);
  // English function words; names of reactions and bottles come from the notebook.
  const leftovers = said.filter((text) => /\b(the|with|were|of|reading|readings|from|which)\b/.test(text));
  expect(leftovers.filter((text) => !text.includes('d[O'))).toEqual([]);
  expect(german.rates.rows.map((row) => row.map(cellText).filter((text) => /\d/.test(text)))).toEqual(
    english.rates.rows.map((row) => row.map(cellText).filter((text) => /\d/.test(text))),
  );
  expect(german.rates.notes.join(' ')).not.toMatch(/\d\.\d/);
  // Sentences and names that the records bring, and figures that are text.
  expect([...german.cautions, ...german.limits].flatMap(englishIn)).toEqual([]);
  expect(german.facts.find(([label]) => label === 'Reaktion')?.[1]).toMatch(
    /^Wasserstoffperoxid und Iodid: .*Katalysator/,
  );
  expect(german.pours?.columns.map(({ label }) => label)).toContain('Wasser');
  expect(german.budget?.rows.flat().map(cellText).join(' ')).not.toMatch(/\d\.\d/);
});
