import { expect, test } from 'vitest';
import { volumeOverWater } from '../../src/chemistry/gas.ts';
import { volumeDissolved } from '../../src/chemistry/gas-solubility.ts';
import { fillFlask, prepareSolutions } from '../../src/chemistry/preparation.ts';
import {
  gasPerMol,
  limitingReagent,
  magnesiumAcid,
  peroxideIodide,
  rateConstantAt,
  selfHeating,
} from '../../src/chemistry/reactions.ts';
import { the } from '../the.ts';

/*
 * Liebhafsky and Mohammad, J. Am. Chem. Soc. 55 (1933) 3977: 0.69 L/(mol min) at 25 °C for the slow step, that is for
 * d[O2]/dt; peroxide is lost twice as fast. Activation energy 13.4 kcal/mol (from memory).
 */
const constant = the(peroxideIodide.published[0]);
const activation = the(peroxideIodide.activation[0]);

test('0.69 L/(mol min) is the 0.0115 L/(mol s) of the tables', () => {
  expect((constant.value * 1000) / (0.69 / 60)).toBeCloseTo(1, 9);
  expect(activation.jPerMol / 4184).toBeCloseTo(13.4, 1);
});

test('carried from 15 to 40 °C: 0.00524, 0.00782, 0.0115, 0.0167, 0.0240, 0.0340', () => {
  const table: [number, number][] = [
    [15, 0.00524],
    [20, 0.00782],
    [25, 0.0115],
    [30, 0.0167],
    [35, 0.02397],
    [40, 0.034],
  ];
  for (const [t, k] of table) {
    expect(Math.abs((rateConstantAt(constant, activation.jPerMol, t + 273.15) * 1000) / k - 1)).toBeLessThan(2e-3);
  }
});

test('a class mixture worked by hand: 4 mL of 3 %, 5 mL of 0.8 M iodide in 25 mL give 0.166 mL/s and a half-life of 188 s', () => {
  const prepared = prepareSolutions(
    [
      { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' } },
      { id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.8, unit: 'mol/L' } },
    ],
    [],
  );
  const filled = fillFlask(
    [
      { solution: 'p', volumeMl: 4 },
      { solution: 'i', volumeMl: 5 },
      { solution: 'water', volumeMl: 16 },
    ],
    prepared,
  );
  if (!filled.ok) throw new Error(filled.sentence);
  const { volume, concentrations } = filled.flask;
  expect(the(concentrations.H2O2).value).toBeCloseTo(141, 0);
  expect(the(concentrations['I-']).value).toBeCloseTo(160, 9);
  const oxygenPerSecond = constant.value * the(concentrations.H2O2).value * the(concentrations['I-']).value; // mol/(m3 s)
  expect(oxygenPerSecond / 1000).toBeCloseTo(2.6e-4, 6);
  expect(volumeOverWater(oxygenPerSecond * volume.m3, 1e5, 298.15) * 1e6).toBeCloseTo(0.166, 3);
  // Pseudo-first order: peroxide goes at twice the rate of oxygen.
  const lossPerSecond = (constant.value * the(concentrations['I-']).value) / gasPerMol(peroxideIodide, 'H2O2');
  expect(Math.LN2 / lossPerSecond).toBeCloseTo(188, 0);
  const ceiling = limitingReagent(peroxideIodide, { H2O2: the(concentrations.H2O2).value * volume.m3 });
  expect(ceiling.species).toBe('H2O2');
  expect(volumeOverWater(ceiling.gasMol, 1e5, 298.15) * 1e6).toBeCloseTo(45, 0);
});

test('self-heating: 23 °C for each mol/L of peroxide that is gone', () => {
  expect(selfHeating(peroxideIodide, 0.5, 1e-3)).toBeCloseTo(22.65, 1);
});

test('3 cm of magnesium ribbon, 0.04 g, make about 40 mL of hydrogen (a school practical)', () => {
  const made = limitingReagent(magnesiumAcid, { Mg: 0.04 / 24.305, HCl: 0.1 });
  expect(made.species).toBe('Mg');
  expect(volumeOverWater(made.gasMol, 101325, 293.15) * 1e6).toBeCloseTo(40, -0.5);
});

test('100 mL of water take up 82 to 84 mL of carbon dioxide and 3.2 mL of oxygen (Sander 2023, 25 °C)', () => {
  expect(100 * volumeDissolved('CO2', 298.15)).toBeGreaterThan(81.5);
  expect(100 * volumeDissolved('CO2', 298.15)).toBeLessThan(84.5);
  expect(100 * volumeDissolved('O2', 298.15)).toBeCloseTo(3.2, 1);
  expect(100 * volumeDissolved('H2', 298.15)).toBeCloseTo(1.9, 1);
  expect(100 * volumeDissolved('N2', 298.15)).toBeCloseTo(1.6, 1);
});
