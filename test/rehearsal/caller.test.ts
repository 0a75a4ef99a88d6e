import { expect, test } from 'vitest';
import type { Heard, Utterance } from '../../src/hearing/ear.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { makeCaller } from '../../src/rehearsal/caller.ts';
import { callerScript } from '../../src/rehearsal/caller-script.ts';
import { the } from '../the.ts';

/** A clock that only moves when told. */
function handClock() {
  let nowMs = 0;
  let waiting: { atMs: number; callback: () => void }[] = [];
  return {
    now: () => nowMs,
    after(delayMs: number, callback: () => void) {
      const entry = { atMs: nowMs + delayMs, callback };
      waiting.push(entry);
      return () => {
        waiting = waiting.filter((other) => other !== entry);
      };
    },
    run(untilMs: number) {
      for (;;) {
        const next = waiting.filter((entry) => entry.atMs <= untilMs).sort((a, b) => a.atMs - b.atMs)[0];
        if (!next) break;
        waiting = waiting.filter((entry) => entry !== next);
        nowMs = Math.max(nowMs, next.atMs);
        next.callback();
      }
      nowMs = untilMs;
    },
    left: () => waiting.length,
  };
}

function listener() {
  const sounds: Utterance[] = [];
  const words: Heard[] = [];
  const order: string[] = [];
  return {
    sounds,
    words,
    order,
    utterance(utterance: Utterance) {
      sounds.push(utterance);
      order.push('sound');
    },
    heard(heard: Heard) {
      words.push(heard);
      order.push('words');
    },
  };
}

test('a line arrives first as a sound with its exact onset, then as words about that sound', () => {
  const clock = handClock();
  const door = listener();
  makeCaller(door, clock).say({ atMs: 1000, text: '14' });
  clock.run(1100);
  expect(door.order).toEqual([]);
  clock.run(5000);
  expect(door.order).toEqual(['sound', 'words']);
  const [sound] = door.sounds;
  expect(sound?.onsetMs).toBe(1000);
  expect(door.words[0]).toMatchObject({ ear: 'rehearsal', final: true, utterance: sound?.id });
  expect(door.words[0]?.alternatives[0]?.text).toBe('14');
});

test('the sound begins where it says and stays within range', () => {
  const clock = handClock();
  const door = listener();
  makeCaller(door, clock).say({ atMs: 0, text: 'start run 1' });
  clock.run(5000);
  const sound = the(door.sounds[0]);
  expect(sound.samples.slice(0, sound.onsetIndex).every((value) => value === 0)).toBe(true);
  const peak = sound.samples.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  expect(peak).toBeGreaterThan(0.1);
  expect(peak).toBeLessThanOrEqual(1);
});

test('after stop nothing more is said and no timer is left', () => {
  const clock = handClock();
  const door = listener();
  const caller = makeCaller(door, clock);
  caller.say({ atMs: 1000, text: '2' });
  caller.stop();
  caller.say({ atMs: 2000, text: '4' });
  clock.run(10_000);
  expect(door.order).toEqual([]);
  expect(clock.left()).toBe(0);
});

test('a script is a whole run in order, the same for the same seed', () => {
  const options = {
    run: { baselineMl: 0, ceilingMl: 45, kPerS: 0.02, mixS: 2 },
    label: '1',
    stepMl: 2,
    spanMl: 20,
    fromMs: 500,
    habit: { delayMs: 400, spreadMs: 80 },
  };
  const script = callerScript({ ...options, random: createRandom('x') });
  expect(script.lines.map((line) => line.text)).toEqual([
    'baseline 0',
    'start run 1',
    ...['2', '4', '6', '8', '10', '12', '14', '16', '18', '20'],
    'end run',
  ]);
  const times = script.lines.map((line) => line.atMs);
  expect(times).toEqual([...times].sort((a, b) => a - b));
  expect(callerScript({ ...options, random: createRandom('x') })).toEqual(script);
});
