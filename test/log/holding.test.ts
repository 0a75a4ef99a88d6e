import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { holdNotebook } from '../../src/log/holding.ts';

type Granted = (lock: object | null) => unknown;

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** A browser that answers a wish for a lock when the test says so. */
function browserWithLocks(): { granted: Granted[] } {
  const granted: Granted[] = [];
  const request = (_name: string, _options: object, callback: Granted): Promise<unknown> => {
    granted.push(callback);
    return new Promise(() => {});
  };
  vi.stubGlobal('navigator', { locks: { request } });
  return { granted };
}

test('a browser that never says whether a lock is free keeps nobody waiting, and a late lock is held all the same', async () => {
  const { granted } = browserWithLocks();
  const holding = holdNotebook('n1');
  await vi.advanceTimersByTimeAsync(3000);
  const held = await holding;
  expect(held).not.toBeNull();
  expect(granted).toHaveLength(1);
  // A lock is held for as long as the promise is open that its callback gives.
  const released = vi.fn();
  void Promise.resolve(granted[0]?.({})).then(released);
  await vi.advanceTimersByTimeAsync(10_000);
  expect(released).not.toHaveBeenCalled();
  held?.release();
  await vi.advanceTimersByTimeAsync(0);
  expect(released).toHaveBeenCalled();
});

test('a lock that is granted after its notebook was let go of is not kept', async () => {
  const { granted } = browserWithLocks();
  const holding = holdNotebook('n1');
  await vi.advanceTimersByTimeAsync(3000);
  (await holding)?.release();
  expect(granted[0]?.({})).toBeUndefined();
});

test('a window that went on without an answer learns that another one holds the notebook', async () => {
  const { granted } = browserWithLocks();
  const holding = holdNotebook('n1');
  await vi.advanceTimersByTimeAsync(3000);
  const lost = vi.fn();
  void (await holding)?.lost.then(lost);
  await vi.advanceTimersByTimeAsync(0);
  expect(lost).not.toHaveBeenCalled();
  granted[0]?.(null);
  await vi.advanceTimersByTimeAsync(0);
  expect(lost).toHaveBeenCalled();
});

test('a lock that is granted is held until it is released', async () => {
  const { granted } = browserWithLocks();
  const holding = holdNotebook('n1');
  const open = granted[0]?.({});
  const released = vi.fn();
  void Promise.resolve(open).then(released);
  await vi.advanceTimersByTimeAsync(10_000);
  expect(released).not.toHaveBeenCalled();
  (await holding)?.release();
  await vi.advanceTimersByTimeAsync(0);
  expect(released).toHaveBeenCalled();
});

test('a notebook that another window holds is asked for a few times, then not held', async () => {
  const { granted } = browserWithLocks();
  const holding = holdNotebook('n1');
  for (let i = 0; i < 6; i++) {
    granted[i]?.(null);
    await vi.advanceTimersByTimeAsync(250);
  }
  expect(await holding).toBeNull();
});
