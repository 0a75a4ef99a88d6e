import { expect, test } from 'vitest';
import { typedReadings, volumeAfter } from '../../../src/screens/share-in/typed-rows.ts';

const rows = (...pairs: readonly (readonly [string, string])[]) => pairs.map(([time, volume]) => ({ time, volume }));

test('a new row starts with the next volume of the same step, also with a comma', () => {
  expect(volumeAfter(rows(['0', '10'], ['20', '12']))).toBe('14');
  expect(volumeAfter(rows(['0', '1'], ['1', '10,1'], ['2', '10,3']))).toBe('10.5');
  expect(volumeAfter(rows(['0', '10']))).toBe('');
  expect(volumeAfter(rows(['0', 'ten'], ['20', '12']))).toBe('');
});

test('rows without a time are left out, and every time has the stated uncertainty', () => {
  const found = typedReadings(rows(['0', '10'], [' ', '11'], ['1:30', '12,5']), '0,2');
  expect(found).toMatchObject({ ok: true, readings: [{ uTimeMs: 200 }, { value: '12.5', uTimeMs: 200 }] });
  expect(typedReadings(rows(['0', '10'], ['9', '12']), 'well')).toMatchObject({ readings: [{ uTimeMs: 500 }, {}] });
  expect(typedReadings(rows(['0', '10'], ['9', '12']), '61')).toMatchObject({ readings: [{ uTimeMs: 500 }, {}] });
});

test('the first row that cannot be read is named, and fewer than two are no run', () => {
  expect(typedReadings(rows(['0', '10'], ['x', '11']), '0.5')).toEqual({ ok: false, wrong: 'time', row: 2 });
  expect(typedReadings(rows(['0', '1:30'], ['x', '11']), '0.5')).toEqual({ ok: false, wrong: 'volume', row: 1 });
  expect(typedReadings(rows(['0', '10'], ['', '']), '0.5')).toEqual({ ok: false, wrong: 'too-few' });
});
