import { expect, test } from 'vitest';
import { makeLanguageSafe } from '../../src/screens/safe-locale.ts';

test('a language that Intl refuses is replaced by one that it takes', () => {
  const browser = { language: 'en-US@posix' };
  expect(() => new Intl.NumberFormat(browser.language)).toThrow(RangeError);
  makeLanguageSafe(browser);
  expect(() => new Intl.NumberFormat(browser.language)).not.toThrow();
});

test('a language that Intl knows is left alone', () => {
  const browser = { language: 'de-CH' };
  makeLanguageSafe(browser);
  expect(browser.language).toBe('de-CH');
});
