import { expect, test } from 'vitest';
import { solidAmount } from '../../src/chemistry/solids.ts';

test('0.10 g of magnesium weighed to 5 mg are 4.114 mmol to 5 % (0.10/24.305)', () => {
  const amount = solidAmount({ species: 'Mg', massG: 0.1, uMassG: 0.005 });
  expect(amount?.mol).toBeCloseTo(0.1 / 24.305, 12);
  expect((amount?.u ?? 0) / (amount?.mol ?? 1)).toBeCloseTo(0.05, 12);
  expect(amount?.uCommonRelative).toBe(0);
});

test('a ribbon counts by length and mass per length, whose error all pieces share', () => {
  const amount = solidAmount({ species: 'Mg', lengthCm: 5, uLengthCm: 0.1, gPerM: 2, uGPerM: 0.06 });
  expect((amount?.mol ?? 0) * 24.305).toBeCloseTo(0.1, 12);
  expect((amount?.u ?? 0) / (amount?.mol ?? 1)).toBeCloseTo(0.02, 12);
  expect(amount?.uCommonRelative).toBeCloseTo(0.03, 12);
  expect(solidAmount({ species: 'Mg', massG: 0.3, lengthCm: 5, gPerM: 2 })?.mol).toBeCloseTo(0.3 / 24.305, 12);
});

test('a length without its mass, nothing stated, and a solid of unknown molar mass give no amount', () => {
  expect(solidAmount({ species: 'Mg', lengthCm: 5 })).toBeNull();
  expect(solidAmount({ species: 'Mg' })).toBeNull();
  expect(solidAmount({ species: 'Mg', massG: 0 })).toBeNull();
  expect(solidAmount({ species: 'unobtainium', massG: 1 })).toBeNull();
  expect(solidAmount({ species: 'catalase', massG: 1 })).toBeNull();
});
