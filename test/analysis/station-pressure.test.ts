/** Which pressure a weather report means, and what is known of the one at the bench. */
import { expect, test } from 'vitest';
import { stationPressure } from '../../src/analysis/station-pressure.ts';
import { Setup } from '../../src/log/setup.ts';

const report = { kind: 'sea-level', hPa: 1018, altitudeM: 420 } as const;

test('a barometer at the bench is taken as it reads', () => {
  expect(stationPressure({ kind: 'station', hPa: 968.2 })).toEqual({ value: 96820, u: 100 });
});

test('a report without the temperature outdoors is reduced by the standard atmosphere, with it by that temperature', () => {
  const qnh = stationPressure(report);
  // 420 m of standard atmosphere are 3.5 to 5.0 kPa whatever the day (11.8 Pa a metre, from memory).
  expect(qnh.value).toBeGreaterThan(101800 - 5000);
  expect(qnh.value).toBeLessThan(101800 - 4700);
  // At the temperature that the standard atmosphere has there, 15 - 6.5 * 0.42 = 12.27 degrees, the two senses agree.
  expect(Math.abs(stationPressure({ ...report, outdoorC: 12.27 }).value - qnh.value)).toBeLessThan(20);
  // Cold air is denser: more of it between the bench and the sea.
  const frost = stationPressure({ ...report, outdoorC: -15 });
  expect(qnh.value - frost.value).toBeGreaterThan(400);
  expect(stationPressure({ ...report, outdoorC: 30 }).value).toBeGreaterThan(qnh.value);
});

test('the uncertainty is that of report, altitude and temperature together', () => {
  const { value, u } = stationPressure({ ...report, outdoorC: 20 });
  // 1 hPa of report, 10 m of altitude (11.4 Pa each at 97 kPa), 3 K of temperature (p g h/(R T^2) = 16 Pa each).
  const perMetre = (value * 9.80665) / (287.05 * 294.5);
  const perKelvin = (perMetre * 420) / 294.5;
  expect(u).toBeCloseTo(Math.hypot(100 * (value / 101800), 10 * perMetre, 3 * perKelvin), 0);
});

test('a setup of before, without the temperature outdoors, is still one; one out of range is refused', () => {
  const setup = {
    stepMl: 2,
    spanMl: 20,
    cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'A' },
    pressure: report,
  };
  expect(Setup.safeParse(setup).success).toBe(true);
  expect(Setup.safeParse({ ...setup, pressure: { ...report, outdoorC: -3 } }).success).toBe(true);
  expect(Setup.safeParse({ ...setup, pressure: { ...report, outdoorC: 200 } }).success).toBe(false);
});
