import { expect, test } from 'vitest';
import { clockDoubtsOf } from '../../src/log/clock-doubts.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import { created, reading, startRun } from './events.ts';

const opened: EventBody = { kind: 'opened', joined: 'wall-clock' };

/** Bodies at given seconds. */
const at = (...entries: readonly [number, EventBody][]): NotebookEvent[] =>
  entries.map(([s, body], i) => ({
    id: `nb-${i + 1}`,
    seq: i + 1,
    atMs: s * 1000,
    wallMs: 1.7e12 + s * 1000,
    page: 1,
    body,
  }));
const read = (call: string, s: number, value: string): [number, EventBody][] =>
  reading(call, s, value).map((body) => [s, body]);

/** Three readings a minute apart; the page closes and is opened `gapS` later; with `more`, readings after it. */
const across = (gapS: number, more = false): NotebookEvent[] =>
  at(
    [0, created],
    [1, startRun('r1', '1')],
    ...read('a', 10, '10'),
    ...read('b', 70, '12'),
    ...read('c', 130, '14'),
    [130 + gapS, opened],
    ...(more ? [...read('d', 140 + gapS, '16'), ...read('e', 200 + gapS, '18')] : []),
  );
const timesOf = (events: readonly NotebookEvent[]) =>
  reduce(events).runs[0]?.readings.map(({ timeMs }) => timeMs / 1000);
const then = (events: NotebookEvent[], ...bodies: EventBody[]): NotebookEvent[] => [
  ...events,
  ...bodies.map((body, i) => {
    const seq = events.length + i + 1;
    const last = events.at(-1)?.atMs ?? 0;
    return { id: `nb-${seq}`, seq, atMs: last + seq, wallMs: 1.7e12, page: 2, body };
  }),
];

test('a reload of seconds, and a pause of minutes, raise no question', () => {
  expect(clockDoubtsOf(reduce(across(5)))).toEqual([]);
  expect(clockDoubtsOf(reduce(across(240)))).toEqual([]);
  expect(clockDoubtsOf(reduce(across(45, true)))).toEqual([]);
});

test('twenty days in the middle of a run do, before and after the next reading', () => {
  const days = 20 * 86_400;
  expect(clockDoubtsOf(reduce(across(days)))).toMatchObject([{ gapMs: days * 1000, likelyMs: null }]);
  // 2 mL a minute: the gap was 50 s, since the next reading came 10 s after the page was there again.
  expect(clockDoubtsOf(reduce(across(days, true)))).toMatchObject([{ likelyMs: 50_000 }]);
});

test('a clock set some minutes ahead is found by the readings on both sides', () => {
  expect(clockDoubtsOf(reduce(across(240, true)))).toMatchObject([{ likelyMs: 50_000 }]);
});

test('a clock that went back is always a question; one outside of runs is none', () => {
  const back = across(0.001).map((event) =>
    event.body.kind === 'opened' ? { ...event, body: { kind: 'opened' as const, joined: 'unknown' as const } } : event,
  );
  expect(clockDoubtsOf(reduce(back))).toHaveLength(1);
  const between = at(
    [0, created],
    [9_999_999, opened],
    [10_000_000, startRun('r1', '1')],
    ...read('a', 10_000_001, '10'),
  );
  expect(clockDoubtsOf(reduce(between))).toEqual([]);
});

test('kept times stay and are asked about once; moved ones make the gap what it was, and undo brings them back', () => {
  const events = across(20 * 86_400, true);
  const joint = events.find(({ body }) => body.kind === 'opened')?.id ?? '';
  const keep = then(events, { kind: 'clock-settled', joint, run: 'r1', byMs: 0 });
  expect(clockDoubtsOf(reduce(keep))).toEqual([]);
  expect(timesOf(keep)).toEqual(timesOf(events));
  const byMs = 20 * 86_400_000 - 50_000;
  const shift = then(events, { kind: 'clock-settled', joint, run: 'r1', byMs });
  const times = timesOf(shift) ?? [];
  expect(times.map((s) => Math.round(s - (times[0] ?? 0)))).toEqual([0, 60, 120, 180, 240]);
  expect(clockDoubtsOf(reduce(shift))).toEqual([]);
  const undone = then(shift, { kind: 'undone', event: shift.at(-1)?.id ?? '' });
  expect(timesOf(undone)).toEqual(timesOf(events));
});
