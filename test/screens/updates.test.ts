import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { createUpdates } from '../../src/screens/updates.ts';

let hidden: EventTarget & { visibilityState?: string };
const register = vi.fn(() => Promise.reject(new Error('none here')));
beforeEach(() => {
  vi.useFakeTimers();
  vi.stubEnv('PROD', true);
  register.mockClear();
  hidden = new EventTarget();
  const serviceWorker = Object.assign(new EventTarget(), { register, controller: null });
  vi.stubGlobal('navigator', { serviceWorker });
  vi.stubGlobal('document', Object.assign(hidden, { baseURI: 'http://localhost/', visibilityState: 'visible' }));
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllEnvs();
  vi.unstubAllGlobals();
});

const turn = (visibilityState: string): void => {
  hidden.visibilityState = visibilityState;
  hidden.dispatchEvent(new Event('visibilitychange'));
};

test('a first visit left at once stores the app all the same, once', () => {
  createUpdates();
  vi.advanceTimersByTime(400);
  turn('visible');
  expect(register).not.toHaveBeenCalled();
  turn('hidden');
  expect(register).toHaveBeenCalledTimes(1);
  vi.advanceTimersByTime(2000);
  turn('hidden');
  expect(register).toHaveBeenCalledTimes(1);
});

test('a visit that stays stores the app after its first screens, once', () => {
  createUpdates();
  vi.advanceTimersByTime(1499);
  expect(register).not.toHaveBeenCalled();
  vi.advanceTimersByTime(1);
  turn('hidden');
  expect(register).toHaveBeenCalledTimes(1);
});
