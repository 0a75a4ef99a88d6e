/**
 * Orders other than first and second.
 * Zero: ammonia on hot tungsten, half-lives 7.6, 3.7 and 1.7 min from 265, 130 and 58 Torr at 856 °C. C. N. Hinshelwood and
 * R. E. Burk, J. Chem. Soc. 127 (1925) 1105, as physical-chemistry textbooks print it (figures from memory).
 * Two thirds, a sphere that shrinks: solids that are 7/8 gone after one hour and wholly after two are held up by the reaction
 * at their surface. O. Levenspiel, Chemical Reaction Engineering, 3rd ed. 1999, problem 25.1 (from memory).
 */
import { expect, test } from 'vitest';
import { momentsOf } from '../../src/analysis/course.ts';
import { rateLaw } from '../../src/analysis/rate-law.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { wholeFit } from '../../src/analysis/whole-fit.ts';

const ammonia = [
  [265, 7.6],
  [130, 3.7],
  [58, 1.7],
] as const;

test('ammonia on tungsten: rates from half-lives accept zero order, with the constant of the book', () => {
  // Half of it is gone at the half-life, whatever the order; at zero order the rate was the same all the way.
  const law = rateLaw(
    ammonia.map(([torr, minutes], i) => ({
      label: String(i),
      rate: torr / 2 / minutes,
      uRate: (torr / 2 / minutes) * (0.05 / minutes),
      dfRate: 50,
      concentrations: { NH3: { value: torr, u: 0, uCommonRelative: 0 } },
    })),
  );
  if (!law.ok) throw new Error(law.sentence);
  expect(law.orders.NH3?.accepted).toBe(0);
  expect(law.orders.NH3?.value).toBeCloseTo(0, 1);
  expect(law.accepted?.k).toBeGreaterThan(17);
  expect(law.accepted?.k).toBeLessThan(17.7);
});

test('a sphere that is gone after two hours is 7/8 gone after one', () => {
  const whole = momentsOf({ pacePerS: 1, order: 2 / 3 }, [-Math.log(1 / 8), -Math.log(1e-15)])?.times ?? [];
  expect((whole[0] ?? 0) / (whole[1] ?? 0)).toBeCloseTo(1 / 2, 4);
});

test.each([
  ['zero order', 0, (hours: number) => hours / 2],
  ['the shrinking sphere', 2 / 3, (hours: number) => 1 - (1 - hours / 2) ** 3],
])('all readings together find %s', (_, order, share) => {
  // Two runs that take two hours each, from 60 mL of gas, read every twelve minutes up to 1.6 h; written to 0.01 mL.
  const runs = [1, 2].map((label): RunData => {
    const readings = Array.from({ length: 8 }, (_, i) => ({
      timeS: 720 * (i + 1),
      volumeM3: Math.round(6000 * share(0.2 * (i + 1))) * 1e-8,
      uTimeS: 0.1,
      uVolumeM3: 1e-8,
    }));
    return {
      label: String(label),
      readings,
      baselineM3: { value: 0, u: 0 },
      ceilingM3: { value: 60e-6, u: 0 },
      concentrations: { solid: { value: 100, u: 0, uCommonRelative: 0 } },
    };
  });
  const fit = wholeFit(runs, { limiting: 'solid' });
  if (!fit.ok) throw new Error(fit.sentence);
  const found = fit.orders.solid;
  expect(Math.abs((found?.value ?? 9) - order)).toBeLessThan(0.01);
});
