import fc from 'fast-check';
import { expect, test } from 'vitest';
import { csvNumber, csvText, harmless, readCsv } from '../../src/files/csv.ts';
import { tableCsv, tableHtml, tableLatex, tableMarkdown, tablePlain, tableTsv } from '../../src/files/table-text.ts';
import { speciesInText } from '../../src/results/species.ts';
import { noFigure, plainFigure, type Table, textCell } from '../../src/results/table.ts';
import { rateConstantUnit, rateUnits, volumeRateConstantUnit } from '../../src/results/unit.ts';

const table: Table = {
  title: 'Rates of “=1+1”',
  columns: [
    { key: 'run', label: 'run', kind: 'text' },
    { key: 'rate', label: 'rate', unit: rateUnits['mol/(L s)'], kind: 'figure' },
    { key: 'remark', label: 'remark', kind: 'text' },
  ],
  rows: [
    [textCell('1'), plainFigure(1.23456e-5, 2.3e-7), textCell('=HYPERLINK("x")')],
    [textCell('2 | b'), plainFigure(0.09954, 0.0012), textCell('a, "b"\nc\td')],
    [textCell('-3'), noFigure('too few readings'), textCell('50 % & $x_1$ ~ \\frac{1}{2}')],
  ],
  notes: ['k is <b>not</b> known.'],
};

test('a spreadsheet gets value and uncertainty in columns of their own, units in the header only', () => {
  const lines = tableTsv(table).split('\n');
  expect(lines[0]).toBe('run\trate (mol/(L s))\tu(rate) (mol/(L s))\tremark');
  expect(lines[1]).toBe('1\t1.235e-5\t0.023e-5\t\'=HYPERLINK("x")');
  expect(lines[2]).toBe('2 | b\t0.0995\t0.0012\ta, "b" c d');
  expect(lines[3]).toBe('-3\t\t\t50 % & $x_1$ ~ \\frac{1}{2}');
});

test('with a decimal comma numbers have one, and CSV is separated by semicolons', () => {
  expect(tableTsv(table, ',').split('\n')[2]).toBe('2 | b\t0,0995\t0,0012\ta, "b" c d');
  const csv = tableCsv(table, ',');
  expect(csv.split('\r\n')[1]).toMatch(/^1;0,0000123456;2,3e-7;/);
  expect(readCsv(csv)).toMatchObject({ ok: true, decimal: ',' });
});

test('CSV is as RFC 4180 says, with UCUM codes and the unrounded figures', () => {
  const csv = tableCsv(table);
  expect(csv).toBe(
    [
      'run,rate [mol/L/s],u_rate [mol/L/s],rate_stated,remark',
      '1,0.0000123456,2.3e-7,1.235e-5 +/- 0.023e-5,"\'=HYPERLINK(""x"")"',
      '2 | b,0.09954,0.0012,0.0995 +/- 0.0012,"a, ""b""\nc\td"',
      '-3,,,too few readings,50 % & $x_1$ ~ \\frac{1}{2}',
      '',
    ].join('\r\n'),
  );
});

test('Markdown keeps its columns whatever the text holds', () => {
  const lines = tableMarkdown(table).split('\n');
  expect(lines[1]).toBe('| --- | ---: | --- |');
  expect(lines[2]).toContain('(1.235 ± 0.023) × 10⁻⁵');
  for (const line of lines.slice(0, 5)) expect(line.replace(/\\./g, '').split('|')).toHaveLength(5);
  expect(tableMarkdown(table)).toContain('\\<b\\>');
  expect(lines[3]).toContain('| 0.0995 ± 0.0012 |');
});

test('LaTeX escapes what it would run, and sets figures in math', () => {
  const text = tableLatex(table);
  expect(text).toContain('$(1.235 \\pm 0.023) \\times 10^{-5}$');
  expect(text).toContain('50 \\% \\& \\$x\\_1\\$ \\textasciitilde{} \\textbackslash{}frac\\{1\\}\\{2\\}');
  expect(text).toContain('rate / $\\mathrm{mol\\,L^{-1}\\,s^{-1}}$');
  expect(text.match(/\\\\$/gm)).toHaveLength(4);
});

test('HTML for documents holds no markup of the text', () => {
  const html = tableHtml({ ...table, title: '<img src=x onerror=alert(1)>' });
  expect(html).not.toMatch(/<img|<b>/);
  expect(html).toContain('&lt;img src=x');
});

test('plain text lines its columns up', () => {
  expect(tablePlain(table).split('\n')[1]).toMatch(/^run +rate \(mol\/\(L s\)\) +remark$/);
});

test.each([
  ['=1+1', "'=1+1"],
  ['+44 20', "'+44 20"],
  ['-cmd|x', "'-cmd|x"],
  ['@SUM(A1)', "'@SUM(A1)"],
  ['  =1', "'  =1"],
  ['\t=1', "'\t=1"],
  ['＝1', "'＝1"],
  ['-5', '-5'],
  ['+5.25', '+5.25'],
  ['-1e-7', '-1e-7'],
  ['19 → 18', '19 → 18'],
  ['', ''],
])('in a cell %j becomes %j', (text, cell) => {
  expect(harmless(text)).toBe(cell);
});

test('whatever is written is read back cell by cell, and no cell is a formula', () => {
  const cell = fc.oneof(
    fc.string(),
    fc.constantFrom('=1', '"', '""', ',', ';', '\r\n', '\n', '\t', ' x ', "'", '@a', '-b'),
  );
  fc.assert(
    fc.property(
      fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 4 }),
      fc.constantFrom('.' as const, ',' as const),
      (rows, decimal) => {
        const header = ['name', 'value', 'u', 'x'];
        const text = csvText(
          [header, ...rows].map((row) => row.map((t) => ({ text: t }))),
          decimal,
        );
        const read = readCsv(text);
        if (!read.ok) throw new Error(read.sentence);
        // Rows with nothing in them are no rows.
        const kept = rows.map((row) => row.map(harmless)).filter((row) => row.some((text) => text.trim() !== ''));
        expect(read.rows.slice(1)).toEqual(kept);
        for (const found of read.rows.flat()) expect(found).not.toMatch(/^[=@]/);
      },
    ),
  );
});

test('numbers of a table are numbers in either notation, and nothing else is', () => {
  expect(csvNumber('0,0995', ',')).toBe(0.0995);
  expect(csvNumber(' -1.5e-3 ')).toBe(-0.0015);
  expect(csvNumber('−2')).toBe(-2);
  for (const text of ['', '1,5', '0x10', '1e999', 'NaN', 'Infinity', '1 2']) expect(csvNumber(text)).toBeNull();
});

test('units of rate constants of every order', () => {
  expect([0, 1, 2, 3, 1.5].map((order) => rateConstantUnit(order).printed)).toEqual([
    'mol/(L s)',
    '1/s',
    'L/(mol s)',
    'L²/(mol² s)',
    'L^0.5/(mol^0.5 s)',
  ]);
  expect([0, 1, 2, 3].map((order) => rateConstantUnit(order).ucum)).toEqual(['mol/L/s', '/s', 'L/mol/s', 'L2/mol2/s']);
  expect(rateConstantUnit(1.5).ucum).toBeNull();
  expect(volumeRateConstantUnit(1).printed).toBe('mL/s (L/mol)');
  expect(volumeRateConstantUnit(-8)).toEqual({
    printed: 'mL/s (L/mol)⁻⁸',
    ucum: null,
    latex: '\\mathrm{mL\\,s^{-1}\\,(L\\,mol^{-1})^{-8}}',
  });
  expect(volumeRateConstantUnit(2).ucum).toBe('mL/s.L2/mol2');
});

test('species in a sentence are printed as such, and words that look like them are left alone', () => {
  expect(speciesInText('strength of I-, d[O2]/dt; 2 H2O2 give one O2. Runs 1-3, I-beam, CO2', ['H2O2', 'I-'])).toBe(
    'strength of I⁻, d[O₂]/dt; 2 H₂O₂ give one O₂. Runs 1-3, I-beam, CO₂',
  );
  expect(speciesInText('the same acid', ['acid', 'A+'])).toBe('the same acid');
});

test('a number in a cell of text has a minus on screen and a hyphen for programs', () => {
  const signed: Table = {
    title: '',
    columns: [{ key: 'accepted', label: 'accepted as', kind: 'text' }],
    rows: [[textCell('−8')], [textCell('−8 or so')]],
    notes: [],
  };
  expect(tableMarkdown(signed)).toContain('| −8 |');
  expect(tableLatex(signed)).toContain('$-$8');
  expect(tableTsv(signed)).toBe('accepted as\n-8\n−8 or so\n');
  expect(tableCsv(signed)).toContain('\r\n-8\r\n');
});
