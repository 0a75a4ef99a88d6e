import { expect, test } from 'vitest';
import { latestUndo, undoSentence } from '../../src/bench/undo.ts';
import type { EventBody } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { created, reading, stamped, startRun } from '../log/events.ts';
import { testBench } from './bench.ts';

const after = (...bodies: EventBody[]) => reduce(stamped(created, ...bodies));
const inRun = (...bodies: EventBody[]) =>
  after(startRun('r1', '1'), ...reading('a', 10, '12'), ...reading('b', 45, '14'), ...bodies);

test('nothing to take back is said as nothing', () => {
  expect(undoSentence(after())).toBeNull();
});

test('every act says what taking it back means', () => {
  const b = 'b#0';
  const cases: [EventBody, string][] = [
    [{ kind: 'corrected', reading: b, value: '16', by: 'hand' }, 'the correction of 14 mL to 16 mL at 0:35'],
    [{ kind: 'struck', reading: b, by: 'voice' }, 'the striking of 14 mL at 0:35'],
    [{ kind: 'restored', reading: b }, 'the restoring of 14 mL at 0:35'],
    [{ kind: 'set-aside', reading: b, cause: 'surge', why: '' }, 'the setting aside of 14 mL at 0:35'],
    [{ kind: 'put-back', reading: b }, 'the putting back of 14 mL at 0:35'],
    [{ kind: 'happened', what: 'swirl-stopped', timeMs: 50_000, run: 'r1' }, 'the event “swirl stopped”'],
    [{ kind: 'baseline', value: '10', timeMs: 50_000, run: 'r1' }, 'the baseline of 10 mL'],
    [{ kind: 'temperature', value: '22.5', timeMs: 50_000, run: 'r1' }, 'the temperature of 22.5 °C'],
    [
      { kind: 'poured', value: '5', reagent: 'peroxide', timeMs: 50_000, run: null, settled: 'open' },
      'the pouring of 5 mL of peroxide',
    ],
    [{ kind: 'note', text: 'the stopper is loose', timeMs: 50_000, run: 'r1' }, 'the note “the stopper is loose”'],
    [{ kind: 'run-ended', run: 'r1', timeMs: 60_000 }, 'the end of run 1'],
    [{ kind: 'estimate-chosen', run: 'r1', estimator: 'line' }, 'the choice of the way to the rate of run 1'],
    [{ kind: 'titled', title: 'Friday' }, 'the naming of the notebook as “Friday”'],
    [{ kind: 'set-up', setup: defaultSetup }, 'the latest change of cylinder, marks or uncertainties'],
    [
      {
        kind: 'judged',
        call: 'b',
        outcome: 'taken',
        meaning: { kind: 'reading', values: [{ value: '18' }] },
        rivals: [],
        reason: '',
        by: 'hand',
      },
      'the value of 18 mL for the call at 0:35',
    ],
  ];
  for (const [body, sentence] of cases) expect(undoSentence(inRun(body))).toBe(sentence);
});

test('what more hangs on than the act itself is asked about: run sheet, settings, name, a run with readings', () => {
  expect(latestUndo(inRun())).toMatchObject({
    sentence: 'the start of run 1 (2 readings would be in no run)',
    asks: true,
  });
  expect(latestUndo(after({ kind: 'set-up', setup: defaultSetup }))?.asks).toBe(true);
  expect(latestUndo(after({ kind: 'titled', title: 'Friday' }))?.asks).toBe(true);
  expect(latestUndo(after(startRun('r1', '1')))).toMatchObject({ sentence: 'the start of run 1', asks: false });
});

test('a start that ended the run before it is taken back as one act, and that run goes on', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('start run two', 15);
  expect(undoSentence(bench.state())).toBe('the start of run 2, so that run 1 goes on');
  await bench.session.undo();
  expect(bench.state().openRun).toBe(bench.run('1').id);
  await bench.say('14', 20);
  expect(bench.run('1').readings.map(({ value }) => value)).toEqual(['12', '14']);
});

test('a renamed run gets its name back, and its readings stay', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('start run two', 6);
  await bench.say('12', 10);
  expect(undoSentence(bench.state())).toBe('the start of run 2, which was started twice');
  await bench.session.undo();
  expect(bench.run('1').readings.map(({ value }) => value)).toEqual(['12']);
});

test('a typed reading that is taken back leaves no call behind that waits for words', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.session.press({ kind: 'reading', values: [{ value: '12' }] }, 10_000);
  expect(undoSentence(bench.state())).toBe('the reading of 12 mL at 0:00');
  await bench.session.undo();
  expect(bench.run('1').readings).toEqual([]);
  expect(bench.state().calls.map((call) => call.outcome)).toEqual(['command']);
  expect(bench.session.view().exchange?.answer).toBe('Taken back: the reading of 12 mL at 0:00');
});

test('what was given by voice can be taken back as well', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('', 20);
  await bench.say('correction fourteen', 23);
  expect(undoSentence(bench.state())).toBe('the value of 14 mL for the call at 0:10');
  await bench.session.undo();
  expect(bench.state().calls[2]?.outcome).toBe('unresolved');
});
