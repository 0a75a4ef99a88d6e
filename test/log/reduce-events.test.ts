/** What each kind of event does to the state, and what it leaves alone. */
import { describe, expect, test } from 'vitest';
import { noClassPlan } from '../../src/log/class-plan.ts';
import type { EventBody } from '../../src/log/event.ts';
import { makeFold, reduce, undoneEvents } from '../../src/log/reduce.ts';
import { eventsBetweenRests } from '../../src/log/rest.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import type { NotebookState, TimedEvent } from '../../src/log/state.ts';
import { created, judged, reading, stamped, startRun } from './events.ts';

const stateOf = (...bodies: EventBody[]): NotebookState => reduce(stamped(created, ...bodies));
const oneReading = [startRun('r1', '1'), ...reading('a', 10, '15')];
const firstReading = (state: NotebookState) => state.runs[0]?.readings[0];
const called = (call: string, onsetMs: number, more: Partial<EventBody & { kind: 'called' }> = {}): EventBody => ({
  kind: 'called',
  call,
  onsetMs,
  endMs: onsetMs + 500,
  timing: 'sound',
  uOnsetMs: 10,
  clip: true,
  run: 'r1',
  ...more,
});
const baseline = (value: string, timeMs: number, run: string | null = null): EventBody => ({
  kind: 'baseline',
  value,
  timeMs,
  run,
});
const timedOf = (state: NotebookState, run: number) =>
  state.runs[run]?.timed.map((one: TimedEvent) => ('value' in one ? one.value : one.kind));

test('the latest moment of any event is kept, also when a later event has an earlier one', () => {
  const [first, second] = stamped(created, { kind: 'paused' }, { kind: 'resumed' });
  if (!first || !second) throw new Error('two events');
  expect(reduce([first, { ...second, atMs: 9000 }, { ...second, id: 'nb-9', seq: 3, atMs: 4000 }]).lastMs).toBe(9000);
});

describe('what can be taken back', () => {
  const acts: EventBody[] = [
    { kind: 'titled', title: 'T' },
    { kind: 'grouped', group: 'G' },
    { kind: 'members-named', members: 'M' },
    { kind: 'class-planned', classPlan: noClassPlan },
    { kind: 'set-up', setup: defaultSetup },
    startRun('r1', '1'),
    { kind: 'run-renamed', run: 'r1', label: '2' },
    { kind: 'run-removed', run: 'r1', how: 'set-aside', why: '' },
    { kind: 'run-returned', run: 'r1' },
    { kind: 'run-split', run: 'r1', at: 'a#0', into: 'r2', label: '3' },
    { kind: 'run-joined', run: 'r2', into: 'r1' },
    { kind: 'runs-ordered', runs: ['r1'] },
    { kind: 'run-ended', run: 'r1' },
    { kind: 'corrected', reading: 'a#0', value: '1', by: 'hand' },
    { kind: 'struck', reading: 'a#0', by: 'hand' },
    { kind: 'restored', reading: 'a#0' },
    { kind: 'set-aside', reading: 'a#0', cause: 'late-call', why: '' },
    { kind: 'put-back', reading: 'a#0' },
    { kind: 'happened', what: 'leak', timeMs: 1, run: null },
    { kind: 'baseline', value: '1', timeMs: 1, run: null },
    { kind: 'temperature', value: '1', timeMs: 1, run: null },
    { kind: 'poured', value: '1', reagent: 'a', timeMs: 1, run: null, settled: 'open' },
    { kind: 'note', text: 'n', timeMs: 1, run: null },
    { kind: 'condition-skipped', condition: 'pressure' },
    { kind: 'clock-settled', joint: 'nb-1', run: 'r1', byMs: 0 },
    { kind: 'estimate-chosen', run: 'r1', estimator: 'line' },
    judged('a', '1', { by: 'hand' }),
    judged('a', '1', { by: 'voice' }),
  ];
  test.each(acts.map((body) => ['by' in body ? `${body.kind} by ${body.by}` : body.kind, body] as const))(
    '%s',
    (_, body) => {
      const state = stateOf(body);
      expect(state.undoable).toEqual(['nb-2']);
      expect(state.acts).toEqual([body]);
    },
  );

  const heard: EventBody[] = [
    { kind: 'opened', joined: 'first' },
    { kind: 'clock-doubted', gapMs: 5000 },
    called('a', 1000),
    { kind: 'heard', call: 'a', ear: 'own', alternatives: [], final: true },
    judged('a', '1'),
    judged('a', '1', { by: 'expectation' }),
    { kind: 'paused' },
    { kind: 'resumed' },
    { kind: 'step-reached', step: 3 },
    { kind: 'clips-deleted' },
  ];
  test.each(heard.map((body) => ['by' in body ? `${body.kind} by ${body.by}` : body.kind, body] as const))(
    'not what was only heard or noted: %s',
    (_, body) => {
      expect(stateOf(body)).toMatchObject({ undoable: [], acts: [] });
    },
  );

  test('only what came before, and no event but an undo takes anything back', () => {
    const events = stamped(
      created,
      { kind: 'undone', event: 'nb-3' },
      { kind: 'titled', title: 'later' },
      {
        kind: 'undone',
        event: 'nb-4',
      },
    );
    expect([...undoneEvents(events)]).toEqual([]);
    expect(reduce(events).title).toBe('later');
  });

  test('a log that is folded with rests in between gives the same state', async () => {
    const bodies = Array.from(
      { length: eventsBetweenRests + 3 },
      (_, i): EventBody => ({ kind: 'titled', title: `${i}` }),
    );
    const events = stamped(created, ...oneReading, ...bodies, { kind: 'undone', event: `nb-${bodies.length + 4}` });
    const fold = makeFold();
    await fold.appendSlowly(events);
    expect(fold.state()).toEqual(reduce(events));
    expect(fold.state().title).toBe(String(bodies.length - 2));
  });

  test('a fold that goes on forgets an act that is taken back later, and counts every event', () => {
    const fold = makeFold();
    const events = stamped(created, { kind: 'titled', title: 'wrong' }, { kind: 'undone', event: 'nb-2' });
    fold.append(events.slice(0, 2));
    expect(fold.state()).toMatchObject({ title: 'wrong', events: 2 });
    fold.append(events.slice(2));
    expect(fold.state()).toMatchObject({ title: 'Trial', events: 3, undoable: [] });
  });
});

describe('joints of the clock', () => {
  test('the first opening is none; one of known length is a reload, one of unknown length a gap', () => {
    const state = stateOf(
      { kind: 'opened', joined: 'first' },
      { kind: 'opened', joined: 'wall-clock' },
      { kind: 'opened', joined: 'unknown' },
    );
    expect(state.joints).toEqual([
      { event: 'nb-3', atMs: 2000, fromMs: 1000, why: 'reload', missedMs: 0, settled: false },
      { event: 'nb-4', atMs: 3000, fromMs: 2000, why: 'unknown-gap', missedMs: 0, settled: false },
    ]);
  });

  test('a doubted clock parts just after the event before it', () => {
    expect(stateOf({ kind: 'paused' }, { kind: 'clock-doubted', gapMs: 5000 }).joints).toEqual([
      { event: 'nb-3', atMs: 1000.1, fromMs: 1000, why: 'clock-doubted', missedMs: 5000, settled: false },
    ]);
  });

  /** A reading, a baseline and a call on each side of a reload at 20 s (the second reading is called at 30 s). */
  const aroundReload = (byMs: number, ...more: EventBody[]): NotebookState => {
    const before = stamped(created, startRun('r1', '1'), startRun('r2', '2'), baseline('9', 5000, 'r1'));
    const bodies = [baseline('8', 6000, 'r2'), ...reading('a', 10, '15'), ...reading('x', 12, '1', 'r2')];
    const rest: EventBody[] = [
      { kind: 'opened', joined: 'wall-clock' },
      ...reading('b', 30, '17'),
      baseline('10', 31_000, 'r1'),
      called('k', 15_000, { endMs: null }),
      { kind: 'clock-settled', joint: 'nb-10', run: 'r1', byMs },
      ...more,
    ];
    const all = [...before.map(({ body }) => body), ...bodies, ...rest];
    return reduce(stamped(...all).map((event, i) => (i < 9 ? event : { ...event, atMs: 20_000 + i })));
  };

  test('moving what the run had before it moves readings, calls, happenings and the start; the rest stays', () => {
    const state = aroundReload(4000);
    expect(state.joints).toMatchObject([{ event: 'nb-10', settled: true }]);
    const [first, second] = state.runs;
    expect(first?.readings.map(({ timeMs }) => timeMs)).toEqual([14_000, 30_000]);
    expect(first?.timed.map(({ timeMs }) => timeMs)).toEqual([9000, 31_000]);
    expect(first?.startedMs).toBe(5000);
    expect(first).toMatchObject({ id: 'r1', label: '1', endedMs: null });
    expect(second?.readings.map(({ timeMs }) => timeMs)).toEqual([12_000]);
    expect(second?.timed.map(({ timeMs }) => timeMs)).toEqual([6000]);
    expect(second?.startedMs).toBe(2000);
    expect(state.timed.map(({ timeMs }) => timeMs)).toEqual([9000, 6000, 31_000]);
    expect(state.calls.map(({ id, onsetMs, endMs }) => [id, onsetMs, endMs])).toEqual([
      ['a', 14_000, 14_600],
      ['x', 12_000, 12_600],
      ['k', 19_000, null],
      ['b', 30_000, 30_600],
    ]);
  });

  test('that its times stand settles it and moves nothing', () => {
    const state = aroundReload(0);
    expect(state.joints).toMatchObject([{ settled: true }]);
    expect(state.runs[0]?.readings.map(({ timeMs }) => timeMs)).toEqual([10_000, 30_000]);
  });

  test('what lies just at the joint stays where it is', () => {
    const at = reduce(
      stamped(created, startRun('r1'), called('a', 3000), judged('a', '15'), called('b', 4000), judged('b', '16'), {
        kind: 'paused',
      }).concat(
        stamped(
          ...Array.from({ length: 7 }, () => created),
          { kind: 'opened', joined: 'wall-clock' },
          { kind: 'opened', joined: 'unknown' },
          { kind: 'clock-settled', joint: 'nb-1', run: 'r1', byMs: 500 },
          { kind: 'clock-settled', joint: 'nb-8', run: 'r1', byMs: 500 },
        )
          .slice(7)
          .map((event) => (event.id === 'nb-8' ? { ...event, atMs: 4000 } : event)),
      ),
    );
    expect(at.joints.map(({ settled }) => settled)).toEqual([true, false]);
    expect(at.runs[0]?.readings.map(({ timeMs }) => timeMs)).toEqual([3500, 4000]);
    expect(at.calls.map(({ onsetMs, endMs }) => [onsetMs, endMs])).toEqual([
      [3500, 4000],
      [4000, 4500],
    ]);
  });

  test('it is settled once, and one that is not there changes nothing', () => {
    const again = aroundReload(
      4000,
      { kind: 'clock-settled', joint: 'nb-10', run: 'r1', byMs: 1000 },
      { kind: 'clock-settled', joint: 'nb-1', run: 'r1', byMs: 1000 },
    );
    expect(again.runs).toEqual(aroundReload(4000).runs);
  });
});

describe('runs', () => {
  test('a run starts and ends when it was called, or when the event came', () => {
    const [said, pressed] = stateOf(
      { kind: 'run-started', run: 'r1', label: '1', timeMs: 300 },
      { kind: 'run-ended', run: 'r1', timeMs: 700 },
      startRun('r2', '2'),
      { kind: 'run-ended', run: 'r2' },
    ).runs;
    expect(said).toMatchObject({ label: '1', startedMs: 300, endedMs: 700, estimator: null });
    expect(pressed).toMatchObject({ label: '2', startedMs: 3000, endedMs: 4000 });
  });

  test('the end of another run leaves the open one open', () => {
    const two = [startRun('r1', '1'), startRun('r2', '2')];
    expect(stateOf(...two, { kind: 'run-ended', run: 'r1' }).openRun).toBe('r2');
    expect(stateOf(...two, { kind: 'run-ended', run: 'r2' }).openRun).toBeNull();
    expect(stateOf(...two, { kind: 'run-ended', run: 'none' }).openRun).toBe('r2');
  });

  test('a start goes on after "stand by"', () => {
    expect(stateOf({ kind: 'paused' }).paused).toBe(true);
    expect(stateOf({ kind: 'paused' }, { kind: 'resumed' }).paused).toBe(false);
    expect(stateOf({ kind: 'paused' }, startRun('r1')).paused).toBe(false);
  });

  test('a run that is started again keeps its readings, happenings and estimator', () => {
    const state = stateOf(
      ...oneReading,
      baseline('9', 500, 'r1'),
      { kind: 'estimate-chosen', run: 'r1', estimator: 'quadratic' },
      { kind: 'run-started', run: 'r1', label: '4', timeMs: 6000 },
    );
    expect(state.runs).toMatchObject([{ label: '4', startedMs: 6000, estimator: 'quadratic', baseline: '9' }]);
    expect(state.runs[0]?.readings).toHaveLength(1);
  });

  test('the latest baseline of a run counts, whatever came after it', () => {
    const state = stateOf(startRun('r1'), baseline('9', 100, 'r1'), baseline('10', 200, 'r1'), {
      kind: 'temperature',
      value: '21',
      timeMs: 300,
      run: 'r1',
    });
    expect(state.runs[0]?.baseline).toBe('10');
    expect(stateOf(startRun('r1')).runs[0]?.baseline).toBeNull();
  });

  test('calls since the start without a run join it, with their readings; earlier ones and those of a run do not', () => {
    const state = stateOf(
      ...reading('early', 1, '1', null),
      ...reading('late', 4, '6', null),
      ...reading('mid', 3, '5', null),
      ...reading('other', 5, '7', 'elsewhere'),
      { kind: 'run-started', run: 'r1', label: '1', timeMs: 3000 },
    );
    expect(state.runs[0]?.readings.map(({ id, run }) => [id, run])).toEqual([
      ['mid#0', 'r1'],
      ['late#0', 'r1'],
    ]);
    expect(state.calls.map(({ id, run }) => [id, run])).toEqual([
      ['early', null],
      ['mid', 'r1'],
      ['late', 'r1'],
      ['other', 'elsewhere'],
    ]);
  });

  test('the very first call can join it as well', () => {
    const state = stateOf(...reading('a', 4, '6', null), { kind: 'run-started', run: 'r1', label: '1', timeMs: 3000 });
    expect(state.runs[0]?.readings.map(({ id }) => id)).toEqual(['a#0']);
  });

  test('a run that was taken out stands apart, with how and why, until it comes back', () => {
    const out: EventBody = { kind: 'run-removed', run: 'r1', how: 'deleted', why: 'stopper off' };
    expect(stateOf(...oneReading, out)).toMatchObject({
      runs: [],
      openRun: null,
      removedRuns: [{ how: 'deleted', why: 'stopper off', run: { id: 'r1', readings: [{ value: '15' }] } }],
    });
    expect(stateOf(...oneReading, out, { kind: 'run-returned', run: 'r1' })).toMatchObject({
      runs: [{ id: 'r1' }],
      removedRuns: [],
    });
  });

  test('what was called after the run before ended belongs to the next; a pour only to the run it was meant for', () => {
    const pour = (timeMs: number, forRun?: string): EventBody => ({
      kind: 'poured',
      value: String(timeMs),
      reagent: 'acid',
      timeMs,
      run: null,
      settled: 'as-planned',
      ...(forRun === undefined ? {} : { forRun }),
    });
    const state = stateOf(
      startRun('r1', '1'),
      baseline('4', 1500),
      { kind: 'run-ended', run: 'r1', timeMs: 2000 },
      baseline('1', 1999),
      baseline('2', 2000),
      pour(2100),
      pour(2200, '2'),
      pour(2300, '3'),
      baseline('late', 2350, 'r1'),
      { kind: 'note', text: 'n', timeMs: 2400, run: null },
      startRun('r2', '2'),
    );
    expect(timedOf(state, 0)).toEqual(['late']);
    expect(timedOf(state, 1)).toEqual(['2', '2100', '2200', 'note']);
  });

  test('preparation counts from the start of a run that was never ended, and only once', () => {
    const state = stateOf(startRun('r1', '1'), baseline('1', 900), baseline('2', 1000), startRun('r2', '2'), {
      kind: 'run-started',
      run: 'r2',
      label: '2',
      timeMs: 5000,
    });
    expect(timedOf(state, 1)).toEqual(['2']);
  });

  test('a run that was typed in does not part the preparation', () => {
    const state = stateOf(
      baseline('1', 10),
      {
        kind: 'readings-entered',
        run: 'typed',
        label: '9',
        timing: 'hand',
        stated: true,
        fromMs: 50_000,
        readings: [{ time: '1', value: '2', uTimeMs: 500 }],
      },
      startRun('r1', '1'),
    );
    const own = state.runs.find(({ id }) => id === 'r1');
    expect(own?.baseline).toBe('1');
  });
});

describe('calls', () => {
  test('a call as it was heard waits for its judgement', () => {
    expect(stateOf(called('a', 3000, { overSpeech: true })).calls).toEqual([
      {
        id: 'a',
        onsetMs: 3000,
        endMs: 3500,
        timing: 'sound',
        uOnsetMs: 10,
        clip: true,
        run: 'r1',
        overSpeech: true,
        heard: [],
        outcome: 'waiting',
        meaning: null,
        rivals: [],
        reason: '',
        by: 'ear',
        readings: [],
        history: [],
      },
    ]);
    expect(stateOf(called('a', 3000)).calls[0]).not.toHaveProperty('overSpeech');
  });

  test('a sound that comes after the words gives the call a better moment, at its new place', () => {
    const words = called('a', 5000, { timing: 'words', uOnsetMs: 300, clip: false, run: null });
    const sound = called('a', 3000, { run: 'r1' });
    const state = stateOf(called('b', 4000), words, sound);
    expect(state.calls.map(({ id }) => id)).toEqual(['a', 'b']);
    expect(state.calls[0]).toMatchObject({
      onsetMs: 3000,
      endMs: 3500,
      timing: 'sound',
      uOnsetMs: 10,
      clip: true,
      run: 'r1',
    });
    const kept = stateOf(called('a', 5000, { run: 'r9' }), called('a', 3000, { clip: false, run: 'r1' }));
    expect(kept.calls[0]).toMatchObject({ run: 'r9', clip: true });
    const without = stateOf(called('a', 5000, { clip: false }), called('a', 3000, { clip: false }));
    expect(without.calls[0]?.clip).toBe(false);
  });

  test('a finished answer of an ear stays, an unfinished one gives way to the next of the same ear', () => {
    const say = (ear: 'own' | 'browser', text: string, final: boolean, lagMs?: number): EventBody => ({
      kind: 'heard',
      call: 'a',
      ear,
      alternatives: [{ text, p: 0.5 }],
      final,
      ...(lagMs === undefined ? {} : { lagMs }),
    });
    const heard = (...answers: EventBody[]) =>
      stateOf(called('a', 1000), ...answers).calls[0]?.heard.map(
        ({ ear, alternatives }) => `${ear} ${alternatives[0]?.text}`,
      );
    expect(heard(say('own', 'six', false), say('own', 'sixty', true))).toEqual(['own sixty']);
    expect(heard(say('own', 'six', true), say('own', 'sixty', true))).toEqual(['own six', 'own sixty']);
    expect(heard(say('browser', 'six', false), say('own', 'sixty', true))).toEqual(['browser six', 'own sixty']);
    expect(heard(say('own', 'ten', true), say('own', 'six', false), say('own', 'sixty', true))).toEqual([
      'own ten',
      'own sixty',
    ]);
    const lags = stateOf(called('a', 1000), say('own', 'six', true, 70), say('own', 'six', true)).calls[0];
    expect(lags?.heard.map(({ lagMs, final }) => [lagMs, final])).toEqual([
      [70, true],
      [null, true],
    ]);
  });

  test('deleting the clips takes them from every call', () => {
    const state = stateOf(called('a', 1000), called('b', 2000, { clip: false }), { kind: 'clips-deleted' });
    expect(state.clipsDeleted).toBe(true);
    expect(state.calls.map(({ clip }) => clip)).toEqual([false, false]);
    expect(stateOf(called('a', 1000))).toMatchObject({ clipsDeleted: false, calls: [{ clip: true }] });
  });

  test('a key that was never judged is no call, any other waiting call is', () => {
    const key = called('k', 1000, { timing: 'key' });
    expect(stateOf(key, called('a', 2000)).calls.map(({ id }) => id)).toEqual(['a']);
    expect(stateOf(key, judged('k', '5', { by: 'hand' })).calls.map(({ id }) => id)).toEqual(['k']);
  });

  test('words and judgements about a call that is not there change nothing', () => {
    const heard: EventBody = { kind: 'heard', call: 'z', ear: 'own', alternatives: [], final: true };
    expect(stateOf(heard, judged('z', '5')).calls).toEqual([]);
  });
});

describe('judgements', () => {
  test('a reading has the moment, the uncertainty and the words of its call', () => {
    expect(firstReading(stateOf(...oneReading))).toEqual({
      id: 'a#0',
      call: 'a',
      run: 'r1',
      timeMs: 10_000,
      uTimeMs: 10,
      timing: 'sound',
      value: '15',
      volumeMl: 15,
      marked: false,
      outcome: 'taken',
      settled: false,
      rivals: [],
      struck: false,
      setAside: null,
      history: [{ event: 'nb-4', atMs: 3000, by: 'ear', what: 'judged', value: '15', reason: 'one value' }],
    });
  });

  test('the call keeps the judgement and its history', () => {
    const rivals = [{ meaning: { kind: 'reading' as const, values: [{ value: '50' }] }, p: 0.2, why: 'alike' }];
    const state = stateOf(
      startRun('r1'),
      called('a', 1000),
      judged('a', '15', { outcome: 'doubtful', rivals, reason: 'not clear', by: 'expectation' }),
    );
    expect(state.calls[0]).toMatchObject({
      outcome: 'doubtful',
      meaning: { kind: 'reading' },
      rivals,
      reason: 'not clear',
      by: 'expectation',
      readings: ['a#0'],
      history: [{ event: 'nb-4', atMs: 3000, by: 'expectation', what: 'judged', value: '15', reason: 'not clear' }],
    });
    expect(firstReading(state)).toMatchObject({ outcome: 'doubtful', rivals, settled: false });
  });

  test('only a person settles a value, and not one that stays in doubt', () => {
    const settled = (more: Partial<EventBody & { kind: 'judged' }>) =>
      firstReading(stateOf(startRun('r1'), called('a', 1000), judged('a', '15', more)))?.settled;
    expect(settled({ by: 'ear' })).toBe(false);
    expect(settled({ by: 'expectation' })).toBe(false);
    expect(settled({ by: 'hand' })).toBe(true);
    expect(settled({ by: 'voice' })).toBe(true);
    expect(settled({ by: 'hand', outcome: 'doubtful' })).toBe(false);
  });

  test.each(['hand', 'voice'] as const)('what a person judged by %s the machine does not judge again', (by) => {
    const start = [startRun('r1'), called('a', 1000), judged('a', '15', { by })];
    for (const machine of ['ear', 'expectation'] as const)
      expect(firstReading(stateOf(...start, judged('a', '13', { by: machine })))?.value).toBe('15');
    expect(firstReading(stateOf(...start, judged('a', '13', { by: 'hand' })))?.value).toBe('13');
  });

  test.each(['hand', 'voice'] as const)('what a person called no reading by %s stays none', (by) => {
    const none = judged('a', '', { outcome: 'not-a-reading', meaning: { kind: 'disregard' }, by });
    const state = stateOf(startRun('r1'), called('a', 1000), none, judged('a', '13'));
    expect(state.runs[0]?.readings).toEqual([]);
    expect(state.calls[0]?.history).toHaveLength(1);
  });

  test('one call judged again leaves the readings of the others in the run, in order of time', () => {
    const state = stateOf(...oneReading, ...reading('b', 20, '17'), ...reading('c', 30, '19'), judged('b', '18'));
    expect(state.runs[0]?.readings.map(({ value }) => value)).toEqual(['15', '18', '19']);
  });

  test('a reading that was taken back begins its history anew when it comes again', () => {
    const none = judged('a', '', { outcome: 'not-a-reading', meaning: { kind: 'disregard' } });
    const state = stateOf(...oneReading, { kind: 'struck', reading: 'a#0', by: 'hand' }, none, judged('a', '15'));
    expect(firstReading(state)).toMatchObject({ struck: false, history: [{ value: '15' }] });
  });

  test('the machine judges its own judgement again', () => {
    const state = stateOf(...oneReading, judged('a', '50', { by: 'expectation' }));
    expect(firstReading(state)).toMatchObject({ value: '50', history: [{ value: '15' }, { value: '50' }] });
    expect(state.runs[0]?.readings).toHaveLength(1);
  });

  test('a value at a mark is marked until it is corrected', () => {
    const mark = judged('a', '15', { meaning: { kind: 'reading', values: [{ value: '15' }], marked: true } });
    const start = [startRun('r1'), called('a', 1000), mark];
    expect(firstReading(stateOf(...start))?.marked).toBe(true);
    expect(
      firstReading(stateOf(...start, { kind: 'corrected', reading: 'a#0', value: '16', by: 'expectation' })),
    ).toMatchObject({ marked: false, value: '16', volumeMl: 16, settled: false, outcome: 'taken' });
  });

  test('a correction settles by hand or voice, and never unsettles', () => {
    const by = (...who: ('hand' | 'voice' | 'expectation')[]) =>
      firstReading(
        stateOf(
          ...oneReading,
          ...who.map((one): EventBody => ({ kind: 'corrected', reading: 'a#0', value: '16', by: one })),
        ),
      )?.settled;
    expect(by('hand')).toBe(true);
    expect(by('voice')).toBe(true);
    expect(by('expectation')).toBe(false);
    expect(by('voice', 'expectation')).toBe(true);
  });

  test('unresolved words, and words that are no reading, take the reading back out of the run', () => {
    for (const more of [
      { outcome: 'unresolved' },
      { outcome: 'not-a-reading', meaning: { kind: 'disregard' } },
    ] as const) {
      const state = stateOf(...oneReading, judged('a', '15', { ...more, by: 'hand' }));
      expect(state.runs[0]?.readings).toEqual([]);
      expect(state.calls[0]).toMatchObject({ outcome: more.outcome, readings: [], history: [{}, { value: null }] });
    }
  });

  test('two values that become one leave one reading, which keeps what was done to it', () => {
    const two = judged('a', '15', {
      meaning: {
        kind: 'reading',
        values: [
          { value: '15', timeMs: 1200 },
          { value: '17', timeMs: 1900 },
        ],
      },
    });
    const state = stateOf(
      startRun('r1'),
      called('a', 1000),
      two,
      { kind: 'struck', reading: 'a#0', by: 'hand' },
      { kind: 'set-aside', reading: 'a#0', cause: 'late-call', why: 'late' },
      judged('a', '16', { by: 'hand' }),
    );
    expect(state.runs[0]?.readings).toMatchObject([
      { id: 'a#0', timeMs: 1000, value: '16', struck: true, setAside: { cause: 'late-call', why: 'late' } },
    ]);
    expect(firstReading(state)?.history.map(({ what }) => what)).toEqual(['judged', 'struck', 'set-aside', 'judged']);
  });

  test('a call outside of a run gives a reading of no run', () => {
    const state = stateOf(...reading('a', 3, '15', null), { kind: 'struck', reading: 'a#0', by: 'hand' });
    expect(state).toMatchObject({ runs: [], calls: [{ readings: ['a#0'], run: null }] });
  });
});

test('strike, restore, set aside and put back are in the history, each with who did it and why', () => {
  const state = stateOf(
    ...oneReading,
    { kind: 'struck', reading: 'a#0', by: 'voice' },
    { kind: 'restored', reading: 'a#0' },
    { kind: 'set-aside', reading: 'a#0', cause: 'late-call', why: 'looked away' },
    { kind: 'put-back', reading: 'a#0' },
    { kind: 'struck', reading: 'none#0', by: 'hand' },
  );
  expect(firstReading(state)).toMatchObject({ struck: false, setAside: null, value: '15' });
  expect(firstReading(state)?.history.slice(1)).toEqual([
    { event: 'nb-5', atMs: 4000, by: 'voice', what: 'struck', value: '15', reason: '' },
    { event: 'nb-6', atMs: 5000, by: 'hand', what: 'restored', value: '15', reason: '' },
    { event: 'nb-7', atMs: 6000, by: 'hand', what: 'set-aside', value: '15', reason: 'looked away' },
    { event: 'nb-8', atMs: 7000, by: 'hand', what: 'put-back', value: '15', reason: '' },
  ]);
  const aside = stateOf(...oneReading, { kind: 'set-aside', reading: 'a#0', cause: 'late-call', why: 'looked away' });
  expect(firstReading(aside)?.setAside).toEqual({ cause: 'late-call', why: 'looked away' });
});

test('an unread value of the state is made anew when its run changes, and stays when another does', () => {
  const fold = makeFold();
  const events = stamped(created, ...oneReading, startRun('r2'), { kind: 'struck', reading: 'a#0', by: 'hand' });
  fold.append(events.slice(0, 5));
  const [first, second] = fold.state().runs;
  fold.append(events.slice(5));
  const [changed, same] = fold.state().runs;
  expect(first?.readings[0]?.struck).toBe(false);
  expect(changed?.readings[0]?.struck).toBe(true);
  expect(same).toBe(second);
});

test('happenings, temperatures, pours and notes keep what they say', () => {
  const state = stateOf(
    startRun('r1'),
    { kind: 'happened', what: 'leak', timeMs: 1, run: 'r1', call: 'c' },
    { kind: 'temperature', value: '21.5', timeMs: 2, run: 'r1' },
    { kind: 'note', text: 'bubbles', timeMs: 3, run: 'r1' },
    { kind: 'poured', value: '25', reagent: 'acid', timeMs: 4, run: 'r1', settled: 'accepted' },
    {
      kind: 'poured',
      value: '26',
      reagent: 'acid',
      solution: 'B',
      forRun: '1',
      replaces: 'nb-6',
      timeMs: 5,
      run: 'r1',
      settled: 'topped-up',
    },
  );
  const poured = { kind: 'poured', reagent: 'acid', run: 'r1', call: null };
  expect(state.timed).toEqual([
    { event: 'nb-3', timeMs: 1, run: 'r1', call: 'c', kind: 'happened', what: 'leak' },
    { event: 'nb-4', timeMs: 2, run: 'r1', call: null, kind: 'temperature', value: '21.5' },
    { event: 'nb-5', timeMs: 3, run: 'r1', call: null, kind: 'note', text: 'bubbles' },
    {
      ...poured,
      event: 'nb-6',
      timeMs: 4,
      value: '25',
      solution: null,
      forRun: null,
      settled: 'accepted',
      replaces: null,
    },
    {
      ...poured,
      event: 'nb-7',
      timeMs: 5,
      value: '26',
      solution: 'B',
      forRun: '1',
      settled: 'topped-up',
      replaces: 'nb-6',
    },
  ]);
  expect(state.runs[0]?.timed).toEqual(state.timed);
});

test('the checklist, skipped conditions, names and plans are as last said', () => {
  const classPlan = { groups: ['Red'], questions: 'Why?' };
  const setup = { ...defaultSetup, stepMl: 5 };
  const plan = { reaction: 'x', stocks: [], dilutions: [], runs: [] } as unknown as NonNullable<NotebookState['plan']>;
  const state = stateOf(
    { kind: 'step-reached', step: 2 },
    { kind: 'step-reached', step: 4 },
    { kind: 'condition-skipped', condition: 'pressure' },
    { kind: 'condition-skipped', condition: 'pressure' },
    { kind: 'titled', title: '  Day ' },
    { kind: 'grouped', group: ' Group ' },
    { kind: 'members-named', members: ' Ana, Ben ' },
    { kind: 'class-planned', classPlan },
    { kind: 'set-up', setup },
    { kind: 'planned', plan },
  );
  expect(state).toMatchObject({ classPlan, setup, plan });
  expect(state).toMatchObject({ step: 4, stepMs: 2000, skipped: ['pressure'], title: 'Day', group: 'Group' });
  expect(state.members).toBe('Ana, Ben');
  expect(stateOf(created).createdWallMs).toBe(1_700_000_001_000);
});
