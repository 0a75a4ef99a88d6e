import 'fake-indexeddb/auto';
import { expect, test } from 'vitest';
import { clockDoubtsOf } from '../../src/log/clock-doubts.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { notebookFromJson } from '../../src/log/file.ts';
import { createNotebook } from '../../src/log/journal.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { makeNotebookStore } from '../../src/log/store.ts';
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

/** Three readings a minute apart; then the wall clock is `gapS` ahead of the page's; then readings after `moreS`. */
const slept = (gapS: number, ...moreS: readonly number[]): NotebookEvent[] =>
  at(
    [0, created],
    [1, startRun('r1', '1')],
    ...read('a', 10, '10'),
    ...read('b', 70, '12'),
    ...read('c', 130, '14'),
    [130 + (moreS[0] ?? 5), { kind: 'clock-doubted', gapMs: 1000 * gapS }],
    ...moreS.flatMap((s, i) => read(`d${i}`, 130 + s, String(16 + 2 * i))),
  );

test('a device that slept in a run with the page open raises the question, and the true pause mends the times', () => {
  // 2 mL a minute: the next mark came 10 s after the last by the page's clock, so 50 s were slept.
  const events = slept(50, 10, 70);
  const [doubt] = clockDoubtsOf(reduce(events));
  expect(doubt).toMatchObject({ gapMs: 50_000, countedMs: 0, likelyMs: 50_000 });
  const mended = then(events, { kind: 'clock-settled', joint: doubt?.joint.event ?? '', run: 'r1', byMs: -50_000 });
  // Before the beginning of the notebook: the notebook's own clock stood still as well.
  expect(timesOf(mended)).toEqual([-40, 20, 80, 140, 200]);
  expect(clockDoubtsOf(reduce(mended))).toEqual([]);
  expect(notebookFromJson(notebookToJson({ id: 'nb', events: mended })).ok).toBe(true);
});

test('within a page a clock that goes back, or right by seconds, or far ahead while the readings fit, raises none', () => {
  expect(clockDoubtsOf(reduce(slept(-3600, 60, 120)))).toEqual([]);
  expect(clockDoubtsOf(reduce(slept(2, 60, 120)))).toEqual([]);
  expect(clockDoubtsOf(reduce(slept(20 * 86_400, 60, 120)))).toEqual([]);
  // Until the next reading says which it was, the question stands.
  expect(clockDoubtsOf(reduce(slept(20 * 86_400)))).toHaveLength(1);
});

test('a journal notes the doubt before what was recorded after the sleep', async () => {
  let [page, wall] = [0, 1.7e12];
  const go = (ms: number, sleptMs = 0): void => {
    page += ms;
    wall += ms + sleptMs;
  };
  const clocks = { pageNow: () => page, wallNow: () => wall };
  const journal = await createNotebook('Slept', { store: makeNotebookStore('slept'), clocks });
  go(1000);
  await journal.record(startRun('r1', '1'));
  for (const [call, value] of [
    ['a', '10'],
    ['b', '12'],
    ['c', '14'],
  ] as const) {
    go(60_000);
    await journal.record(...reading(call, page / 1000, value));
  }
  go(10_000, 50_000);
  await journal.record(...reading('d', page / 1000, '16'));
  const [doubt] = clockDoubtsOf(journal.state());
  expect(doubt).toMatchObject({ likelyMs: 50_000 });
  await journal.record({ kind: 'clock-settled', joint: doubt?.joint.event ?? '', run: 'r1', byMs: -50_000 });
  const times = journal.state().runs[0]?.readings.map(({ timeMs }) => timeMs) ?? [];
  expect(times.slice(1).map((ms, i) => ms - (times[i] ?? 0))).toEqual([60_000, 60_000, 60_000]);
});
