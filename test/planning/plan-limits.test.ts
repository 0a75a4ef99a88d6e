import { expect, test } from 'vitest';
import { oddFlask, oddStrength } from '../../src/planning/plan-limits.ts';

test('more than 100 % by mass cannot be, by weight in volume it can', () => {
  expect(oddStrength({ value: 300, unit: '%w/w' })).toMatchObject({ impossible: true });
  expect(oddStrength({ value: 300, unit: '%w/w' })?.sentence).toMatch(/100 g of solution/);
  expect(oddStrength({ value: 120, unit: '%w/v' })).toMatchObject({ impossible: false });
  expect(oddStrength({ value: 98, unit: '%w/w' })).toMatchObject({ impossible: false });
});

test('strengths of the trade are nothing out of the way', () => {
  expect(oddStrength({ value: 12.1, unit: 'mol/L' })).toBeNull();
  expect(oddStrength({ value: 18.4, unit: 'mol/L' })).toBeNull();
  expect(oddStrength({ value: 100, unit: 'vol-stp' })).toBeNull();
  expect(oddStrength({ value: 37, unit: '%w/w' })).toBeNull();
  expect(oddStrength({ value: 0, unit: 'g/L' })).toBeNull();
  expect(oddStrength({ value: 1e6, unit: 'M-unknown' })).toBeNull();
});

test('litres in one flask are asked about, not refused', () => {
  expect(oddFlask(250)).toBeNull();
  expect(oddFlask(1000)).toBeNull();
  expect(oddFlask(2500)).toEqual({
    impossible: false,
    sentence: '2.5 L in one flask is unusually much. Are the volumes in mL?',
  });
});
