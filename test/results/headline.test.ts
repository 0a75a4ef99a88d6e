import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { bestConstant, headlineOf } from '../../src/results/headline.ts';
import { roundToFigures } from '../../src/results/round-by-uncertainty.ts';
import { scriptParts } from '../../src/results/species.ts';

const demo = reduce(demoNotebook(1.7e12).events);

test('what waits to be checked comes before everything else that is said of the law', () => {
  const { analysis } = analysisOf(demo);
  expect(headlineOf(analysis, 3)).toEqual({
    tone: 'check',
    sentence: 'Check 3 readings before you use this result.',
  });
  expect(headlineOf(analysis, 3, 'de').sentence).toMatch(/^Prüfe 3 Ablesungen/);
});

test('three runs for two orders and k are never called a proven law', () => {
  const { tone, sentence } = headlineOf(analysisOf(demo).analysis, 0);
  expect(tone).not.toBe('good');
  expect(sentence).not.toMatch(/agree/);
});

test('without air pressure k is in millilitres of gas, with it in moles', () => {
  expect(bestConstant(analysisOf(demo).analysis)?.unit).toBe('L/(mol s)');
  const { pressure: _, ...setup } = demo.setup;
  expect(bestConstant(analysisOf({ ...demo, setup }).analysis)?.unit).toMatch(/^mL\/s/);
});

test('a notebook without runs has no rate, and says so', () => {
  expect(headlineOf(analysisOf({ ...demo, runs: [] }).analysis, 0).sentence).toBe('No run has a rate yet.');
});

test('a plain number of figures rounds value and uncertainty to one place', () => {
  expect(roundToFigures(0.09466, 0.00067, 3)).toEqual({ value: '0.0947', u: '0.0007', exponent: 0 });
  expect(roundToFigures(9.996, undefined, 3)).toEqual({ value: '10.0', u: null, exponent: 0 });
  expect(roundToFigures(58.3, 5.8, 2)).toEqual({ value: '58', u: '6', exponent: 0 });
  expect(roundToFigures(Number.NaN, 1, 2)).toBeNull();
});

test('raised and lowered characters become ordinary ones with their level, and nothing is lost', () => {
  expect(scriptParts('10⁻⁴')).toEqual([
    { text: '10', level: 'line' },
    { text: '−4', level: 'sup' },
  ]);
  expect(
    scriptParts('[H₂O₂]')
      .map(({ text }) => text)
      .join(''),
  ).toBe('[H2O2]');
});
