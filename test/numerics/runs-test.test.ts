import { expect, test } from 'vitest';
import { runsTest } from '../../src/numerics/runs-test.ts';

/** All orders of some signs, counted one by one: the definition of the test, with no formula of its own. */
function countedChance(up: number, down: number, most: number): number {
  const n = up + down;
  let all = 0;
  let few = 0;
  for (let bits = 0; bits < 2 ** n; bits++) {
    const signs = Array.from({ length: n }, (_, i) => (bits >> i) & 1);
    if (signs.filter((sign) => sign === 1).length !== up) continue;
    all++;
    const runs = 1 + signs.filter((sign, i) => i > 0 && sign !== signs[i - 1]).length;
    if (runs <= most) few++;
  }
  return few / all;
}

test.each([
  [[1, 1, 1, 1, -1, -1, -1, -1]],
  [[1, 1, -1, -1, -1, 1, 1]],
  [[1, -1, 1, -1, 1, -1, 1, -1, 1]],
  [[-2, -1, -1, 3, 4, 5, 6, -1, -1, -1, -1]],
])('the chance of so few runs of signs is that of counting every order: %j', (residuals) => {
  const { runs, p } = runsTest(residuals);
  const up = residuals.filter((r) => r > 0).length;
  expect(p).toBeCloseTo(countedChance(up, residuals.length - up, runs), 12);
});

test('residuals on one side only, or none, say nothing', () => {
  expect(runsTest([]).p).toBe(1);
  expect(runsTest([1, 2, 3])).toEqual({ runs: 1, p: 1 });
  expect(runsTest([0, 1, 0, -1]).runs).toBe(2);
});
