/**
 * The long tables are in test/bench/coverage.ts; this holds their gist on few experiments, within what chance allows
 * (four standard errors of a count).
 */
import { expect, test } from 'vitest';
import { coverageTable, scenarios } from '../benchmarks/coverage.ts';
import { the } from '../the.ts';

const share = (rows: ReturnType<typeof coverageTable>['rows'], what: string): { value: number; of: number } => {
  const found = rows.find((row) => row.what === what);
  if (!found) throw new Error(`no row ${what}`);
  return found;
};

test('with a misheard value in one run of three, 95 % intervals hold the truth 95 times in 100', () => {
  const misheard = the(scenarios.find(({ title }) => title.startsWith('one run in three')));
  const { rows } = coverageTable(misheard, 80, 'test');
  for (const row of rows.filter(({ aim }) => aim === '0.94 to 0.96')) {
    const error = Math.sqrt((0.95 * 0.05) / row.of);
    expect(Math.abs(row.value - 0.95), row.what).toBeLessThan(4 * error);
  }
  expect(share(rows, 'power: misheard value flagged').value).toBeGreaterThan(0.95);
  expect(share(rows, 'cause right: misheard').value).toBeGreaterThan(0.9);
  expect(share(rows, 'clean runs with any flag').value).toBeLessThan(0.1);
  expect(Math.abs(share(rows, 'bias of the recommended rate').value)).toBeLessThan(0.01);
  // A parabola cannot follow a reaction that is half over; its interval says so.
  const parabola = share(rows, 'coverage of the parabola');
  expect(parabola.value).toBeGreaterThan(0.95 - 4 * Math.sqrt((0.95 * 0.05) / parabola.of));
  // What the tool must say: the straight line is far off as a starting rate.
  expect(share(rows, 'bias of the straight line as starting rate').value).toBeLessThan(-0.15);
}, 120_000);
