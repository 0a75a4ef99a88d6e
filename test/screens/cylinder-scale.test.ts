import fc from 'fast-check';
import { expect, test } from 'vitest';
import { defaultSetup } from '../../src/log/setup.ts';
import { graduationsOf, sectionOf, shownLabels } from '../../src/screens/bench/cylinder-scale.ts';
import { the } from '../the.ts';

test('the section holds the start, the whole span and the next mark, and never leaves the cylinder', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 60 }),
      fc.integer({ min: 0, max: 40 }),
      fc.constantFrom(0.5, 1, 2, 5),
      fc.constantFrom(25, 50, 100, 250),
      (origin, risen, stepMl, capacityMl) => {
        const setup = { ...defaultSetup, stepMl, cylinder: { ...defaultSetup.cylinder, capacityMl } };
        const last = Math.min(capacityMl, origin + risen);
        const { fromMl, toMl } = sectionOf(setup, Math.min(origin, capacityMl), last);
        expect(fromMl).toBeGreaterThanOrEqual(0);
        expect(toMl).toBeLessThanOrEqual(capacityMl);
        expect(toMl).toBeGreaterThan(fromMl);
        expect(last).toBeGreaterThanOrEqual(fromMl);
        expect(Math.min(capacityMl, last + stepMl)).toBeLessThanOrEqual(toMl + 1e-9);
      },
    ),
  );
});

test('graduations that would run together are thinned to fives and tens', () => {
  const all = graduationsOf(defaultSetup, { fromMl: 0, toMl: 100 }, 600);
  expect(all).toHaveLength(101);
  const few = graduationsOf(defaultSetup, { fromMl: 0, toMl: 100 }, 120);
  expect(few).toHaveLength(21);
  expect(few.every((graduation) => graduation.ml % 5 === 0)).toBe(true);
});

test('labels never overlap and the last reading always has one', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 600 }), { minLength: 1, maxLength: 60 }), (ys) => {
      const shown = shownLabels(ys, 16);
      expect(shown.at(-1)).toBe(true);
      const places = ys.filter((_, index) => shown[index]).sort((a, b) => a - b);
      for (let i = 1; i < places.length; i++) expect(the(places[i]) - the(places[i - 1])).toBeGreaterThanOrEqual(16);
    }),
  );
});
