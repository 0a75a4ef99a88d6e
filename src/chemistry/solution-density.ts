import { OutOfRange } from '../numerics/errors.ts';
import { last, nth } from '../numerics/nth.ts';

type Point = readonly [massPercent: number, gramPerMl: number];

/**
 * Hydrogen peroxide at 18 °C, relative to water at 4 °C. Perry/Lange series, from memory; it agrees with the values
 * seen for 3 % (1.0095), 27 % (1.10), 35 % (1.13) and 50 % (1.20) to the digits of those.
 */
const peroxide: readonly Point[] = [
  [0, 0.9986],
  [1, 1.0022],
  [2, 1.0058],
  [4, 1.0131],
  [6, 1.0204],
  [8, 1.0277],
  [10, 1.0351],
  [12, 1.0425],
  [14, 1.0499],
  [16, 1.0574],
  [18, 1.0649],
  [20, 1.0725],
  [22, 1.0802],
  [24, 1.088],
  [26, 1.0959],
  [28, 1.104],
  [30, 1.1122],
  [35, 1.1327],
  [40, 1.1536],
  [45, 1.1749],
  [50, 1.1966],
];

/** Potassium iodide at 20 °C: CRC Handbook of Chemistry and Physics, 102nd ed., concentrative properties. */
const potassiumIodide: readonly Point[] = [
  [0, 0.9982],
  [0.5, 1.0019],
  [1, 1.0056],
  [2, 1.0131],
  [3, 1.0206],
  [4, 1.0282],
  [5, 1.036],
  [6, 1.0438],
  [7, 1.0517],
  [8, 1.0598],
  [9, 1.0679],
  [10, 1.0762],
  [12, 1.0931],
  [14, 1.1105],
  [16, 1.1284],
  [18, 1.1469],
  [20, 1.1659],
  [22, 1.1856],
  [24, 1.206],
  [26, 1.227],
  [28, 1.2487],
  [30, 1.2712],
  [32, 1.2944],
  [34, 1.3185],
  [36, 1.3434],
  [38, 1.3692],
  [40, 1.3959],
];

/**
 * Density of hydrogen peroxide solution near 18 °C, g/mL, from its strength in % by mass, 0 … 50.
 * @throws OutOfRange outside
 * @example
 * peroxideDensity(30) // => 1.112
 */
export function peroxideDensity(massPercent: number): number {
  return interpolate(peroxide, massPercent, 'hydrogen peroxide');
}

/**
 * Density of potassium iodide solution at 20 °C, g/mL, from its strength in % by mass, 0 … 40.
 * @example
 * potassiumIodideDensity(10) // => 1.076
 */
export function potassiumIodideDensity(massPercent: number): number {
  return interpolate(potassiumIodide, massPercent, 'potassium iodide');
}

function interpolate(points: readonly Point[], x: number, what: string): number {
  const [most] = last(points);
  if (!(x >= 0 && x <= most)) {
    throw new OutOfRange(`The density of ${what} solution is known from 0 to ${most} % by mass only.`, `${x} %`);
  }
  const i = Math.max(
    1,
    points.findIndex(([percent]) => percent >= x),
  );
  const [x0, y0] = nth(points, i - 1);
  const [x1, y1] = nth(points, i);
  return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
}
