import { expect, test } from 'vitest';
import { type Course, momentsOf } from '../../src/analysis/course.ts';

/** -ln(1 - gas that has come out) at some moments, by small steps that share nothing with `momentsOf`. */
function stepped(rate: (left: number, t: number) => number, lagS: number, moments: readonly number[]): number[] {
  const h = 0.002;
  let made = 0;
  let out = 0;
  const logs: number[] = [];
  for (let i = 0; logs.length < moments.length; i++) {
    const t = i * h;
    if (t >= (moments[logs.length] ?? Number.POSITIVE_INFINITY) - h / 2)
      logs.push(-Math.log1p(-(lagS > 0 ? out : made)));
    // The midpoint of each step.
    const half = made + (h / 2) * rate(1 - made, t);
    const next = made + h * rate(1 - half, t + h / 2);
    if (lagS > 0) out += ((h / lagS) * (half - out)) / (1 + h / lagS / 2);
    made = next;
  }
  return logs;
}

const moments = [15, 40, 90, 200, 400];

test.each<readonly [string, Course, (left: number, t: number) => number]>([
  ['first order, held back 60 s', { pacePerS: 0.003, order: 1, lagS: 60 }, (left) => 0.003 * left],
  ['second order, held back 20 s', { pacePerS: 0.004, order: 2, lagS: 20 }, (left) => 0.004 * left ** 2],
  [
    'half order that warms, held back 200 s',
    { pacePerS: 0.001, order: 0.5, lagS: 200, warmingPerS: 4e-4 },
    (left, t) => 0.001 * Math.sqrt(left) * Math.exp(4e-4 * t),
  ],
  ['a shrinking solid', { pacePerS: 0.002, order: 2 / 3 }, (left) => 0.002 * left ** (2 / 3)],
  [
    'saturation with K half of the start',
    { pacePerS: 0.002, order: 0, saturation: 0.5 },
    (left) => (0.002 * left * 1.5) / (0.5 + left),
  ],
  // The shares count from half the true ceiling, and from twice that: 1 - share/2 and 1 - 2 share are left.
  [
    'second order with the ceiling halved',
    { pacePerS: 0.002, order: 2, bend: 0.5 },
    (left) => 0.002 * ((1 + left) / 2) ** 2,
  ],
  [
    'first order with the ceiling doubled, held back 30 s',
    { pacePerS: 0.001, order: 1, bend: 2, lagS: 30 },
    (left) => 0.001 * (2 * left - 1),
  ],
  ['no ceiling at all', { pacePerS: 0.002, order: 1, bend: 0 }, () => 0.002],
  [
    'saturation with the ceiling halved',
    { pacePerS: 0.002, order: 0, saturation: 0.5, bend: 0.5 },
    (left) => (0.002 * ((1 + left) / 2) * 1.5) / (0.5 + (1 + left) / 2),
  ],
])('moments of %s agree with an integration in small steps', (_, course, rate) => {
  const found = momentsOf(course, stepped(rate, course.lagS ?? 0, moments));
  found?.times.forEach((time, i) => {
    expect(Math.abs(time - (moments[i] ?? Number.NaN))).toBeLessThan(0.02);
  });
  expect(found?.times).toHaveLength(moments.length);
});

test('a share that is never reached has no moment', () => {
  expect(momentsOf({ pacePerS: 0.01, order: 1, warmingPerS: -0.02 }, [3])).toBeNull();
});
