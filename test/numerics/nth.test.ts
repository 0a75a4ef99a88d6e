import { expect, test } from 'vitest';
import { OutOfRange } from '../../src/numerics/errors.ts';
import { entry, held, last, named, nth, only, real, single } from '../../src/numerics/nth.ts';

test('an element that is not there is an error that names its place', () => {
  expect(() => nth([3, 1], 2)).toThrow('2 of 2');
  expect(() => nth([3, 1], -1)).toThrow(OutOfRange);
  expect(() => last([])).toThrow(OutOfRange);
  expect(() => entry([[1], [2, 3]], 0, 1)).toThrow('1 of 1');
  expect(() => real(Float64Array.of(1), 1)).toThrow('1 of 1');
  expect(() => single(Float32Array.of(1), 1)).toThrow('1 of 1');
  expect(() => held(new Map([['a', 1]]), 'b')).toThrow('b');
  expect(() => named({ a: 1 }, 'b')).toThrow('b');
});

test('zero, false and nothing written are elements as any other', () => {
  expect(nth([0], 0)).toBe(0);
  expect(nth([false], 0)).toBe(false);
  expect(nth([''], 0)).toBe('');
  expect(nth([null], 0)).toBe(null);
  expect(real(Float64Array.of(0), 0)).toBe(0);
  expect(held(new Map([['a', 0]]), 'a')).toBe(0);
});

test('only a list of one has an only element', () => {
  expect([only([]), only([5]), only([5, 6])]).toEqual([undefined, 5, undefined]);
});
