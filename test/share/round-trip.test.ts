import fc from 'fast-check';
import { expect, test } from 'vitest';
import { notebookFromJson, notebookToJson } from '../../src/notebook/file.ts';
import { readArchive, writeArchive } from '../../src/share/archive.ts';
import { readArrival, readArrivalText } from '../../src/share/arrival.ts';
import { handOutToJson } from '../../src/share/hand-out.ts';
import { notebookLink, planLink, readLink } from '../../src/share/link.ts';
import { anyNotebook, anyPlan, anySetup } from './arbitrary-notebook.ts';

const base = 'https://bench.example/app/';

test('any notebook goes out and in by JSON unchanged', () => {
  fc.assert(
    fc.property(anyNotebook, (notebook) => {
      expect(notebookFromJson(notebookToJson(notebook))).toEqual({ ok: true, value: notebook });
    }),
  );
});

test('any notebook goes out and in by link unchanged, to the last bit of every number', () => {
  fc.assert(
    fc.property(anyNotebook, (notebook) => {
      const link = notebookLink(base, notebook);
      expect(link.startsWith(`${base}#/open/n1/`)).toBe(true);
      const read = readLink(link);
      expect(read).toEqual({ ok: true, value: { kind: 'notebook', notebook } });
      if (read.ok && read.value.kind === 'notebook')
        expect(notebookToJson(read.value.notebook)).toBe(notebookToJson(notebook));
    }),
    { numRuns: 300 },
  );
});

test('any notebook with clips goes out and in by archive unchanged', () => {
  const clip = fc.record({
    call: fc.string({ minLength: 1, maxLength: 20 }),
    type: fc.constantFrom('audio/wav', 'audio/webm;codecs=opus'),
    bytes: fc.uint8Array({ maxLength: 300 }),
  });
  fc.assert(
    fc.property(anyNotebook, fc.array(clip, { maxLength: 4 }), (notebook, clips) => {
      const read = readArchive(writeArchive(notebook, clips, notebook.events.at(-1)!.wallMs));
      expect(read).toEqual({ ok: true, value: { notebook, clips, left: [] } });
    }),
  );
});

test('any hand-out goes out and in by link and by file unchanged', () => {
  fc.assert(
    fc.property(anyPlan, fc.option(anySetup, { nil: undefined }), (plan, setup) => {
      const handOut = setup ? { title: 'Practical 4', plan, setup } : { title: 'Practical 4', plan };
      expect(readLink(planLink(base, handOut))).toEqual({ ok: true, value: { kind: 'plan', handOut } });
      expect(readArrivalText(handOutToJson(handOut))).toEqual({ ok: true, value: { kind: 'plan', handOut } });
    }),
  );
});

test('what a file is, is told from its content', () => {
  const [notebook] = fc.sample(anyNotebook, 1);
  const bytes = (text: string) => new TextEncoder().encode(text);
  const whole = { ok: true, value: { kind: 'notebook', notebook, clips: [], left: [] } };
  expect(readArrival(bytes(notebookToJson(notebook!)))).toEqual(whole);
  expect(readArrival(bytes(`  ${notebookLink(base, notebook!)}\n`))).toEqual(whole);
  expect(readArrival(writeArchive(notebook!, [], 0))).toEqual(whole);
  for (const other of ['', 'run,time_s\n1,2', '{"format":"something"}', '\u0000\u0001'])
    expect(readArrival(bytes(other))).toMatchObject({ ok: false, sentence: expect.stringMatching(/^[A-Z].*\.$/) });
  expect(readArrival(Uint8Array.of(0xff, 0xfe, 0xfd))).toMatchObject({ ok: false });
});
