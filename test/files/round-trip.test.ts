import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readArchive, writeArchive } from '../../src/files/archive.ts';
import { readArrival, readArrivalText } from '../../src/files/arrival.ts';
import { fromDecimal, toDecimal } from '../../src/files/decimal.ts';
import { handOutToJson } from '../../src/files/hand-out.ts';
import { notebookLink, planLink, readLink } from '../../src/files/link.ts';
import { notebookFromJson } from '../../src/log/file.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { the } from '../the.ts';
import { anyNotebook, anyPlan, anySetup } from './arbitrary-notebook.ts';
import { seeded } from './mutations.ts';
import { voicedNotebook } from './voiced-notebook.ts';

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
      expect(link.startsWith(`${base}#/open/n3/`)).toBe(true);
      const read = readLink(link);
      expect(read).toEqual({ ok: true, value: { kind: 'notebook', notebook } });
      if (read.ok && read.value.kind === 'notebook')
        expect(notebookToJson(read.value.notebook)).toBe(notebookToJson(notebook));
    }),
    { numRuns: 150 },
  );
}, 60_000);

test('a long notebook goes out by link and comes in unchanged', () => {
  const { id, events } = groupNotebook(2);
  const [call, ...rest] = events.filter(({ body }) => body.kind === 'called' || body.kind === 'judged');
  const last = the(events.at(-1));
  const more = Array.from({ length: 9000 }, (_, i) => ({
    ...(rest[i % rest.length] ?? the(call)),
    id: `${id}-${last.seq + 1 + i}`,
    seq: last.seq + 1 + i,
    atMs: last.atMs + 97.3 * i * (1 + (i % 7)),
  }));
  const long = { id, events: [...events, ...more.sort((a, b) => a.atMs - b.atMs)] };
  const notebook = {
    id,
    events: long.events.map((event, i) => ({
      ...event,
      atMs: Math.round(event.atMs * 10) / 10,
      seq: i + 1,
      id: `${id}-${i + 1}`,
      body: {
        ...event.body,
        ...('reason' in event.body ? { reason: `${(i * i * 7919) % 1e9} and ${(i * 104_729) % 1e8}` } : {}),
      },
    })),
  };
  const link = notebookLink(base, notebook);
  expect(link.startsWith(`${base}#/open/n3/`)).toBe(true);
  expect(readLink(link)).toEqual({ ok: true, value: { kind: 'notebook', notebook } });
});

test('any bytes go into digits and back', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
      expect(fromDecimal(toDecimal(bytes))).toEqual(Uint8Array.from(bytes));
    }),
  );
});

test('a link of three runs called by voice fits well into a QR code', () => {
  // Ten readings a run, poured and begun by voice: with the ids of today, and with random ones as they once were.
  const notebook = voicedNotebook(11, (n) => `4be20c-${n}`);
  expect(notebookLink(base, notebook).length).toBeLessThan(2100);
  const random = seeded(5);
  const hex = (length: number) => Array.from({ length }, () => Math.floor(16 * random()).toString(16)).join('');
  const old = voicedNotebook(12, () => `${hex(8)}-${hex(4)}-${hex(4)}`);
  expect(notebookLink(base, old).length).toBeLessThan(2800);
});

test('any notebook with clips goes out and in by archive unchanged', () => {
  const clip = fc.record({
    call: fc.string({ minLength: 1, maxLength: 20 }),
    type: fc.constantFrom('audio/wav', 'audio/webm;codecs=opus'),
    bytes: fc.uint8Array({ maxLength: 300 }),
  });
  fc.assert(
    fc.property(anyNotebook, fc.array(clip, { maxLength: 4 }), (notebook, clips) => {
      const read = readArchive(writeArchive(notebook, clips, the(notebook.events.at(-1)).wallMs));
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

test('the content of a file shows what it is', () => {
  const [notebook] = fc.sample(anyNotebook, 1);
  const bytes = (text: string) => new TextEncoder().encode(text);
  const whole = { ok: true, value: { kind: 'notebook', notebook, clips: [], left: [] } };
  expect(readArrival(bytes(notebookToJson(the(notebook))))).toEqual(whole);
  expect(readArrival(bytes(`  ${notebookLink(base, the(notebook))}\n`))).toEqual(whole);
  expect(readArrival(writeArchive(the(notebook), [], 0))).toEqual(whole);
  for (const other of ['', 'run,time_s\n1,2', '{"format":"something"}', '\u0000\u0001'])
    expect(readArrival(bytes(other))).toMatchObject({ ok: false, sentence: expect.stringMatching(/^[A-Z].*\.$/) });
  expect(readArrival(Uint8Array.of(0xff, 0xfe, 0xfd))).toMatchObject({ ok: false });
});
