import fc from 'fast-check';
import { expect, test } from 'vitest';
import { classCsv, classJson, gradebookCsv } from '../../src/class/class-files.ts';
import { namesOf } from '../../src/class/class-names.ts';
import { classResult } from '../../src/class/class-result.ts';
import { entriesOfTable } from '../../src/class/class-table.ts';
import { classForest, classTable } from '../../src/class/class-tables.ts';
import { forestSvg } from '../../src/class/forest-svg.ts';
import { tableCsv } from '../../src/files/table-text.ts';
import { svgText } from '../../src/results/svg.ts';

test.each([
  [
    'decimal commas between commas',
    'name,value,u\nA,0,0087,0,0003\nB,0,0090,0,0004\n',
    /^Line 2 has more cells than the header: with decimal commas/,
  ],
  ['a column that comes twice', 'name,value,value,u\nA,1,2,0.1\n', /^The column value comes twice\.$/],
  ['a line that goes on', 'name,value,u\nA,1,0.1\nB,1,0.1,9\n', /^Line 3 has more cells/],
])('a table of values with %s is refused, not misread', (_, text, why) => {
  expect(entriesOfTable(text)).toMatchObject({ ok: false, sentence: expect.stringMatching(why) });
});

test('empty cells at the end of a line are none', () => {
  expect(entriesOfTable('name,value,u\nA,1,0.1,,\n')).toMatchObject({ ok: true });
});

test('values of any size are combined, or refused in a sentence', () => {
  const anyValue = fc.constantFrom('1e30', '-1e30', '1e31', '1e29', '0', '-0', '5', '5.1', '1e-30', '3e-323', '1e9');
  const anyU = fc.constantFrom('1e-30', '1e30', '1', '0.1', '1e-15', '1e-100', '1e5');
  fc.assert(
    fc.property(fc.array(fc.tuple(anyValue, anyU), { minLength: 1, maxLength: 6 }), (rows) => {
      const read = entriesOfTable(`name,value,u\n${rows.map((row, i) => `G${i},${row.join(',')}`).join('\n')}\n`);
      if (!read.ok) return;
      const result = classResult(read.value, 'value');
      const names = namesOf(read.value, false);
      const shown = [
        tableCsv(classTable(result, names)),
        svgText(forestSvg(classForest(result, names))),
        classCsv(read.value, names),
        classJson(read.value, names, false),
        gradebookCsv(read.value, names, false),
      ].join('\n');
      expect(shown).not.toMatch(/NaN|Infinity|undefined/);
    }),
    {
      numRuns: 600,
      examples: [
        [
          [
            ['1e30', '1e15'],
            ['5', '1'],
          ],
        ],
        [
          [
            ['0', '1e-60'],
            ['-1e60', '1e-60'],
            ['5', '1'],
          ],
        ],
      ],
    },
  );
});

test('a value of zero leaves the class its uncertainty', () => {
  const read = entriesOfTable('name,value,u\nA,0,0.1\nB,0,0.1\nC,0.1,0.1\n');
  expect(read.ok && classResult(read.value, 'value').value?.u).toBeCloseTo(0.1 / Math.sqrt(3), 3);
});
