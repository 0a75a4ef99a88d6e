import fc from 'fast-check';
import { expect, test } from 'vitest';
import { canonicalJson, checksumOf, crc32 } from '../../src/log/checksum.ts';

test('the sum is the one of PNG and ZIP (check value of the CRC catalogue)', () => {
  expect(crc32(new TextEncoder().encode('123456789')).toString(16)).toBe('cbf43926');
});

test('the order of keys does not change the sum, any value does', () => {
  expect(checksumOf([{ b: 1, a: [true, null, 'x'] }])).toBe(checksumOf([{ a: [true, null, 'x'], b: 1 }]));
  expect(checksumOf({ a: 25.1 })).not.toBe(checksumOf({ a: 25.2 }));
  expect(checksumOf({ a: undefined, b: 1 })).toBe(checksumOf({ b: 1 }));
});

test('canonical text reads back as the same value', () => {
  fc.assert(
    fc.property(fc.jsonValue(), (value) => {
      expect(JSON.parse(canonicalJson(value))).toEqual(JSON.parse(JSON.stringify(value)));
    }),
  );
});
