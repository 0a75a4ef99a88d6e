import { expect, test } from 'vitest';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import {
  choicesOf,
  groupsOf,
  isOpenDoubt,
  readingsById,
  runForOutside,
  stateText,
  typedValue,
} from '../../src/screens/readings/call-list.ts';
import { the } from '../the.ts';

const state = reduce(demoNotebook(1.7e12).events);
const readings = readingsById(state.runs);
const readingOf = (id: string) => readings.get(id);

test('every call stands in exactly one group, in the order of the runs', () => {
  const groups = groupsOf(state);
  expect(groups.map((group) => group.run)).toEqual(state.runs.map((run) => run.id));
  expect(groups.flatMap((group) => group.calls).toSorted()).toEqual(state.calls.map((call) => call.id).toSorted());
});

test('what is in doubt is found, and its choices are what was taken and its rivals', () => {
  const doubts = state.calls.filter((call) => isOpenDoubt(call, readingOf));
  expect(doubts).toHaveLength(1);
  const reading = readingOf(the(the(doubts[0]).readings[0]));
  expect(choicesOf(the(doubts[0]), reading)).toEqual(['14', '40']);
  expect(stateText(the(doubts[0]), reading)).toBe('in doubt');
});

test('a typed value is taken with a comma and with its unit, and refused when it is no number', () => {
  expect(typedValue(' 24,5 mL')).toBe('24.5');
  expect(typedValue('25.0')).toBe('25.0');
  expect(typedValue('007')).toBe('7');
  expect(typedValue('-3')).toBeNull();
  expect(typedValue('24 or 25')).toBeNull();
  expect(typedValue('')).toBeNull();
});

test('a call outside runs is offered the run that was started next, else the last one', () => {
  const [first, second, third] = state.runs;
  expect(runForOutside({ onsetMs: the(first).startedMs - 1 }, state.runs)).toBe(first);
  expect(runForOutside({ onsetMs: the(second).startedMs - 1 }, state.runs)).toBe(second);
  expect(runForOutside({ onsetMs: the(the(third).endedMs) + 1 }, state.runs)).toBe(third);
});
