import { expect, test } from 'vitest';
import { givenValue } from '../../src/bench/act.ts';
import { lessonsOf, wordsSaid } from '../../src/bench/calls-to-learn.ts';
import { en } from '../../src/language/words/en.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';

const called = (call: string, clip = true): EventBody => ({
  kind: 'called',
  call,
  onsetMs: 2000,
  endMs: 2600,
  timing: 'sound',
  uOnsetMs: 5,
  clip,
  run: 'a',
});
const judged = (call: string, value: string): EventBody =>
  ({ ...givenValue(call, value, 'hand'), by: 'ear' }) as EventBody;

function notebook(...bodies: EventBody[]) {
  const all: EventBody[] = [
    { kind: 'created', title: 't', seed: 1, invented: false, app: '' },
    { kind: 'run-started', run: 'a', label: '1' },
    ...bodies,
  ];
  return reduce(
    all.map((body, i): NotebookEvent => ({ id: `e${i + 1}`, seq: i + 1, atMs: 3000, wallMs: 0, page: 1, body })),
  );
}

const heard = (call: string, ...alternatives: [text: string, p: number][]): EventBody => ({
  kind: 'heard',
  call,
  ear: 'own',
  alternatives: alternatives.map(([text, p]) => ({ text, p })),
  final: true,
});
const fifty = heard('c', ['fifty', 0.7], ['fifteen', 0.2]);
const ended: EventBody = { kind: 'run-ended', run: 'a' };
const lessons = (...bodies: EventBody[]) => lessonsOf(notebook(...bodies), en);
const fifteen = { call: 'c', run: 'a', text: 'fifteen' };

test('a reading that was taken teaches its words once the run is over and nobody changed it', () => {
  expect(lessons(called('c'), fifty, judged('c', '50'))).toEqual([]);
  expect(lessons(called('c'), fifty, judged('c', '50'), ended)).toEqual([{ ...fifteen, text: 'fifty', how: 'stayed' }]);
});

test('a reading corrected by hand or by voice teaches the words of the value it now has, at once', () => {
  for (const by of ['hand', 'voice'] as const) {
    const correction: EventBody = { kind: 'corrected', reading: 'c#0', value: '15', by };
    expect(lessons(called('c'), fifty, judged('c', '50'), correction)).toEqual([{ ...fifteen, how: 'put-right' }]);
  }
});

test('so does a call that had no value and was given one by hand, and a doubt that was answered', () => {
  expect(lessons(called('c'), fifty, givenValue('c', '15', 'hand'))).toEqual([{ ...fifteen, how: 'put-right' }]);
  const doubted = { ...judged('c', '50'), outcome: 'doubtful' } as EventBody;
  expect(lessons(called('c'), fifty, doubted, ended)).toEqual([]);
  const answer: EventBody = { kind: 'corrected', reading: 'c#0', value: '50', by: 'voice', call: 'd' };
  expect(lessons(called('c'), fifty, doubted, answer)).toEqual([{ ...fifteen, text: 'fifty', how: 'put-right' }]);
});

test('what has no sound, was struck, set aside as misheard, or said while the tool spoke teaches nothing', () => {
  const taken = judged('c', '50');
  const struck: EventBody = { kind: 'struck', reading: 'c#0', by: 'hand' };
  const misheard: EventBody = { kind: 'set-aside', reading: 'c#0', cause: 'misheard', why: '' };
  const surge: EventBody = { ...misheard, cause: 'surge' };
  expect(lessons(called('c', false), fifty, taken, ended)).toEqual([]);
  expect(lessons(called('c'), fifty, taken, struck, ended)).toEqual([]);
  expect(lessons(called('c'), fifty, taken, misheard, ended)).toEqual([]);
  expect(lessons(called('c'), fifty, taken, surge, ended)).toHaveLength(1);
  expect(lessons({ ...called('c'), overSpeech: true } as EventBody, fifty, taken, ended)).toEqual([]);
});

test('words of another ear, and a value that the ear never thought of, teach nothing', () => {
  const browser = { ...fifty, ear: 'browser' } as EventBody;
  expect(lessons(called('c'), browser, judged('c', '50'), ended)).toEqual([]);
  expect(lessons(called('c'), fifty, givenValue('c', '37', 'hand'), ended)).toEqual([]);
});

test('a command teaches its words where it was surely heard', () => {
  const command: EventBody = {
    kind: 'judged',
    call: 'c',
    outcome: 'command',
    meaning: { kind: 'end-run' },
    rivals: [],
    reason: '',
    by: 'ear',
  };
  const sure = heard('c', ['end run', 0.97]);
  expect(lessons(called('c'), sure, command)).toEqual([{ ...fifteen, text: 'end run', how: 'command' }]);
  expect(lessons(called('c'), heard('c', ['end run', 0.6]), command)).toEqual([]);
  expect(lessons(called('c'), heard('c', ['next run', 0.97]), command)).toEqual([]);
});

test('the words are those that the ear thought possible, in the way they were said', () => {
  const best = [
    { text: 'fifty', p: 0.6 },
    { text: 'two five', p: 0.2 },
    { text: 'twenty five', p: 0.1 },
  ];
  expect(wordsSaid('25', best, en)).toBe('two five');
  expect(wordsSaid('50', best, en)).toBe('fifty');
});

test('a value of which the ear thought nothing, or next to nothing, teaches nothing', () => {
  const best = [
    { text: 'fifty', p: 0.9 },
    { text: 'fifteen', p: 0.001 },
  ];
  expect(wordsSaid('15', best, en)).toBeNull();
  expect(wordsSaid('24', best, en)).toBeNull();
  expect(wordsSaid('24', [], en)).toBeNull();
});
