import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type DesignPoint, isolations, missingOrders } from '../../src/planning/plan-design.ts';

const names: Record<string, string> = { A: 'peroxide', B: 'iodide' };
const nameOf = (key: string): string => names[key] ?? key;
const point = (label: string, a: number, b: number, temperatureC: number | null = null): DesignPoint => ({
  label,
  concentrations: { A: a, B: b },
  temperatureC,
});
const species = ['A', 'B'];

test('the usual three runs: each pair isolates one species', () => {
  const points = [point('1', 0.3, 0.05), point('2', 0.3, 0.025), point('3', 0.15, 0.05)];
  expect(isolations(points, species, nameOf)).toEqual([
    'Runs 1 and 3 differ only in peroxide: they give its order.',
    'Runs 1 and 2 differ only in iodide: they give its order.',
  ]);
  expect(missingOrders(points, species, nameOf)).toEqual([]);
});

test('a species that no run varies is named', () => {
  const points = [point('1', 0.3, 0.05), point('2', 0.15, 0.05), point('3', 0.1, 0.0502)];
  expect(missingOrders(points, species, nameOf)).toEqual(['No run varies iodide: its order cannot be found.']);
});

test('species that only change together cannot be told apart', () => {
  const points = [point('1', 0.3, 0.06), point('2', 0.15, 0.03), point('3', 0.1, 0.02)];
  expect(missingOrders(points, species, nameOf)).toEqual([
    'peroxide and iodide change together in these runs: their orders cannot be told apart. Vary one while the other stays.',
  ]);
  expect(isolations(points, species, nameOf)).toEqual([]);
});

test('runs that never isolate a species can still give all orders together', () => {
  const points = [point('1', 0.3, 0.05), point('2', 0.15, 0.03), point('3', 0.1, 0.08)];
  expect(missingOrders(points, species, nameOf)).toEqual([]);
});

test('a repeat shows how well a run repeats; another temperature gives the activation energy', () => {
  const points = [point('1', 0.3, 0.05, 20), point('2', 0.3, 0.05, 20), point('3', 0.3, 0.05, 30)];
  expect(isolations(points, species, nameOf)).toEqual([
    'Runs 1 and 2 are alike: they show how well a run repeats.',
    'Runs 1, 2 and 3 differ only in temperature: they give the activation energy.',
  ]);
});

test('runs at different temperatures do not isolate a species', () => {
  const points = [point('1', 0.3, 0.05, 20), point('2', 0.3, 0.025, 30)];
  expect(isolations(points, species, nameOf)).toEqual([]);
});

test('one run gives a rate and no order', () => {
  expect(missingOrders([point('1', 0.3, 0.05)], species, nameOf)[0]).toMatch(/^One run gives a rate, but no order/);
  expect(missingOrders([], species, nameOf)).toEqual([]);
});

test('what a design can tell does not depend on the unit of concentration or the order of the runs', () => {
  const level = fc.constantFrom(1, 2, 4);
  fc.assert(
    fc.property(
      fc.array(fc.tuple(level, level), { minLength: 2, maxLength: 6 }),
      fc.double({ min: 1e-4, max: 1e4, noNaN: true }),
      (levels, factor) => {
        const points = levels.map(([a, b], i) => point(String(i), a, b));
        const scaled = levels.map(([a, b], i) => point(String(i), a * factor, b * factor));
        expect(missingOrders(scaled, species, nameOf)).toEqual(missingOrders(points, species, nameOf));
        expect(isolations(scaled, species, nameOf)).toEqual(isolations(points, species, nameOf));
        expect(missingOrders([...points].reverse(), species, nameOf)).toEqual(missingOrders(points, species, nameOf));
      },
    ),
  );
});
