import { expect, test } from 'vitest';
import { backInWords } from '../../src/analysis/back-pressure.ts';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { Setup } from '../../src/log/setup.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { the } from '../the.ts';

type Stated = NonNullable<Setup['backPressure']>;

const demo = reduce(demoNotebook(1.7e12).events);
const accepted = (backPressure: Stated) => {
  const { law, whole } = analysisOf({ ...demo, setup: { ...demo.setup, backPressure } }).analysis;
  if (!law.ok || !law.accepted || !whole.ok || !whole.accepted) throw new Error('no accepted orders');
  return { all: whole.accepted, starting: law.accepted };
};
const plain: Stated = { on: true, headspaceMl: 250, cylinderBoreMm: 28 };

test('a headspace and a bore of which nothing is said are taken as known to 10 and 2 %, and the budget calls that a judgement', () => {
  const { all, starting } = accepted(plain);
  for (const lines of [all.budget, starting.shares]) {
    const sources = lines.map(({ source }) => source);
    expect(sources).toContain('gas above the reaction (10 % by judgement)');
    expect(sources).toContain('bore of the cylinder (2 % by judgement)');
  }
  expect(backInWords(plain)).toBe('250 mL (known to 10 % by judgement), bore 28 mm (known to 2 % by judgement)');
});

test('what is stated of them goes into u(k) in place of the judgement', () => {
  const stated = { ...plain, uHeadspaceMl: 5, uCylinderBoreMm: 0.14 };
  const budget = Object.fromEntries(accepted(stated).all.budget.map(({ source, u }) => [source, u]));
  const supposed = Object.fromEntries(accepted(plain).all.budget.map(({ source, u }) => [source, u]));
  expect(
    the(budget['gas above the reaction']) / the(supposed['gas above the reaction (10 % by judgement)']),
  ).toBeCloseTo(0.2, 3);
  expect(the(budget['bore of the cylinder']) / the(supposed['bore of the cylinder (2 % by judgement)'])).toBeCloseTo(
    0.25,
    3,
  );
  expect(accepted({ ...plain, uHeadspaceMl: 100 }).all.u).toBeGreaterThan(accepted(stated).all.u);
  expect(backInWords(stated)).toBe('250 ± 5 mL, bore 28 ± 0.14 mm');
});

test('headspace and bore that are not allowed for are not uncertain either', () => {
  const { all } = accepted({ ...plain, on: false });
  expect(all.budget.map(({ source }) => source).join()).not.toMatch(/reaction|bore/);
});
