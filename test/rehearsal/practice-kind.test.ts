import { expect, test } from 'vitest';
import { notebookFromJson } from '../../src/log/file.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { copyOfExample, demoNotebook } from '../../src/rehearsal/demo.ts';
import { practiceOf, rehearsalId, rehearsalTitle } from '../../src/rehearsal/practice-kind.ts';

test('the example and a rehearsal are known whatever they are named; a notebook of one’s own is neither', () => {
  expect(practiceOf({ id: demoNotebook(0).id, title: 'Friday' })).toBe('example');
  expect(practiceOf({ id: rehearsalId(), title: 'Friday' })).toBe('rehearsal');
  // As earlier versions left them behind.
  expect(practiceOf({ id: crypto.randomUUID(), title: rehearsalTitle })).toBe('rehearsal');
  expect(practiceOf({ id: crypto.randomUUID(), title: 'Friday' })).toBe(null);
});

test('a copy of the example is a notebook of one’s own with the same readings, still marked as invented', () => {
  const example = demoNotebook(1.7e12);
  const copy = copyOfExample(example, crypto.randomUUID(), 'Mine');
  const [was, is] = [reduce(example.events), reduce(copy.events)];
  expect(is.runs).toEqual(was.runs);
  expect(is).toMatchObject({ title: 'Mine', invented: true });
  expect(practiceOf({ id: copy.id, title: is.title })).toBe(null);
  expect(notebookFromJson(notebookToJson(copy))).toMatchObject({ ok: true });
});
