import { expect, test } from 'vitest';
import { givenValue } from '../../src/bench/act.ts';
import { callsPutRight, wordsSaid } from '../../src/bench/calls-put-right.ts';
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

test('a reading corrected by hand whose sound is kept is one, with the value it now has', () => {
  const state = notebook(called('c'), judged('c', '50'), {
    kind: 'corrected',
    reading: 'c#0',
    value: '15',
    by: 'hand',
  });
  expect(callsPutRight(state)).toEqual([{ call: 'c', value: '15' }]);
});

test('so is a call that had no value and was given one by hand', () => {
  expect(callsPutRight(notebook(called('c'), givenValue('c', '15', 'hand')))).toEqual([{ call: 'c', value: '15' }]);
});

test('what was heard right, has no sound, was corrected by voice, or was struck is none', () => {
  expect(callsPutRight(notebook(called('c'), judged('c', '15')))).toEqual([]);
  expect(callsPutRight(notebook(called('c', false), givenValue('c', '15', 'hand')))).toEqual([]);
  const byVoice: EventBody = { kind: 'corrected', reading: 'c#0', value: '15', by: 'voice' };
  expect(callsPutRight(notebook(called('c'), judged('c', '50'), byVoice))).toEqual([]);
  const struck: EventBody = { kind: 'struck', reading: 'c#0', by: 'hand' };
  expect(callsPutRight(notebook(called('c'), givenValue('c', '15', 'hand'), struck))).toEqual([]);
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
