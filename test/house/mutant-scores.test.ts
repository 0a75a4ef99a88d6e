import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { equivalentTable, type Mutant } from './mutant-files.ts';
import { binomialInterval, faultOf, type LogLine, rowsOf } from './mutant-scores.ts';

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
  const states = (named: readonly string[]) =>
    rowsOf(['0', '1', '2', '3', '4'].map(mutant), log, new Set(named)).map(({ state }) => state);
  expect(states([])).toEqual(['killed', 'survived', 'only at loading', 'killed', 'never met']);
  // What is named as no fault, and is caught all the same, is one.
  expect(states([faultOf(mutant('0'))])).toEqual(['killed', 'equivalent', 'equivalent', 'killed', 'equivalent']);
});

test('each fault that is named as none is in the code as it stands, with the reason', () => {
  const [, ...lines] = readFileSync(equivalentTable, 'utf8').trimEnd().split('\n');
  for (const line of lines) {
    const [file = '', original = '', replacement, why = ''] = line.split('\t');
    expect(readFileSync(file, 'utf8').replace(/\s+/g, ' '), line).toContain(original);
    expect(replacement).not.toBe(original);
    expect(why.length, line).toBeGreaterThan(10);
  }
});

test('the interval of a share holds the binomial tails of 2.5 % that define it', () => {
  const atMost = (k: number, n: number, p: number): number => {
    let term = (1 - p) ** n;
    let sum = term;
    for (let i = 1; i <= k; i++) sum += term *= (((n - i + 1) / i) * p) / (1 - p);
    return sum;
  };
  for (const [k, n] of [
    [1, 5],
    [8, 10],
    [65, 80],
  ] as const) {
    const [low, high] = binomialInterval(k, n);
    expect(1 - atMost(k - 1, n, low)).toBeCloseTo(0.025, 6);
    expect(atMost(k, n, high)).toBeCloseTo(0.025, 6);
  }
  expect(binomialInterval(0, 10)[0]).toBe(0);
  expect(binomialInterval(10, 10)[1]).toBe(1);
});
