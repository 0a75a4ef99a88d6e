import { expect, test } from 'vitest';
import {
  standardHeight,
  standardPressure,
  stationFromAltimeterSetting,
  stationFromSeaLevelPressure,
} from '../../src/chemistry/atmosphere.ts';

test('standard atmosphere (ISO 2533, ICAO Doc 7488, US 1976): table of pressures to a tenth of a pascal', () => {
  const table: [number, number][] = [
    [0, 101325],
    [200, 98945.3],
    [300, 97772.6],
    [400, 96611.1],
    [500, 95460.8],
    [600, 94321.7],
    [700, 93193.6],
    [800, 92076.4],
    [900, 90970.1],
    [1000, 89874.6],
    [1100, 88789.8],
    [1200, 87715.6],
    [1500, 84556.0],
    [2000, 79495.2],
    [2500, 74682.5],
    [3000, 70108.5],
    [4000, 61640.2],
  ];
  for (const [height, pressure] of table) {
    expect(Math.abs(standardPressure(height) - pressure)).toBeLessThan(0.06);
    expect(Math.abs(standardHeight(pressure) - height)).toBeLessThan(0.02);
  }
});

test('heights of pressure levels: 1000 hPa 111 m, 950 540, 900 988, 850 1457, 800 1949, 700 3012, 1050 -302', () => {
  const table: [number, number][] = [
    [1000, 111],
    [950, 540],
    [900, 988],
    [850, 1457],
    [800, 1949],
    [700, 3012],
    [1050, -302],
  ];
  for (const [hPa, height] of table) expect(Math.abs(standardHeight(hPa * 100) - height)).toBeLessThan(0.6);
});

test('station pressure from QNH: as the ICAO relations, written with its rounded constants, give it', () => {
  // H_p = 44330.77 - 11880.32 p^0.190263 (p in hPa): pressure altitude; QNH follows from H_p - H.
  const table: [number, number, number][] = [
    [1013.25, 500, 954.608],
    [1020, 300, 984.284],
    [1000, 150, 982.3],
    [1030, 1600, 849.563],
    [985, 50, 979.144],
    [1013.25, 1609.344, 834.276],
  ];
  for (const [qnh, height, station] of table) {
    const p = stationFromAltimeterSetting(qnh * 100, height) / 100;
    expect(p).toBeCloseTo(station, 2);
    const pressureAltitude = 44330.77 - 11880.32 * p ** 0.190263;
    expect(1013.25 * (1 - (0.0065 * (pressureAltitude - height)) / 288.15) ** 5.25588).toBeCloseTo(qnh, 1);
  }
});

test('station pressure from the sea-level pressure of a weather map (temperature of the place)', () => {
  expect(stationFromSeaLevelPressure(102000, 300, 293.15) / 100).toBeCloseTo(985.07, 2);
  expect(stationFromSeaLevelPressure(101325, 500, 288.15) / 100).toBeCloseTo(955.247, 2);
  expect(stationFromSeaLevelPressure(101325, 1600, 298.15) / 100).toBeCloseTo(846.175, 2);
});
