import { expect, test } from 'vitest';
import type { EventBody } from '../../src/log/event.ts';
import { makeFold, reduce } from '../../src/log/reduce.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import type { NotebookState } from '../../src/log/state.ts';
import { stamped } from './events.ts';

/** A short day, one event after the other; event k is `e` and its number, at k seconds. */
const day: readonly EventBody[] = [
  { kind: 'created', title: '  Day one ', seed: 7, invented: true, app: 'test' },
  { kind: 'opened', joined: 'first' },
  { kind: 'run-started', run: 'r', label: '1', timeMs: 2000 },
  { kind: 'baseline', run: 'r', value: '9.5', timeMs: 2500 },
  { kind: 'called', call: 'a', onsetMs: 3000, endMs: 3400, timing: 'sound', uOnsetMs: 15, clip: true, run: 'r' },
  { kind: 'heard', call: 'a', ear: 'own', alternatives: [{ text: 'eleven', p: 0.9 }], final: true },
  {
    kind: 'judged',
    call: 'a',
    outcome: 'doubtful',
    meaning: { kind: 'reading', values: [{ value: '11' }] },
    rivals: [{ meaning: { kind: 'reading', values: [{ value: '7' }] }, p: 0.2, why: 'sounds alike' }],
    reason: 'not clear',
    by: 'ear',
  },
  { kind: 'corrected', reading: 'a#0', value: '12', by: 'voice' },
  { kind: 'struck', reading: 'a#0', by: 'hand' },
  { kind: 'restored', reading: 'a#0' },
  { kind: 'set-aside', reading: 'a#0', cause: 'late-call', why: 'looked away' },
  { kind: 'happened', run: 'r', what: 'leak', timeMs: 4000 },
  { kind: 'temperature', run: null, value: '21.5', timeMs: 4500 },
  { kind: 'run-ended', run: 'r', timeMs: 60_000 },
  { kind: 'paused' },
];

/** A key that was pressed and never judged is no call. */
const key: EventBody = {
  kind: 'called',
  call: 'k',
  onsetMs: 9000,
  endMs: null,
  timing: 'key',
  uOnsetMs: 100,
  clip: false,
  run: null,
};

const empty: NotebookState = {
  title: '',
  group: '',
  members: '',
  classPlan: { groups: [], questions: '' },
  seed: 0,
  invented: false,
  createdWallMs: 0,
  setup: defaultSetup,
  plan: null,
  runs: [],
  removedRuns: [],
  openRun: null,
  paused: false,
  calls: [],
  timed: [],
  step: 0,
  stepMs: null,
  skipped: [],
  joints: [],
  undoable: [],
  acts: [],
  events: 0,
  lastMs: 0,
  clipsDeleted: false,
};

test('a notebook without events is empty', () => {
  expect(reduce([])).toEqual(empty);
});

test('every event of a short day leaves its trace, and nothing else', () => {
  const events = stamped(...day);
  const state = reduce(events);
  const [first] = events;
  const id = (k: number): string => events[k]?.id ?? '';
  const change = (k: number, by: string, what: string, value: string, reason = '') => ({
    event: id(k),
    atMs: events[k]?.atMs,
    by,
    what,
    value,
    reason,
  });
  const judged = change(6, 'ear', 'judged', '11', 'not clear');
  const rivals = [{ meaning: { kind: 'reading', values: [{ value: '7' }] }, p: 0.2, why: 'sounds alike' }];
  const timed = [
    { event: id(3), timeMs: 2500, run: 'r', call: null, kind: 'baseline', value: '9.5' },
    { event: id(11), timeMs: 4000, run: 'r', call: null, kind: 'happened', what: 'leak' },
  ];
  expect(state).toEqual({
    ...empty,
    title: 'Day one',
    seed: 7,
    invented: true,
    createdWallMs: first?.wallMs,
    paused: true,
    runs: [
      {
        id: 'r',
        label: '1',
        startedMs: 2000,
        endedMs: 60_000,
        estimator: null,
        baseline: '9.5',
        timed,
        readings: [
          {
            id: 'a#0',
            call: 'a',
            run: 'r',
            timeMs: 3000,
            uTimeMs: 15,
            timing: 'sound',
            value: '12',
            volumeMl: 12,
            marked: false,
            outcome: 'taken',
            settled: true,
            // Kept: what else was heard, though a person has settled it.
            rivals,
            struck: false,
            setAside: { cause: 'late-call', why: 'looked away' },
            history: [
              judged,
              change(7, 'voice', 'corrected', '12'),
              change(8, 'hand', 'struck', '12'),
              change(9, 'hand', 'restored', '12'),
              change(10, 'hand', 'set-aside', '12', 'looked away'),
            ],
          },
        ],
      },
    ],
    calls: [
      {
        id: 'a',
        onsetMs: 3000,
        endMs: 3400,
        timing: 'sound',
        uOnsetMs: 15,
        clip: true,
        run: 'r',
        heard: [{ ear: 'own', alternatives: [{ text: 'eleven', p: 0.9 }], final: true, lagMs: null }],
        outcome: 'doubtful',
        meaning: { kind: 'reading', values: [{ value: '11' }] },
        rivals,
        reason: 'not clear',
        by: 'ear',
        readings: ['a#0'],
        history: [judged],
      },
    ],
    timed: [...timed, { event: id(12), timeMs: 4500, run: null, call: null, kind: 'temperature', value: '21.5' }],
    // What "undo" takes back, one after the other; not what the tool did by itself.
    undoable: [2, 3, 7, 8, 9, 10, 11, 12, 13].map(id),
    acts: [2, 3, 7, 8, 9, 10, 11, 12, 13].map((k) => day[k]),
    events: day.length,
    lastMs: events.at(-1)?.atMs,
  });
});

test('undone one after the other, the acts leave their traces no more', () => {
  const undo = (...acts: readonly number[]): NotebookState => {
    const events = stamped(...day);
    return reduce(stamped(...day, ...acts.map((k): EventBody => ({ kind: 'undone', event: events[k]?.id ?? '' }))));
  };
  expect(undo(13).runs[0]?.endedMs).toBeNull();
  expect(undo(13).openRun).toBe('r');
  expect(undo(12).timed).toHaveLength(2);
  expect(undo(11).runs[0]?.timed).toHaveLength(1);
  expect(undo(10).runs[0]?.readings[0]?.setAside).toBeNull();
  expect(undo(9).runs[0]?.readings[0]?.struck).toBe(true);
  expect(undo(9, 8).runs[0]?.readings[0]?.struck).toBe(false);
  expect(undo(7).runs[0]?.readings[0]).toMatchObject({ value: '11', settled: false, outcome: 'doubtful' });
  expect(undo(3).runs[0]?.baseline).toBeNull();
  expect(undo(13).undoable).toHaveLength(8);
});

test('a key that came to nothing is no call; once it is judged it is one', () => {
  const judged: EventBody = {
    kind: 'judged',
    call: 'k',
    outcome: 'command',
    meaning: { kind: 'stand-by' },
    rivals: [],
    reason: '',
    by: 'hand',
  };
  expect(reduce(stamped(...day, key)).calls).toHaveLength(1);
  const state = reduce(stamped(...day, key, judged));
  expect(state.calls).toHaveLength(2);
  // By hand it was an act of the person.
  expect(state.undoable).toHaveLength(10);
  expect(reduce(stamped(...day, key, { ...judged, by: 'ear' })).undoable).toHaveLength(9);
});

test('events that come in pieces give the state of all at once, an undo among them too', () => {
  const events = stamped(...day, { kind: 'undone', event: stamped(...day)[10]?.id ?? '' }, key);
  for (const size of [1, 3, 7]) {
    const fold = makeFold();
    for (let at = 0; at < events.length; at += size) fold.append(events.slice(at, at + size));
    expect(fold.state()).toEqual(reduce(events));
  }
});
