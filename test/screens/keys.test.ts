import { expect, test } from 'vitest';
import { type KeyContext, type KeyState, noKeys, pressKey } from '../../src/screens/bench/keys.ts';

const context: KeyContext = { nextRun: '3', paused: false, swirling: false };

/** Presses keys 100 ms apart from 1000 ms on and gives what came of the last one. */
function type(...keys: string[]) {
  let state: KeyState = noKeys;
  let outcome: ReturnType<typeof pressKey> = null;
  keys.forEach((key, index) => {
    outcome = pressKey(key, 1000 + 100 * index, state, context);
    state = outcome?.state ?? state;
  });
  return outcome as ReturnType<typeof pressKey>;
}

test('the space bar is a mark at the moment it is pressed', () => {
  expect(type(' ')).toMatchObject({ meaning: { kind: 'mark' }, atMs: 1000 });
});

test('digits and Enter are a reading at the moment of the first digit, decimals kept as typed', () => {
  expect(type('2', '4', ',', '0', 'Enter')).toMatchObject({
    meaning: { kind: 'reading', values: [{ value: '24.0' }] },
    atMs: 1000,
  });
});

test('C, digits and Enter are a correction', () => {
  expect(type('c', '1', '4', 'Enter')).toMatchObject({ meaning: { kind: 'correction', value: '14' } });
});

test('Escape forgets the digits, Backspace the last one', () => {
  expect(type('2', '4', 'Escape', 'Enter')).toBeNull();
  expect(type('2', '4', 'Backspace', 'Enter')).toMatchObject({
    meaning: { kind: 'reading', values: [{ value: '2' }] },
  });
});

test('Enter without digits leaves what was armed, and says so', () => {
  for (const [key, what] of [
    ['b', 'baseline'],
    ['c', 'correction'],
    ['t', 'temperature'],
  ] as const)
    expect(type(key, 'Enter')).toEqual({ state: noKeys, refused: { noNumberFor: what } });
  expect(type('Enter')).toBeNull();
});

test('a tenth digit is not swallowed in silence', () => {
  const outcome = type(...'1234567890');
  expect(outcome?.state.digits).toBe('123456789');
  expect(outcome?.refused).toEqual({ tooLong: '123456789' });
});

test('letters are the procedure words', () => {
  expect(type('s')?.meaning).toEqual({ kind: 'start-run', run: '3' });
  expect(type('e')?.meaning).toEqual({ kind: 'end-run' });
  expect(type('D')?.meaning).toEqual({ kind: 'disregard' });
  expect(type('p')?.meaning).toEqual({ kind: 'stand-by' });
  expect(type('u')?.undo).toBe(true);
  expect(type('z')).toBeNull();
});

test('a point without digits before it begins with zero', () => {
  expect(type('.', '5', 'Enter')?.meaning).toEqual({ kind: 'reading', values: [{ value: '0.5' }] });
});
