import { expect, test } from 'vitest';
import { fillFlask, prepareSolutions } from '../../src/chemistry/preparation.ts';
import { the } from '../the.ts';

const bottles = [
  { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' as const, uRelative: 0.05 } },
  { id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.5, unit: 'mol/L' as const, uRelative: 0.01 } },
];

function flask(
  pours: { solution: string; volumeMl: number; vesselMl?: number }[],
  prepared = prepareSolutions(bottles, []),
) {
  const filled = fillFlask(pours, prepared);
  if (!filled.ok) throw new Error(filled.sentence);
  return filled.flask;
}

test('10.0 mL of 0.200 M in 50.0 mL is 0.0400 M (textbook dilution)', () => {
  const prepared = prepareSolutions(
    [{ id: 's', name: 'stock', species: 'I-', strength: { value: 0.2, unit: 'mol/L' } }],
    [{ id: 'd', name: 'diluted', from: 's', takeMl: 10, makeUpToMl: 50 }],
  );
  expect(prepared.solutions.get('d')?.molPerM3).toBeCloseTo(40, 12);
});

test('adding water and making up to the same total agree', () => {
  const added = prepareSolutions(bottles, [{ id: 'd', name: 'half', from: 'i', takeMl: 20, addWaterMl: 30 }]);
  const made = prepareSolutions(bottles, [{ id: 'd', name: 'half', from: 'i', takeMl: 20, makeUpToMl: 50 }]);
  expect(added.solutions.get('d')?.molPerM3).toBeCloseTo(200, 12);
  expect(made.solutions.get('d')?.molPerM3).toBeCloseTo(200, 12);
});

test('dilutions of dilutions are found in any order, their uncertainties grow', () => {
  const steps = [
    { id: 'hundredth', name: 'hundredth', from: 'tenth', takeMl: 10, makeUpToMl: 100 },
    { id: 'tenth', name: 'tenth', from: 'i', takeMl: 10, makeUpToMl: 100 },
  ];
  const { solutions, unknown } = prepareSolutions(bottles, steps);
  expect(unknown.size).toBe(0);
  expect(solutions.get('hundredth')?.molPerM3).toBeCloseTo(5, 12);
  expect(the(solutions.get('tenth')).uRelative).toBeGreaterThan(0.01);
  expect(the(solutions.get('hundredth')).uRelative).toBeGreaterThan(the(solutions.get('tenth')).uRelative);
});

test('circles, missing sources and impossible dilutions are named in a sentence', () => {
  const { unknown } = prepareSolutions(bottles, [
    { id: 'a', name: 'first', from: 'b', takeMl: 1, addWaterMl: 1 },
    { id: 'b', name: 'second', from: 'a', takeMl: 1, addWaterMl: 1 },
    { id: 'c', name: 'third', from: 'nowhere', takeMl: 1, addWaterMl: 1 },
    { id: 'd', name: 'fourth', from: 'i', takeMl: 20, makeUpToMl: 10 },
    { id: 'e', name: 'fifth', from: 'd', takeMl: 1, addWaterMl: 1 },
  ]);
  expect(unknown.get('a')).toBe('first is, step by step, made from itself.');
  expect(unknown.get('c')).toBe('third is made from "nowhere", which is not on the sheet.');
  expect(unknown.get('d')).toMatch(/^fourth: A dilution cannot hold more/);
  expect(unknown.get('e')).toMatch(/^fifth is made from fourth\. fourth: /);
});

test('a flask with its measuring uncertainties: own ones from the cylinders, common ones from the label', () => {
  const { volume, concentrations } = flask([
    { solution: 'p', volumeMl: 20, vesselMl: 25 },
    { solution: 'i', volumeMl: 10, vesselMl: 10 },
    { solution: 'water', volumeMl: 20, vesselMl: 25 },
  ]);
  expect(volume.m3).toBeCloseTo(50e-6, 15);
  expect(the(concentrations.H2O2).value).toBeCloseTo((882.0 * 20) / 50, 0);
  expect(the(concentrations['I-']).value).toBeCloseTo(100, 10);
  expect(the(concentrations['I-']).uCommonRelative).toBeCloseTo(0.01, 12);
  // By hand: u(25 mL, B) = hypot(0.34/sqrt 3, 0.1) = 0.2203 mL, u(10 mL, B) = hypot(0.2/sqrt 3, 0.04) = 0.1222 mL;
  // dc/dv = (500 - 100)/50 and -100/50 mol/m3 per mL.
  const u25 = Math.hypot(0.34 / Math.sqrt(3), 0.1);
  const u10 = Math.hypot(0.2 / Math.sqrt(3), 0.04);
  expect(the(concentrations['I-']).u).toBeCloseTo(Math.hypot(8 * u10, 2 * u25, 2 * u25), 9);
  expect(volume.u * 1e6).toBeCloseTo(Math.hypot(u25, u10, u25), 9);
});

test('more of the same solution adds up, and its label error stays common', () => {
  const once = flask([
    { solution: 'i', volumeMl: 20 },
    { solution: 'water', volumeMl: 20 },
  ]);
  const twice = flask([
    { solution: 'i', volumeMl: 10 },
    { solution: 'water', volumeMl: 20 },
    { solution: 'i', volumeMl: 10 },
  ]);
  expect(the(twice.concentrations['I-']).value).toBeCloseTo(the(once.concentrations['I-']).value, 10);
  expect(the(twice.concentrations['I-']).uCommonRelative).toBeCloseTo(0.01, 12);
});

test('a solution of unknown strength makes the flask unknown, unless none of it was poured', () => {
  const prepared = prepareSolutions(
    [...bottles, { id: 'x', name: 'old bottle', species: 'H2O2', strength: { value: 0, unit: 'M-unknown' } }],
    [],
  );
  const filled = fillFlask([{ solution: 'x', volumeMl: 5 }], prepared);
  expect(filled).toEqual({ ok: false, sentence: 'old bottle: The strength of this solution is not known.' });
  expect(
    fillFlask(
      [
        { solution: 'x', volumeMl: 0 },
        { solution: 'i', volumeMl: 5 },
      ],
      prepared,
    ).ok,
  ).toBe(true);
  expect(fillFlask([], prepared).ok).toBe(false);
  expect(fillFlask([{ solution: 'y', volumeMl: 1 }], prepared)).toEqual({
    ok: false,
    sentence: '"y" is not on the sheet.',
  });
  expect(fillFlask([{ solution: 'i', volumeMl: -1 }], prepared).ok).toBe(false);
});
