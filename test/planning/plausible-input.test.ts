import { expect, test } from 'vitest';
import { type InputKind, implausible } from '../../src/planning/plausible-input.ts';

test.each<[InputKind, number, RegExp]>([
  ['temperatureC', 296, /looks like 296 K\. That is 22\.85 °C/],
  ['temperatureC', 150, /150 °F/],
  ['temperatureC', -40, /between -5 and 100/],
  ['pressureHPa', 100_500, /looks like 100500 Pa\. That is 1005 hPa/],
  ['pressureHPa', 100.5, /looks like 100\.5 kPa\. That is 1005 hPa/],
  ['pressureHPa', 1.013, /looks like 1\.013 bar/],
  ['pressureHPa', 29.92, /29\.92 inHg\. That is 1013\.21 hPa/],
  ['solutionMl', 0.05, /looks like 0\.05 L\. That is 50 mL/],
  ['molarity', 100, /looks like 100 mmol\/L\. That is 0\.1 mol\/L/],
  ['boreMm', 2.8, /2\.8 cm\. That is 28 mm/],
  ['activationJPerMol', 56, /56 kJ\/mol/],
  ['temperatureC', Number.NaN, /cannot be right/],
])('%s of %s is refused and the slip named', (kind, value, sentence) => {
  expect(implausible(kind, value)).toMatch(sentence);
});

test('ordinary values pass, and so do the ends of the range', () => {
  const usual: [InputKind, number][] = [
    ['temperatureC', 22.5],
    ['temperatureC', 100],
    ['pressureHPa', 1013.25],
    ['pressureHPa', 840],
    ['solutionMl', 25],
    ['molarity', 0],
    ['molarity', 12.1],
    ['boreMm', 28],
  ];
  for (const [kind, value] of usual) expect(implausible(kind, value), `${kind} ${value}`).toBeNull();
});

test('the sentence comes in German too', () => {
  expect(implausible('temperatureC', 296, 'de')).toMatch(/sieht nach 296 K aus/);
});
