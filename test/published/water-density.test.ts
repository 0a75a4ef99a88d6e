import { expect, test } from 'vitest';
import { waterDensity } from '../../src/chemistry/water-density.ts';

test('Tanaka et al., Metrologia 38 (2001) 301: the table of the recommended equation to 0.0001 kg/m3', () => {
  const table: [number, number][] = [
    [0, 999.8428],
    [1, 999.9017],
    [2, 999.9429],
    [3, 999.9672],
    [4, 999.9749],
    [5, 999.9668],
    [6, 999.9431],
    [8, 999.8513],
    [10, 999.7027],
    [12, 999.5005],
    [14, 999.2474],
    [15, 999.1026],
    [16, 998.9459],
    [17, 998.7778],
    [18, 998.5984],
    [19, 998.4079],
    [20, 998.2067],
    [21, 997.995],
    [22, 997.773],
    [23, 997.5408],
    [24, 997.2988],
    [25, 997.047],
    [26, 996.7857],
    [27, 996.5151],
    [28, 996.2353],
    [29, 995.9465],
    [30, 995.6488],
    [32, 995.0275],
    [35, 994.0326],
    [37, 993.329],
    [40, 992.2152],
  ];
  for (const [t, density] of table) expect(Math.abs(waterDensity(t + 273.15) - density)).toBeLessThan(6e-5);
});

test('maximum 999.974950 at 3.983035 °C; tap water a little lighter', () => {
  expect(waterDensity(273.15 + 3.983035)).toBeCloseTo(999.97495, 8);
  expect(waterDensity(273.15 + 3.983035, 'tap')).toBeCloseTo(999.972, 8);
});

test('measured by a spherical standard at 16 °C: 998.9468 kg/m3 within 2 u (0.0006 each)', () => {
  expect(Math.abs(waterDensity(289.15) - 998.9468)).toBeLessThan(0.0012);
});

test('OpenStax Chemistry 2e, appendix E, g/mL, within 5e-6 (its 0 and 4 °C follow an older formula)', () => {
  const table: [number, number][] = [
    [0, 0.9998395],
    [4, 0.999972],
    [10, 0.9997026],
    [15, 0.9991026],
    [20, 0.9982071],
    [22, 0.9977735],
    [25, 0.9970479],
    [30, 0.9956502],
  ];
  for (const [t, density] of table) expect(Math.abs(waterDensity(t + 273.15) / 1000 - density)).toBeLessThan(5e-6);
});
