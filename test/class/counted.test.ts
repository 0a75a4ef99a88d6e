import { expect, test } from 'vitest';
import { classTexts } from '../../src/class/class-texts.ts';

test('one group is one group, in the description of the plot and below it', () => {
  const { description, more } = classTexts.en.forest;
  expect(description(1, '0.01', 1)).toBe(
    '1 group with an interval of two standard uncertainties; class value 0.01; 1 stands apart.',
  );
  expect(description(6, '0.01', 0)).toBe(
    '6 groups with intervals of two standard uncertainties; class value 0.01; 0 stand apart.',
  );
  expect(more(1)).toBe('1 more group is in the table');
  const german = classTexts.de.forest;
  expect(german.description(1, '0,01', 1)).toBe(
    '1 Gruppe mit einem Bereich von zwei Standardunsicherheiten; Klassenwert 0,01; 1 weicht ab.',
  );
  expect(german.more(1)).toBe('1 weitere Gruppe steht in der Tabelle');
});
