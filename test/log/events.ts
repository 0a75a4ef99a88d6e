import fc from 'fast-check';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';

/** Stamps bodies as a journal would, one event a second. */
export function stamped(...bodies: EventBody[]): NotebookEvent[] {
  return bodies.map((body, index) => ({
    id: `nb-${index + 1}`,
    seq: index + 1,
    atMs: index * 1000,
    wallMs: 1_700_000_000_000 + index * 1000,
    page: 1,
    body,
  }));
}

export const created: EventBody = { kind: 'created', title: 'Trial', seed: 7, invented: false, app: 'test' };
export const startRun = (run: string, label = run): EventBody => ({ kind: 'run-started', run, label });

/** A call with its judgement as a reading, at `atS` seconds. */
export function reading(call: string, atS: number, value: string, run: string | null = 'r1'): EventBody[] {
  return [
    {
      kind: 'called',
      call,
      onsetMs: atS * 1000,
      endMs: atS * 1000 + 600,
      timing: 'sound',
      uOnsetMs: 10,
      clip: true,
      run,
    },
    judged(call, value, { reason: 'one value' }),
  ];
}

/** The judgement of a call as a reading that was taken. */
export const judged = (call: string, value: string, more: Partial<EventBody & { kind: 'judged' }> = {}): EventBody => ({
  kind: 'judged',
  call,
  outcome: 'taken',
  meaning: { kind: 'reading', values: [{ value }] },
  rivals: [],
  reason: '',
  by: 'ear',
  ...more,
});

const call = fc.constantFrom('c1', 'c2', 'c3', 'c4');
const readingId = call.map((id) => `${id}#0`);
const run = fc.constantFrom('r1', 'r2');
const value = fc.constantFrom('5', '7', '9.0', '11', '-1', '250');

/** Any body a session may record, over a few calls and runs so that they meet. */
export const anyBody: fc.Arbitrary<EventBody> = fc.oneof(
  run.map((id): EventBody => ({ kind: 'run-started', run: id, label: id })),
  run.map((id): EventBody => ({ kind: 'run-ended', run: id })),
  fc.tuple(call, fc.integer({ min: 0, max: 90_000 }), fc.option(run)).map(
    ([id, onsetMs, inRun]): EventBody => ({
      kind: 'called',
      call: id,
      onsetMs,
      endMs: null,
      timing: 'sound',
      uOnsetMs: 10,
      clip: false,
      run: inRun,
    }),
  ),
  fc.tuple(call, value, fc.constantFrom('ear' as const, 'expectation' as const, 'hand' as const)).map(
    ([id, said, by]): EventBody => ({
      kind: 'judged',
      call: id,
      outcome: 'taken',
      meaning: { kind: 'reading', values: [{ value: said }] },
      rivals: [],
      reason: '',
      by,
    }),
  ),
  call.map(
    (id): EventBody => ({
      kind: 'judged',
      call: id,
      outcome: 'unresolved',
      meaning: null,
      rivals: [],
      reason: '',
      by: 'ear',
    }),
  ),
  fc
    .tuple(readingId, value)
    .map(([id, said]): EventBody => ({ kind: 'corrected', reading: id, value: said, by: 'voice' })),
  readingId.map((id): EventBody => ({ kind: 'struck', reading: id, by: 'voice' })),
  readingId.map((id): EventBody => ({ kind: 'restored', reading: id })),
  readingId.map((id): EventBody => ({ kind: 'set-aside', reading: id, cause: 'late-call', why: 'late' })),
  readingId.map((id): EventBody => ({ kind: 'put-back', reading: id })),
  fc.constant<EventBody>({ kind: 'paused' }),
  fc.constant<EventBody>({ kind: 'resumed' }),
  fc
    .tuple(value, fc.option(run), fc.integer({ min: 0, max: 90_000 }))
    .map(([said, inRun, timeMs]): EventBody => ({ kind: 'baseline', value: said, timeMs, run: inRun })),
  fc.integer({ min: 1, max: 40 }).map((seq): EventBody => ({ kind: 'undone', event: `nb-${seq}` })),
);

/** A run entered by hand, with its baseline at 0 mL: the first one has place 0. */
export const enteredRun = (place: number, readings: readonly (readonly [timeS: number, ml: number])[]): EventBody[] => [
  { kind: 'baseline', value: '0', timeMs: 1000 * place, run: null },
  {
    kind: 'readings-entered',
    run: `run-${place + 1}`,
    label: String(place + 1),
    timing: 'hand',
    stated: true,
    fromMs: 100_000 * place,
    readings: readings.map(([timeS, ml]) => ({ time: timeS.toFixed(1), value: String(ml), uTimeMs: 100 })),
  },
];

/** What a person does at the desk with names and whole runs, over the same few runs and readings. */
export const anyDeskAct: fc.Arbitrary<EventBody> = fc.oneof(
  fc.string({ maxLength: 8 }).map((group): EventBody => ({ kind: 'grouped', group })),
  fc.string({ maxLength: 8 }).map((members): EventBody => ({ kind: 'members-named', members })),
  fc.string({ maxLength: 8 }).map((title): EventBody => ({ kind: 'titled', title })),
  fc.tuple(run, value).map(([id, label]): EventBody => ({ kind: 'run-renamed', run: id, label })),
  fc
    .tuple(run, fc.constantFrom('set-aside' as const, 'deleted' as const))
    .map(([id, how]): EventBody => ({ kind: 'run-removed', run: id, how, why: 'stopper off' })),
  run.map((id): EventBody => ({ kind: 'run-returned', run: id })),
  fc
    .tuple(run, readingId)
    .map(([id, at]): EventBody => ({ kind: 'run-split', run: id, at, into: `${id}-b`, label: `${id} b` })),
  fc.tuple(run, run).map(([id, into]): EventBody => ({ kind: 'run-joined', run: id, into })),
  fc.shuffledSubarray(['r1', 'r2', 'r1-b']).map((runs): EventBody => ({ kind: 'runs-ordered', runs })),
  fc.tuple(fc.constantFrom('r1', 'r2', 'typed'), fc.array(fc.tuple(value, value), { minLength: 1, maxLength: 4 })).map(
    ([id, rows]): EventBody => ({
      kind: 'readings-entered',
      run: id,
      label: id,
      timing: 'hand',
      stated: true,
      fromMs: 5000,
      readings: rows.map(([time, ml]) => ({ time, value: ml, uTimeMs: 500 })),
    }),
  ),
);

/** Any notebook, as stamped events that start with the creation. */
export const anyEvents = fc.array(anyBody, { maxLength: 40 }).map((bodies) => stamped(created, ...bodies));
