import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { clashingClassNames, sharedClassNames, styleSheets } from './style-sheets.ts';

const src = fileURLToPath(new URL('../../src', import.meta.url));

test('no more than 29 class names are in several sheets; lower the number when one goes', () => {
  expect([...sharedClassNames(styleSheets(src)).keys()].length).toBeLessThanOrEqual(29);
});

test('no class name is styled side by side by two sheets', () => {
  expect(clashingClassNames(styleSheets(src))).toEqual([]);
});

test('a name that two sheets style by themselves is found, one that is nested in a part of its own is not', () => {
  const first = { name: 'first.css', text: '.row { gap: 0 } .one .row, .two { gap: 1px }' };
  const nested = { name: 'nested.css', text: '@media print { .own { & .row:is(.own, b) { gap: 2px } } }' };
  const bare = { name: 'bare.css', text: '/* .own */ @media print { main { .row { gap: 3px } } }' };
  expect(clashingClassNames([first, nested])).toEqual([]);
  expect(clashingClassNames([first, nested, bare])).toEqual([{ name: 'row', sheets: ['first.css', 'bare.css'] }]);
});
