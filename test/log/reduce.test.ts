import fc from 'fast-check';
import { expect, test } from 'vitest';
import { makeFold, reduce, undoneEvents } from '../../src/log/reduce.ts';
import { the } from '../the.ts';
import { anyEvents, created, reading, stamped, startRun } from './events.ts';

const values = (events: ReturnType<typeof stamped>) =>
  reduce(events).runs.map((run) => run.readings.map((entry) => `${entry.timeMs / 1000}:${entry.value}`));

test('readings belong to the run that was open and stand in order of time', () => {
  const events = stamped(created, startRun('r1'), ...reading('b', 30, '7'), ...reading('a', 10, '5.0'));
  expect(values(events)).toEqual([['10:5.0', '30:7']]);
});

test('a correction changes the value and keeps the time; the old value stays in the history', () => {
  const events = stamped(created, startRun('r1'), ...reading('a', 10, '15'), {
    kind: 'corrected',
    reading: 'a#0',
    value: '50',
    by: 'voice',
  });
  const corrected = reduce(events).runs[0]?.readings[0];
  expect(corrected).toMatchObject({ value: '50', volumeMl: 50, timeMs: 10_000, settled: true });
  expect(corrected?.history.map((entry) => [entry.what, entry.value])).toEqual([
    ['judged', '15'],
    ['corrected', '50'],
  ]);
});

test('what a person settled is not judged again by the machine', () => {
  const events = stamped(
    created,
    startRun('r1'),
    ...reading('a', 10, '15'),
    { kind: 'corrected', reading: 'a#0', value: '50', by: 'hand' },
    {
      kind: 'judged',
      call: 'a',
      outcome: 'taken',
      meaning: { kind: 'reading', values: [{ value: '13' }] },
      rivals: [],
      reason: '',
      by: 'expectation',
    },
  );
  expect(values(events)).toEqual([['10:50']]);
});

test('a call said as two values gives two readings, each at its own moment', () => {
  const [called] = reading('a', 10, '25');
  const events = stamped(created, startRun('r1'), the(called), {
    kind: 'judged',
    call: 'a',
    outcome: 'taken',
    meaning: { kind: 'reading', values: [{ value: '25' }, { value: '27', timeMs: 12_500 }] },
    rivals: [],
    reason: '',
    by: 'ear',
  });
  expect(values(events)).toEqual([['10:25', '12.5:27']]);
});

test('undo takes back the last act, and an undo of the undo brings it again', () => {
  const events = stamped(
    created,
    startRun('r1'),
    ...reading('a', 10, '5'),
    { kind: 'struck', reading: 'a#0', by: 'hand' },
    { kind: 'undone', event: 'nb-5' },
    { kind: 'undone', event: 'nb-6' },
  );
  expect(reduce(events.slice(0, 5)).runs[0]?.readings[0]?.struck).toBe(true);
  expect(reduce(events.slice(0, 6)).runs[0]?.readings[0]?.struck).toBe(false);
  expect(reduce(events).runs[0]?.readings[0]?.struck).toBe(true);
  expect([...undoneEvents(events)]).toEqual(['nb-6']);
});

test('a baseline called between two runs belongs to the run that starts next', () => {
  const events = stamped(
    created,
    startRun('r1', '1'),
    { kind: 'run-ended', run: 'r1' },
    { kind: 'baseline', value: '3.5', timeMs: 2500, run: null },
    startRun('r2', '2'),
  );
  expect(reduce(events).runs.map((run) => run.baseline)).toEqual([null, '3.5']);
});

test('adding events one by one gives the same state as all at once, and old states stay as they were', () => {
  fc.assert(
    fc.property(anyEvents, (events) => {
      const fold = makeFold();
      const seen: { state: unknown; copy: string }[] = [];
      for (const event of events) {
        fold.append([event]);
        const state = fold.state();
        seen.push({ state, copy: JSON.stringify(state) });
      }
      expect(fold.state()).toEqual(reduce(events));
      for (const { state, copy } of seen) expect(JSON.stringify(state)).toBe(copy);
    }),
  );
});

test('every call stays in the log whatever happens, unless its own event is taken back', () => {
  fc.assert(
    fc.property(anyEvents, (events) => {
      const undone = undoneEvents(events);
      const called = new Set(
        events.flatMap(({ id, body }) => (body.kind === 'called' && !undone.has(id) ? [body.call] : [])),
      );
      expect(new Set(reduce(events).calls.map((entry) => entry.id))).toEqual(called);
    }),
  );
});

test('50,000 readings in 100 runs fold in well under the time a person notices per event', () => {
  const bodies = [];
  for (let run = 0; run < 100; run++) {
    bodies.push(startRun(`r${run}`));
    for (let i = 0; i < 500; i++) bodies.push(...reading(`c${run}-${i}`, run * 1000 + i, String(i % 100), `r${run}`));
  }
  const state = reduce(stamped(created, ...bodies));
  expect(state.runs).toHaveLength(100);
  expect(state.runs[99]?.readings).toHaveLength(500);
});
