import { expect, test } from 'vitest';
import { fitStraightLine } from '../../src/numerics/straight-line.ts';
import { fitYorkLine } from '../../src/numerics/york-line.ts';
import { the } from '../the.ts';
import { pearsonYork } from './york-data.ts';

/*
 * Pearson (1901) with the weights of York (1966). Expected: York, Evensen, Martínez, De Basabe Delgado,
 * Am. J. Phys. 72 (2004) 367, Table II; more digits as carried in the tests of the R package bfsl and of MSL GTC;
 * at the observed points: Kalantar (1992) u(a) = 0.29193, GTC 0.2919334989 and 0.0576167408. Unweighted line recomputed.
 */
const { x, y, ux, uy, expected } = pearsonYork;

test('slope and intercept of Pearson-York to eleven digits', () => {
  const line = fitYorkLine(x, y, ux, uy);
  expect(line.intercept).toBeCloseTo(expected.intercept, 11);
  expect(line.slope).toBeCloseTo(expected.slope, 12);
  expect(line.chiSquare).toBeCloseTo(11.866353194, 8);
  expect(line.mswd).toBeCloseTo(1.483294149, 8);
  expect(line.degreesOfFreedom).toBe(8);
});

test('all three kinds of standard error', () => {
  const line = fitYorkLine(x, y, ux, uy);
  expect(line.stated.intercept).toBeCloseTo(0.294970735, 8);
  expect(line.stated.slope).toBeCloseTo(0.057985009, 9);
  expect(line.stated.covariance).toBeCloseTo(-0.016473, 6);
  expect(line.scaled?.intercept).toBeCloseTo(0.359246522551112, 10);
  expect(line.scaled?.slope).toBeCloseTo(0.070620269528771, 11);
  // GTC's own fit stops at a slope of -0.480533399, 8e-9 off; its uncertainties are good to as much.
  expect(line.observed.intercept).toBeCloseTo(0.2919334989, 8);
  expect(line.observed.slope).toBeCloseTo(0.0576167408, 8);
});

test('swapped axes give the same line (intercept on x 11.403806975993, its standard error 0.80209694483)', () => {
  const line = fitYorkLine(x, y, ux, uy);
  const swapped = fitYorkLine(y, x, uy, ux);
  expect(1 / swapped.slope).toBeCloseTo(line.slope, 12);
  expect(swapped.intercept).toBeCloseTo(-line.intercept / line.slope, 10);
  expect(swapped.intercept).toBeCloseTo(11.403806975993, 10);
  expect(swapped.stated.intercept).toBeCloseTo(0.80209694483, 9);
});

test('unweighted with exact x it is ordinary least squares (5.7611851904, -0.5395772750; 0.18948520, 0.04212655)', () => {
  const ones = x.map(() => 1);
  const zeros = x.map(() => 0);
  const line = fitYorkLine(x, y, zeros, ones);
  const ordinary = fitStraightLine(x, y);
  expect(line.intercept).toBeCloseTo(5.7611851904, 9);
  expect(line.slope).toBeCloseTo(-0.539577275, 9);
  expect(line.scaled?.intercept).toBeCloseTo(0.1894852, 7);
  expect(line.scaled?.slope).toBeCloseTo(0.04212655, 7);
  expect(line.slope).toBeCloseTo(ordinary.slope, 13);
  expect(line.scaled?.covariance).toBeCloseTo(the(ordinary.covariance), 13);
});

test('with exact y it is the regression of x on y', () => {
  const line = fitYorkLine(
    x,
    y,
    x.map(() => 0.2),
    x.map(() => 0),
  );
  const inverse = fitStraightLine(y, x);
  expect(line.slope).toBeCloseTo(1 / inverse.slope, 12);
  expect(line.intercept).toBeCloseTo(-inverse.intercept / inverse.slope, 11);
});
