import { expect, test } from 'vitest';
import { hasUsefulStamp, makeSoundTimes, type SoundClock } from '../../src/hearing/page-time.ts';

/** A sound system that began at page time 1000 ms and is at `seconds`, with 50 ms of latency at its output. */
const clockAt = (seconds: number, stamp: AudioTimestamp | null): SoundClock => ({
  currentTime: seconds,
  baseLatency: 0.01,
  outputLatency: 0.04,
  ...(stamp ? { getOutputTimestamp: () => stamp } : {}),
});

const pageTimeOf = (seconds: number, clock: SoundClock, nowMs: number, useStamp: boolean): number =>
  makeSoundTimes(clock, () => nowMs, useStamp).at(seconds).pageMs;

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

/** Looks 15 times a second while the sound system falls back by `lagMsPerS`, then tells of a sound at the end. */
function afterLag(lagMsPerS: number, seconds: number) {
  let nowMs = 1000;
  const clock = { ...clockAt(0, null), currentTime: 0 };
  const times = makeSoundTimes(clock, () => nowMs, false);
  for (let at = 0; at <= seconds; at += 1 / 15) {
    nowMs = 1000 + at * 1000;
    clock.currentTime = at - (at * lagMsPerS) / 1000;
    times.look();
  }
  // Said at its own true moment, `seconds` on the clock of the sound.
  return times.at(seconds - 2);
}

test('sound that queues up on a busy machine keeps its moments, with a larger uncertainty', () => {
  const lagging = afterLag(18, 60);
  // Without this it would be late by 18 ms a second: 1080 ms.
  expect(Math.abs(lagging.pageMs - 59_000)).toBeLessThan(15);
  expect(lagging.uLagMs).toBeGreaterThan(500);
  const keepingUp = afterLag(0.1, 600);
  expect(keepingUp.uLagMs).toBe(0);
  expect(Math.abs(keepingUp.pageMs - 599_000)).toBeLessThan(65);
});

test('a sound system that slept goes on from where the page is now', () => {
  let nowMs = 1000;
  const clock = { ...clockAt(0, null), currentTime: 0 };
  const times = makeSoundTimes(clock, () => nowMs, false);
  times.look();
  nowMs = 61_000;
  clock.currentTime = 1;
  expect(times.at(1)).toEqual({ pageMs: 61_000, uLagMs: 0 });
});
