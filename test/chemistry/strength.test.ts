import { expect, test } from 'vitest';
import { strengthToMolPerM3 } from '../../src/chemistry/strength.ts';

test('volume strength says both readings, and is refused for anything but peroxide', () => {
  const result = strengthToMolPerM3({ value: 20, unit: 'vol-stp' }, 'H2O2');
  expect(result.ok && result.remarks[0]).toBe(
    '20 volume is read as 1.785 mol/L (22.4 L of oxygen a mole); the other convention gives 1.667 mol/L. A titration ' +
      'with permanganate decides.',
  );
  expect(strengthToMolPerM3({ value: 20, unit: 'vol-room' }, 'I-').ok).toBe(false);
});

test('what cannot be turned into a concentration is refused in a sentence', () => {
  const refusals = [
    strengthToMolPerM3({ value: 5, unit: '%w/w' }, 'HCl'),
    strengthToMolPerM3({ value: 60, unit: '%w/w' }, 'H2O2'),
    strengthToMolPerM3({ value: 120, unit: '%w/w', densityGPerMl: 1 }, 'H2O2'),
    strengthToMolPerM3({ value: 5, unit: '%w/v' }, 'pineapple'),
    strengthToMolPerM3({ value: -1, unit: 'mol/L' }, 'HCl'),
    strengthToMolPerM3({ value: Number.NaN, unit: 'g/L' }, 'HCl'),
    strengthToMolPerM3({ value: 1, unit: 'M-unknown' }, 'HCl'),
  ];
  for (const refusal of refusals) {
    expect(refusal.ok).toBe(false);
    expect(!refusal.ok && refusal.sentence).toMatch(/^[A-Z].*\.$/);
  }
});

test('the label’s uncertainty is carried on', () => {
  const result = strengthToMolPerM3({ value: 1, unit: 'mol/L', uRelative: 0.03 }, 'anything');
  expect(result).toEqual({ ok: true, molPerM3: 1000, uRelative: 0.03, remarks: [] });
});
