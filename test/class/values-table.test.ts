import { expect, test } from 'vitest';
import { entriesOfTable } from '../../src/class/class-table.ts';

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
