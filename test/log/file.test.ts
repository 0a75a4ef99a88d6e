import fc from 'fast-check';
import { expect, test } from 'vitest';
import { notebookFromJson } from '../../src/log/file.ts';
import { notebookToJson, withoutHoles } from '../../src/log/notebook-json.ts';
import { anyEvents, created, stamped } from './events.ts';

test('any notebook written and read again is the same', () => {
  fc.assert(
    fc.property(anyEvents, (events) => {
      const notebook = { id: 'nb', events };
      expect(notebookFromJson(notebookToJson(notebook))).toEqual({ ok: true, value: notebook });
    }),
  );
});

test.each([
  ['nothing', ''],
  ['another format', '{"format":"something"}'],
  ['a list', '[]'],
  ['null', 'null'],
  [
    'a hole in the numbering',
    notebookToJson({ id: 'nb', events: stamped(created, { kind: 'paused' }) }).replace('"seq":2', '"seq":3'),
  ],
  [
    'time running back',
    notebookToJson({ id: 'nb', events: stamped(created, { kind: 'paused' }) }).replace('"atMs":0', '"atMs":5000'),
  ],
  ['no creation', notebookToJson({ id: 'nb', events: stamped({ kind: 'paused' }) })],
  ['an unknown kind of event', notebookToJson({ id: 'nb', events: stamped(created) }).replace('"created"', '"made"')],
])('a file with %s is refused with a sentence', (_, text) => {
  const read = notebookFromJson(text);
  expect(read.ok).toBe(false);
  if (!read.ok) expect(read.sentence).toMatch(/^[A-Z].*\.$/);
});

test('a damaged entry is named by its place and its part, in both languages', () => {
  const events = stamped(created, { kind: 'paused' }, { kind: 'step-reached', step: 3 });
  const text = notebookToJson({ id: 'nb', events }).replace('"step":3', '"step":"three"');
  const read = notebookFromJson(text);
  if (read.ok) throw new Error('read');
  expect(read.sentence).toMatch(/entry 3: .*step/);
});

test('a file of a newer schema says what to do', () => {
  const text = notebookToJson({ id: 'nb', events: stamped(created) }).replace('"schema": 1', '"schema": 99');
  const read = notebookFromJson(text);
  expect(read).toMatchObject({ ok: false, sentence: expect.stringMatching(/newer version.*Update/) });
});

test('a file with one figure changed is refused; with its check taken out it is read', () => {
  const text = notebookToJson({ id: 'nb', events: stamped(created, { kind: 'step-reached', step: 3 }) });
  const changed = text.replace('"step":3', '"step":4');
  expect(notebookFromJson(changed)).toMatchObject({
    ok: false,
    sentence: expect.stringMatching(/changed after it was written/),
  });
  const onPurpose = changed.replace(/^ "check".*\n/m, '');
  expect(notebookFromJson(onPurpose)).toMatchObject({ ok: true });
  expect(notebookFromJson(changed.replace('"check"', '"chekc"'))).toMatchObject({ ok: false });
});

test('what is left of a damaged notebook leaves as a file that opens; a whole one leaves as it is', () => {
  const whole = { id: 'nb', events: stamped(created, { kind: 'paused' }, { kind: 'resumed' }) };
  expect(withoutHoles(whole)).toBe(whole);
  for (const missing of [0, 1]) {
    const left = withoutHoles({ id: 'nb', events: whole.events.filter((_, index) => index !== missing) });
    const read = notebookFromJson(notebookToJson(left));
    expect(read).toEqual({ ok: true, value: left });
    expect(left.events.map((event) => event.body.kind)).toContain('resumed');
  }
});
