/**
 * Arrhenius examples of OpenStax Chemistry 2e, section 12.5 (module m68793). The book's own answers use rounded
 * reciprocals; those marked "least squares" were computed from the printed data with a general statistics package.
 */
import { expect, test } from 'vitest';
import { arrheniusFactor, temperatureFit } from '../../src/analysis/temperature.ts';
import { the } from '../the.ts';

const fitOf = (temperatures: readonly number[], constants: readonly number[]) => {
  const fit = temperatureFit(
    temperatures.map((temperatureK, i) => ({ label: String(i), temperatureK, k: the(constants[i]), u: null })),
  );
  if (!fit.ok) throw new Error(fit.sentence);
  return fit;
};

test('hydrogen iodide, five temperatures: 185.308 kJ/mol, with a t interval of three degrees of freedom', () => {
  const fit = fitOf([555, 575, 645, 700, 781], [3.52e-7, 1.22e-6, 8.59e-5, 1.16e-3, 3.95e-2]);
  expect(fit.activation.value / 1000).toBeCloseTo(185.308, 3);
  expect(fit.activation.u / 1000).toBeCloseTo(2.177, 3);
  expect((fit.activation.high95 - fit.activation.value) / 1000).toBeCloseTo(6.929, 3);
  expect(fit.lnA.value).toBeCloseTo(25.20382, 4);
  expect(fit.lnA.u).toBeCloseTo(0.41166, 4);
});

test('nitrogen pentoxide, two temperatures: 112.986 kJ/mol and no claim of its uncertainty', () => {
  const fit = fitOf([650, 700], [1.66, 7.39]);
  expect(fit.activation.value / 1000).toBeCloseTo(112.986, 3);
  expect(fit.activation.u).toBe(Number.POSITIVE_INFINITY);
});

test('sucrose: 108.11 kJ/mol from 27 and 37 degrees (300 and 310 K)', () => {
  expect(fitOf([300, 310], [2.1e-11, 8.5e-11]).activation.value / 1000).toBeCloseTo(108.11, 2);
});

test('alkaline phosphatase: a rate 1.47 times as large from 30 to 37 degrees is 43.0 kJ/mol', () => {
  expect(fitOf([303.15, 310.15], [1, 1.47]).activation.value / 1000).toBeCloseTo(43.0251, 3);
  expect(arrheniusFactor(310.15, 303.15, 43025.1)).toBeCloseTo(1.47, 4);
});

test('acetaldehyde and the cobalt complex: 190.67 and 89.47 kJ/mol', () => {
  expect(fitOf([703, 865], [1.1e-2, 4.95]).activation.value / 1000).toBeCloseTo(190.67, 2);
  expect(fitOf([293, 298], [0.054, 0.1]).activation.value / 1000).toBeCloseTo(89.47, 2);
});
