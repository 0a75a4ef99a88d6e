import { expect, test } from 'vitest';
import { notebookLink, readableLink, readLink } from '../../src/files/link.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { largeEvents } from '../benchmarks/large-events.ts';

const base = 'https://bench.example/';

test('a notebook of so many events that nobody can read its link gets none; a smaller one gets one that reads back', () => {
  const huge = { id: 'huge', events: largeEvents(100, 500) };
  expect(readLink(notebookLink(base, huge)).ok).toBe(false);
  expect(readableLink(base, huge)).toBeNull();
  for (const events of [largeEvents(24, 100), largeEvents(20, 480)]) {
    const day = { id: 'day', events };
    const link = readableLink(base, day);
    expect(link === null ? null : readLink(link)).toEqual({ ok: true, value: { kind: 'notebook', notebook: day } });
  }
});

test('few events with more values than a link may unfold to get no link either', () => {
  const [created, started] = largeEvents(1, 1);
  if (!created || !started) throw new Error('no events');
  const readings = Array.from({ length: 2000 }, (_, i) => ({
    time: String(i),
    value: String(i % 97),
    uTimeMs: i % 89,
  }));
  const events = [created];
  for (let i = 2; i < 400; i++) {
    const body: EventBody = {
      kind: 'readings-entered',
      run: `r${i}`,
      label: `${i}`,
      timing: 'file',
      stated: false,
      fromMs: 0,
      readings,
    };
    events.push({ ...started, id: `large-${i}`, seq: i, body } satisfies NotebookEvent);
  }
  expect(readableLink(base, { id: 'entered', events })).toBeNull();
});
