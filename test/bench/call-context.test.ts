import { describe, expect, test } from 'vitest';
import { type CallMoment, contextOf, makeUnderstanding } from '../../src/bench/understanding.ts';
import { en } from '../../src/language/words/en.ts';
import type { EventBody } from '../../src/log/event.ts';
import type { Meaning } from '../../src/log/meaning.ts';
import { reduce } from '../../src/log/reduce.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import type { NotebookState } from '../../src/log/state.ts';

/** What a call is judged by, from a log of few events. Times in s. */

const stateOf = (...bodies: readonly EventBody[]): NotebookState =>
  reduce(
    bodies.map((body, seq) => ({ id: `e${seq}`, seq, atMs: 1000 * seq, wallMs: 1.7e12 + 1000 * seq, page: 0, body })),
  );

const started: EventBody = { kind: 'run-started', run: 'r', label: '1', timeMs: 0 };

const call = (id: string, atS: number, run: string | null = 'r', overSpeech = false): EventBody => ({
  kind: 'called',
  call: id,
  onsetMs: 1000 * atS,
  endMs: 1000 * atS + 500,
  timing: 'sound',
  uOnsetMs: 15,
  clip: false,
  run,
  ...(overSpeech ? { overSpeech: true } : {}),
});

const heard = (id: string, text: string, p: number | null = 0.97): EventBody => ({
  kind: 'heard',
  call: id,
  ear: 'own',
  alternatives: [{ text, p }],
  final: true,
});

const reading = (value: string): Meaning => ({ kind: 'reading', values: [{ value }] });

const judged = (id: string, value: string | null, rival?: string): EventBody => ({
  kind: 'judged',
  call: id,
  outcome: value === null ? 'unresolved' : rival === undefined ? 'taken' : 'doubtful',
  meaning: value === null ? null : reading(value),
  rivals: rival === undefined ? [] : [{ meaning: reading(rival), p: 0.3, why: '' }],
  reason: '',
  by: 'ear',
});

const at = (atS: number, more: Partial<CallMoment> = {}): CallMoment => ({
  call: 'now',
  onsetMs: 1000 * atS,
  run: 'r',
  ...more,
});

/** 11, 13, 15 at 10, 20, 30 s; the last one was not heard clearly. */
const three = [
  started,
  call('a', 10),
  heard('a', 'eleven'),
  judged('a', '11'),
  call('b', 20),
  heard('b', 'thirteen'),
  judged('b', '13'),
  call('c', 30),
  heard('c', 'fifty'),
  judged('c', '15'),
] as const;

describe('without a run', () => {
  test('nothing is expected, and a run that starts gets the first label', () => {
    expect(contextOf(at(5, { run: null }), stateOf(), en)).toEqual({
      frame: { stepMl: 2, startMl: null, capacityMl: 100, divisionMl: 1 },
      earlier: [],
      prediction: null,
      runOpen: false,
      paused: false,
      question: null,
      nextRun: '1',
      disturbed: false,
    });
  });

  test('the first mark of the setup is where the run will start, its step and cylinder the frame', () => {
    const setup = {
      ...defaultSetup,
      firstMarkMl: 8,
      stepMl: 5,
      cylinder: { ...defaultSetup.cylinder, capacityMl: 250 },
    };
    const { frame } = contextOf(at(5, { run: null }), stateOf({ kind: 'set-up', setup }), en);
    expect(frame).toEqual({ stepMl: 5, startMl: 8, capacityMl: 250, divisionMl: 1 });
  });
});

describe('in a run', () => {
  test('everything that was called before, with how clearly it was heard, and where the water should stand', () => {
    const context = contextOf(at(40), stateOf(...three), en);
    const settled = { settled: false, doubtful: false, rivals: [] };
    expect(context).toEqual({
      frame: { stepMl: 2, startMl: null, anchorMl: 15, capacityMl: 100, divisionMl: 1 },
      earlier: [
        { timeS: 10, value: '11', clear: true, ...settled },
        { timeS: 20, value: '13', clear: true, ...settled },
        // The ear heard "fifty" where 15 was taken.
        { timeS: 30, value: '15', clear: false, ...settled },
      ],
      prediction: { volumeMl: expect.closeTo(17, 9), uMl: expect.closeTo(0.5, 5) },
      runOpen: true,
      paused: false,
      question: null,
      nextRun: '2',
      disturbed: false,
    });
  });

  test('of a call in the middle only what came before it counts, and never the call itself', () => {
    const { earlier, prediction } = contextOf(at(20, { call: 'b' }), stateOf(...three), en);
    expect(earlier.map(({ value }) => value)).toEqual(['11']);
    expect(prediction).toBeNull();
  });

  test('after one reading marks are not sure, unless the setup names the first one', () => {
    const one = three.slice(0, 4);
    const named: EventBody = { kind: 'set-up', setup: { ...defaultSetup, firstMarkMl: 11 } };
    expect(contextOf(at(20), stateOf(...one), en).frame.marksUnsure).toBe(true);
    expect(contextOf(at(20), stateOf(named, ...one), en).frame).not.toHaveProperty('marksUnsure');
    expect(contextOf(at(30), stateOf(...three.slice(0, 7)), en).frame).not.toHaveProperty('marksUnsure');
  });

  test('a baseline, "stand by" and separate sounds are passed on', () => {
    const state = stateOf(started, { kind: 'baseline', run: 'r', value: '9.5', timeMs: 1000 }, { kind: 'paused' });
    const context = contextOf(at(20, { sounds: 2 }), state, en);
    expect(context.frame.baselineMl).toBe(9.5);
    expect(context).toMatchObject({ paused: true, sounds: 2, runOpen: true });
  });

  test('struck readings do not count; calls that gave nothing stand among the others, the tool’s own voice does not', () => {
    const struck: EventBody = { kind: 'struck', reading: 'b#0', by: 'hand' };
    const state = stateOf(
      ...three,
      struck,
      call('d', 25),
      judged('d', null),
      call('e', 27, 'r', true),
      judged('e', null),
      call('f', 28, null),
      judged('f', null),
    );
    const { earlier } = contextOf(at(40), state, en);
    expect(earlier.map(({ timeS, value }) => [timeS, value])).toEqual([
      [10, '11'],
      [25, null],
      [30, '15'],
    ]);
    expect(earlier[1]).toEqual({ timeS: 25, value: null, settled: false });
    expect(contextOf(at(25, { call: 'd' }), state, en).earlier).toHaveLength(1);
  });

  test('a doubtful reading brings its rivals, and does not pull the prediction', () => {
    const state = stateOf(...three, call('d', 40), judged('d', '50', '17'));
    const context = contextOf(at(45), state, en);
    expect(context.earlier.at(-1)).toMatchObject({ value: '50', doubtful: true, rivals: [{ value: '17', p: 0.3 }] });
    expect(context.prediction?.volumeMl).toBeCloseTo(18, 9);
  });

  test.each(['leak', 'spill', 'swirling'] as const)('%s since the last reading: the trend no longer holds', (what) => {
    const happened = (atS: number): EventBody => ({ kind: 'happened', run: 'r', what, timeMs: 1000 * atS });
    expect(contextOf(at(40), stateOf(...three, happened(35)), en).disturbed).toBe(true);
    expect(contextOf(at(40), stateOf(...three, happened(25)), en).disturbed).toBe(false);
    expect(contextOf(at(34), stateOf(...three, happened(35)), en).disturbed).toBe(false);
  });

  test('a question is open for nine seconds, and only about the latest reading', () => {
    const doubt = [...three.slice(0, 7), call('c', 30), judged('c', '15', '50')] as const;
    const asked = (atS: number, ...more: readonly EventBody[]) =>
      contextOf(at(atS), stateOf(...doubt, ...more), en).question?.choices ?? null;
    expect(asked(33)).toEqual(['15', '50']);
    expect(asked(39)).toEqual(['15', '50']);
    expect(asked(39.1)).toBeNull();
    expect(asked(33, call('d', 31), judged('d', '17'))).toBeNull();
    expect(asked(33, { kind: 'struck', reading: 'c#0', by: 'hand' })).toBeNull();
  });

  test('a rival just below is a question too, until the water had the time to rise to the value itself', () => {
    const doubt = [...three.slice(0, 7), call('c', 30), judged('c', '15', '13')] as const;
    const asked = (atS: number) => contextOf(at(atS), stateOf(...doubt), en).question?.choices ?? null;
    expect(asked(35)).toEqual(['15', '13']);
    // The call before came 10 s earlier: from six of them on the next mark may be called.
    expect(asked(36)).toBeNull();
  });
});

describe('the rest of what the session asks', () => {
  const understanding = makeUnderstanding(() => en);

  test('one plain number is a value; two, a command or nothing are none', () => {
    const value = (...texts: string[]) =>
      understanding.plainValue(texts.map((text) => ({ text, p: null, ear: 'own' })));
    expect(value('twenty five')).toBe('25');
    expect(value('25 27')).toBeNull();
    expect(value('disregard')).toBeNull();
    expect(value()).toBeNull();
  });

  test('a call without words has the next marks as its likely values', () => {
    const [first] = understanding.propose(at(40), stateOf(...three));
    expect(first?.meaning).toEqual(reading('17'));
  });

  test('later readings settle an earlier one, and only what changed is given back', () => {
    const state = stateOf(
      started,
      ...['11', '13', '50', '17', '19', '21'].flatMap((value, k) => [
        call(`c${k}`, 10 + 10 * k),
        heard(`c${k}`, value === '50' ? 'fifty' : value),
        judged(`c${k}`, value),
      ]),
    );
    const changed = understanding.rejudge('r', state);
    expect(changed.map((one) => one.call)).toEqual(['c2']);
    expect(changed[0]?.verdict.meaning).toEqual(reading('15'));
  });

  test('struck readings and other runs are not judged again', () => {
    const state = stateOf(
      ...three,
      { kind: 'struck', reading: 'b#0', by: 'hand' },
      { kind: 'run-ended', run: 'r', timeMs: 35_000 },
      { kind: 'run-started', run: 's', label: '2', timeMs: 36_000 },
      call('x', 40, 's'),
      heard('x', 'ninety'),
      judged('x', '90'),
    );
    expect(understanding.rejudge('r', state).map((one) => one.call)).not.toContain('b');
    expect(understanding.rejudge('r', state).map((one) => one.call)).not.toContain('x');
    expect(understanding.rejudge('nothing', state)).toEqual([]);
  });
});
