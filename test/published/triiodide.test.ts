import { expect, test } from 'vitest';
import { shareOfTriiodide, triiodideConstant } from '../../src/chemistry/triiodide.ts';

// Palmer, Ramette and Mesmer, J. Solution Chem. 13 (1984) 673: K 698, dH -17.0 kJ/mol, dCp -21 J/(K mol) at 25 °C.

test('equilibrium constant from 5 to 40 °C as its parameters give it', () => {
  const table: [number, number][] = [
    [5, 1136],
    [10, 1000],
    [15, 884],
    [20, 784],
    [25, 698],
    [30, 623],
    [35, 558],
    [40, 501],
  ];
  for (const [t, k] of table) expect(Math.abs(triiodideConstant(t + 273.15) / k - 1)).toBeLessThan(1.5e-3);
});

test('Lugol at 25 °C: a third of the iodide is bound; diluted a hundred times little of it', () => {
  const lugol = shareOfTriiodide(197.01, 602.42, 298.15);
  expect(lugol.triiodide).toBeCloseTo(196.31, 1);
  expect(lugol.iodine).toBeCloseTo(0.6929, 3);
  expect(lugol.iodide).toBeCloseTo(406.1, 1);
  const dilute = shareOfTriiodide(1.9701, 6.0242, 298.15);
  expect(dilute.triiodide).toBeCloseTo(1.4965, 3);
  expect(dilute.iodine).toBeCloseTo(0.4735, 3);
  expect(dilute.iodide).toBeCloseTo(4.5277, 3);
});
