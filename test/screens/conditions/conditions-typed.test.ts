import { expect, test } from 'vitest';
import { reduce } from '../../../src/log/reduce.ts';
import { conditionsTyped } from '../../../src/screens/conditions/conditions-typed.ts';

const state = reduce([]);
const typed = (fields: Readonly<Record<string, string>>, weather = false, language: 'en' | 'de' = 'en') => {
  const found = conditionsTyped(state, [{ id: 'i' }], { get: (name) => fields[name] ?? '' }, weather, language);
  return 'sentence' in found ? found.sentence : found.events;
};

test('a temperature in kelvin and a pressure in kilopascals are refused, and the slip is named', () => {
  expect(typed({ temperature: '296' })).toBe('296 °C cannot be right; it looks like 296 K. That is 22.85 °C.');
  expect(typed({ hPa: '100,5' })).toBe('100.5 hPa cannot be right; it looks like 100.5 kPa. That is 1005 hPa.');
  expect(typed({ i: '200' })).toMatch(/looks like 200 mmol\/L/);
  expect(typed({ temperature: '296' }, false, 'de')).toMatch(/kann nicht stimmen; es sieht nach 296 K aus/);
});

test('what fits is one change of the setup; an empty field stays unknown', () => {
  expect(typed({ hPa: '1005', temperature: '21,5' })).toMatchObject([
    { kind: 'set-up', setup: { temperatureC: 21.5, pressure: { kind: 'station', hPa: 1005 } } },
  ]);
  expect(typed({ hPa: '1005' })).toMatchObject([{ setup: { pressure: { hPa: 1005 } } }]);
  expect(typed({})).toBe('Nothing was filled in.');
  expect(typed({ temperature: 'warm' })).toMatch(/^A number such as/);
});

test('the pressure of a weather report needs the height', () => {
  expect(typed({ hPa: '1018' }, true)).toMatch(/weather report/);
  expect(typed({ hPa: '1018', altitude: '420' }, true)).toMatchObject([
    { setup: { pressure: { kind: 'sea-level', altitudeM: 420 } } },
  ]);
});
