import { expect, test } from 'vitest';
import type { Mutant } from './mutant-files.ts';
import { type LogLine, rowsOf } from './mutant-scores.ts';

const mutant = (id: string): Mutant => ({
  id,
  file: 'src/a/b.ts',
  line: 1,
  column: 1,
  kind: 'StringLiteral',
  original: "'a'",
  replacement: '""',
});

test('a fault that one of several test files catches is caught, one that hangs as well', () => {
  const log: LogLine[] = [
    { word: 'trying', id: '0', by: 'one' },
    { word: 'survived', id: '0', by: 'one' },
    { word: 'killed', id: '0', by: 'two' },
    { word: 'survived', id: '1', by: 'one' },
    { word: 'static', id: '2', by: 'one' },
    { word: 'stuck', id: '3', by: 'one' },
    { word: 'static', id: '3', by: 'one' },
  ];
  const states = rowsOf(['0', '1', '2', '3', '4'].map(mutant), log).map(({ state }) => state);
  expect(states).toEqual(['killed', 'survived', 'only at loading', 'killed', 'never met']);
});
