import { expect, test } from 'vitest';
import { temperatureFit } from '../../../src/analysis/temperature.ts';
import { GAS_CONSTANT } from '../../../src/chemistry/constants.ts';
import { type AtTemperature, temperaturePlot } from '../../../src/screens/rates/temperature-plot.ts';
import { the } from '../../the.ts';

const kelvins = [285, 295, 310];
const constants = kelvins.map((kelvin, i) => ({
  label: String(i + 1),
  temperatureK: kelvin,
  k: 2e8 * Math.exp(-56000 / (GAS_CONSTANT * kelvin)),
  u: null,
}));
const points: AtTemperature[] = constants.map(({ label, temperatureK, k }) => ({
  label,
  kelvin: temperatureK,
  lnK: Math.log(k),
  uRelative: 0.02,
}));

test.each([false, true])('the line of the plot goes through constants that follow the law (Eyring: %s)', (eyring) => {
  const fit = temperatureFit(constants);
  if (!fit.ok) throw new Error(fit.sentence);
  const [line, marks] = temperaturePlot(points, fit, eyring).series;
  const slope = (a: { x: number; y: number }, b: { x: number; y: number }): number => (b.y - a.y) / (b.x - a.x);
  const [from, to] = the(line).points;
  for (const mark of the(marks).points) {
    const onLine = the(from).y + slope(the(from), the(to)) * (mark.x - the(from).x);
    // ln(k/T) of an Arrhenius law is not quite straight in 1/T.
    expect(Math.abs(mark.y - onLine)).toBeLessThan(eyring ? 2e-3 : 1e-9);
  }
  expect(slope(the(from), the(to)) * -GAS_CONSTANT).toBeCloseTo(
    eyring ? 56 - (GAS_CONSTANT * 296) / 1000 : 56,
    eyring ? 1 : 6,
  );
});
