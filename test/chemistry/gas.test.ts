import { expect, test } from 'vitest';
import {
  standardPressure,
  stationFromAltimeterSetting,
  stationFromSeaLevelPressure,
} from '../../src/chemistry/atmosphere.ts';
import {
  collectedPressure,
  dryGasPressure,
  headspaceCorrection,
  levelRise,
  molesAgainstBackPressure,
  molesOverWater,
  volumeOverWater,
  waterHeadPressure,
} from '../../src/chemistry/gas.ts';
import { waterDensity } from '../../src/chemistry/water-density.ts';
import { waterVapourPressure } from '../../src/chemistry/water-vapour.ts';
import { OutOfRange } from '../../src/numerics/errors.ts';

const room = 293.15;

test('ten centimetres of water are 9.79 hPa at 20 °C, about 1 % of the gas', () => {
  expect(waterHeadPressure(0.1, room) / 100).toBeCloseTo(9.789, 3);
  expect(collectedPressure(1e5, 0.1, room)).toBeCloseTo(100978.9, 0);
  expect(collectedPressure(1e5, -0.1, room)).toBeLessThan(1e5);
});

test('volume and moles undo each other, and a reading below the baseline is a negative amount', () => {
  expect(volumeOverWater(molesOverWater(20e-6, 99000, room), 99000, room)).toBeCloseTo(20e-6, 18);
  expect(molesOverWater(-1e-6, 99000, room)).toBeLessThan(0);
});

test('taking sea-level pressure for station pressure makes n 6 % too large at 500 m and 20 % at 1600 m', () => {
  const tooLarge = (altitude: number): number =>
    dryGasPressure(101325, room) / dryGasPressure(stationFromAltimeterSetting(101325, altitude), room) - 1;
  expect(tooLarge(500)).toBeCloseTo(0.06, 2);
  expect(tooLarge(1600)).toBeGreaterThan(0.19);
  expect(tooLarge(1600)).toBeLessThan(0.225);
});

test('250 mL of headspace and a 100 mL cylinder: about 4 % on the starting rate', () => {
  const back = { headspaceM3: 250e-6, risePerM3: levelRise(0.0282) }; // 100 mL over 16 cm
  const correction = headspaceCorrection(back, 1e5, room);
  expect(correction).toBeGreaterThan(0.035);
  expect(correction).toBeLessThan(0.045);
});

test('the amount against back pressure is the integral of its rate, and the physics done from scratch agrees', () => {
  const back = { headspaceM3: 250e-6, risePerM3: levelRise(0.0282, 0.005) };
  const v = 20e-6;
  const made = molesAgainstBackPressure(v, 99000, room, back);
  // Whole gas space before and after, ideal gas, head rho g s V.
  const head = waterHeadPressure(back.risePerM3 * v, room);
  const vapour = waterVapourPressure(room);
  const before = ((99000 - vapour) * 250e-6) / (8.31446261815324 * room);
  const after = ((99000 + head - vapour) * 270e-6) / (8.31446261815324 * room);
  expect(made).toBeCloseTo(after - before, 12);
  let sum = 0;
  const steps = 1000;
  for (let i = 0; i < steps; i++) {
    const at = (v * (i + 0.5)) / steps;
    sum += (molesOverWater(v, 99000, room) / steps) * (1 + headspaceCorrection(back, 99000, room, at));
  }
  expect(made).toBeCloseTo(sum, 14);
});

test('drops that fall free feel no rising level', () => {
  expect(levelRise(undefined)).toBe(0);
  expect(headspaceCorrection({ headspaceM3: 1, risePerM3: 0 }, 1e5, room)).toBe(0);
});

test('outside its range every function says so in a sentence', () => {
  const calls = [
    () => waterVapourPressure(273),
    () => waterVapourPressure(Number.NaN),
    () => waterDensity(315),
    () => waterDensity(272),
    () => standardPressure(12000),
    () => stationFromAltimeterSetting(80000, 0),
    () => stationFromAltimeterSetting(101325, Number.NaN),
    () => stationFromSeaLevelPressure(101325, 0, 20),
    () => dryGasPressure(2000, room),
    () => levelRise(0),
  ];
  for (const call of calls) {
    try {
      call();
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(OutOfRange);
      expect((error as OutOfRange).sentence).toMatch(/^[A-Z].*\.$/);
    }
  }
});
