import { expect, test } from 'vitest';
import { hasUsefulStamp, pageTimeOf, type SoundClock } from '../../src/listen/page-time.ts';

/** A sound system that began at page time 1000 ms and is at `seconds`, with 50 ms of latency at its output. */
const clockAt = (seconds: number, stamp: AudioTimestamp | null): SoundClock => ({
  currentTime: seconds,
  baseLatency: 0.01,
  outputLatency: 0.04,
  ...(stamp ? { getOutputTimestamp: () => stamp } : {}),
});

test('the stamp of the sound system gives the page time, latencies taken off', () => {
  // What leaves now was computed 50 ms ago.
  const clock = clockAt(10, { contextTime: 9.95, performanceTime: 11_000 });
  expect(pageTimeOf(8, clock, 11_003, true)).toBeCloseTo(9000, 6);
});

test('a stamp whose page time runs twice as fast as the page is not believed', () => {
  const clock = clockAt(10, { contextTime: 9.99, performanceTime: 21_000 });
  expect(pageTimeOf(8, clock, 11_003, true)).toBeCloseTo(9003, 6);
});

test('without a stamp, or before it has anything to tell, the two clocks are read as they stand', () => {
  expect(pageTimeOf(8, clockAt(10, null), 11_003, true)).toBeCloseTo(9003, 6);
  expect(pageTimeOf(8, clockAt(10, { contextTime: 0, performanceTime: 0 }), 11_003, true)).toBeCloseTo(9003, 6);
});

test('a Firefox is never asked for its stamp or its latency', () => {
  const firefox = 'Mozilla/5.0 (X11; Linux x86_64; rv:153.0) Gecko/20100101 Firefox/153.0';
  const untouchable = new Proxy(clockAt(10, null), {
    get: (clock, name) => {
      if (name === 'currentTime') return clock.currentTime;
      throw new Error(`${String(name)} was asked for`);
    },
  });
  expect(hasUsefulStamp(firefox)).toBe(false);
  expect(pageTimeOf(8, untouchable, 11_003, hasUsefulStamp(firefox))).toBeCloseTo(9003, 6);
});
