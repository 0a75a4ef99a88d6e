import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { entryOf } from '../../src/class/class-entry.ts';
import { readArrival } from '../../src/files/arrival.ts';
import { notebookLink, readLink } from '../../src/files/link.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { Notebook } from '../../src/log/state.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { reportOf } from '../../src/results/report.ts';
import { reading as readingAt, startRun as started } from '../log/events.ts';

/**
 * Notebooks whose every value is allowed and that mean nothing: runs that end before they begin, ids that come twice,
 * names of nothing but marks. Damage at random does not make these.
 */

const demo = demoNotebook(1_700_000_000_000);
const sheet = demo.events.flatMap(({ body }) => (body.kind === 'planned' || body.kind === 'set-up' ? [body] : []));

/** One event a second, unless `everyMs` says otherwise. */
function notebook(bodies: readonly EventBody[], { id = 'absurd', everyMs = 1000 } = {}): Notebook {
  const created: EventBody = { kind: 'created', title: 'Absurd', seed: 1, invented: false, app: '' };
  const events = [created, ...bodies].map(
    (body, i): NotebookEvent => ({
      id: `a-${i + 1}`,
      seq: i + 1,
      atMs: i * everyMs,
      wallMs: 1_700_000_000_000 + i * everyMs,
      page: 1,
      body,
    }),
  );
  return { id, events };
}

const reading = (run: string | null, call: string, timeMs: number, value: string): EventBody[] =>
  readingAt(call, timeMs / 1000, value, run);
const ended = (run: string): EventBody => ({ kind: 'run-ended', run });

/** A run of `count` readings; without more, one every 10 s, 2 mL apart. */
function run(
  name: string,
  count = 6,
  { at = (i: number) => 10_000 * i, value = (i: number) => String(5 + 2 * i), label = name } = {},
): EventBody[] {
  const readings = Array.from({ length: count }, (_, i) => reading(name, `${name}-${i}`, at(i), value(i)));
  return [started(name, label), ...readings.flat(), ended(name)];
}

const four = [1, 2, 3, 4];

test.each<[string, readonly EventBody[]]>([
  ['two runs of one id', [...sheet, ...run('1'), ...run('1', 6, { at: (i) => 200_000 + 10_000 * i })]],
  ['two runs of one label', [...sheet, ...run('r'), ...run('q', 6, { label: 'r' })]],
  ['one call for all readings', [...sheet, started('1'), ...four.flatMap((i) => reading('1', 'c', 1e4 * i, `${i}`))]],
  [
    'a run that ends before it begins',
    [
      ...sheet,
      { kind: 'run-started', run: '1', label: '1', timeMs: 1e12 },
      ...four.flatMap((i) => reading('1', `c${i}`, 1e4 * i, `${i}`)),
      { kind: 'run-ended', run: '1', timeMs: -1e12 },
    ],
  ],
  ['runs that end and never began', [...sheet, ended('1'), ended('__proto__')]],
  ['all readings at one moment', [...sheet, ...run('1', 8, { at: () => 5e4 })]],
  ['centuries between readings', [...sheet, ...run('1', 8, { at: (i) => (i % 2 ? 9e12 : -9e12) })]],
  [
    'the largest volumes there are',
    [...sheet, ...run('1', 8, { value: (i) => `${i % 2 ? '-' : ''}9999999.999999999` })],
  ],
  ['no gas at all', [...sheet, ...run('1', 8, { value: () => '0' })]],
  ['a run joined to itself', [...sheet, ...run('1'), { kind: 'run-joined', run: '1', into: '1' }]],
  [
    'runs joined in a ring',
    [
      ...sheet,
      ...run('1'),
      ...run('2'),
      { kind: 'run-joined', run: '1', into: '2' },
      { kind: 'run-joined', run: '2', into: '1' },
    ],
  ],
  [
    'a run split into itself',
    [...sheet, ...run('1'), { kind: 'run-split', run: '1', at: '1-2#0', into: '1', label: 'x' }],
  ],
  ['undone by itself and by what comes later', four.map((i) => ({ kind: 'undone', event: `a-${i + 2}` }))],
  [
    'readings of nothing',
    [
      ...sheet,
      ...reading('nowhere', 'c', 1e4, '5'),
      ...reading('__proto__', 'd', 1e4, '5'),
      { kind: 'corrected', reading: '__proto__', value: '1', by: 'hand' },
      { kind: 'struck', reading: 'constructor', by: 'hand' },
    ],
  ],
  [
    'pours in each other’s place',
    [
      ...sheet,
      ...[1, 2].map(
        (i): EventBody => ({
          kind: 'poured',
          value: '5',
          reagent: 'x',
          timeMs: 0,
          run: null,
          settled: 'open',
          replaces: `a-${2 + sheet.length - i + 1}`,
        }),
      ),
      ...run('1'),
    ],
  ],
  [
    'names of marks, halves of characters and words of the language',
    [
      ...sheet,
      ...['\u202eevil', '\ud800', '\u2066x', '\u200b', '1.5 B', '=cmd', 'constructor'].flatMap((label, i) => [
        { kind: 'titled', title: label } as const,
        { kind: 'grouped', group: label } as const,
        ...run(`r${i}`, 5, { label }),
      ]),
    ],
  ],
  [
    'a clock that was centuries off',
    [
      ...sheet,
      started('1'),
      ...reading('1', 'c', 1e3, '5'),
      { kind: 'clock-doubted', gapMs: 8e15 },
      ...four.flatMap((i) => reading('1', `d${i}`, 1e4 * i, `${i}`)),
      { kind: 'clock-settled', joint: `a-${sheet.length + 5}`, run: '1', byMs: -1e13 },
    ],
  ],
])('%s: it opens, its figures are numbers, and it comes back the same', (_, bodies) => {
  const given = notebook(bodies);
  const read = readArrival(new TextEncoder().encode(notebookToJson(given)));
  expect(read).toMatchObject({ ok: true, value: { notebook: given } });
  const state = reduce(given.events);
  const analysis = analysisOf(state);
  for (const language of ['en', 'de'] as const)
    expect(wrongIn(reportOf(given, state, analysis, 'mL/s', language))).toEqual([]);
  expect(wrongIn(entryOf(given))).toEqual([]);
  expect(readLink(notebookLink('https://bench.example/', given))).toMatchObject({
    ok: true,
    value: { notebook: given },
  });
});

/** Figures that are none, anywhere in a value. */
function wrongIn(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isNaN(value) ? [path] : [];
  if (typeof value === 'string') return /NaN|Infinity|undefined|\[object/.test(value) ? [`${path}: ${value}`] : [];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, one]) => wrongIn(one, `${path}.${key}`));
}

const many = <T>(count: number, make: (i: number) => readonly T[]): T[] =>
  Array.from({ length: count }, (_, i) => make(i)).flat();

test.each<[string, RegExp, readonly EventBody[]]>([
  ['runs with one reading each', /more than 2000 runs/, many(3000, (i) => run(`r${i}`, 1, { at: () => i }))],
  [
    'corrections of one reading',
    /more than 1000 entries about one call/,
    [
      started('1'),
      ...reading('1', 'c', 1e4, '5'),
      ...many<EventBody>(2000, (i) => [{ kind: 'corrected', reading: 'c#0', value: String(i), by: 'hand' }]),
    ],
  ],
  [
    'changes of the order of runs',
    /more than 10000 changes of runs/,
    many<EventBody>(10_001, () => [{ kind: 'runs-ordered', runs: ['1'] }]),
  ],
])('more %s than a person can make are refused', (_, sentence, bodies) => {
  const given = notebook(bodies, { everyMs: 1 });
  const read = readArrival(new TextEncoder().encode(notebookToJson(given)));
  expect(read).toMatchObject({ ok: false, sentence: expect.stringMatching(sentence) });
});

test('calls that come last to first, or notes before the first run, cost no square of their number', () => {
  const backwards = many(20_000, (i) => reading('1', `c${i}`, 1e7 - 100 * i, String(i % 90)));
  const notes = many<EventBody>(50_000, (i) => [{ kind: 'note', text: '', timeMs: i, run: null }]);
  const begun = performance.now();
  const state = reduce(notebook([...notes, started('1'), ...backwards, started('2')], { everyMs: 1 }).events);
  // Some minutes where each looks through all the others.
  expect(performance.now() - begun).toBeLessThan(20_000);
  const times = state.runs[0]?.readings.map(({ timeMs }) => timeMs) ?? [];
  expect(times).toHaveLength(20_000);
  expect(times).toEqual([...times].sort((a, b) => a - b));
});

test.each(['\ud800', 'x\udc00', '.', '..'])('an id of a notebook that no address can carry is refused: %j', (id) => {
  const given = notebook(run('1'));
  const bytes = (one: Notebook): Uint8Array => new TextEncoder().encode(notebookToJson(one));
  expect(readArrival(bytes({ ...given, id }))).toMatchObject({ ok: false, sentence: expect.stringMatching(/: id /) });
});

test.each([1e-320, 5e-324, 1e-12])('a measure of %s mL, which becomes nothing in SI units, is refused', (tiny) => {
  const setup = { stepMl: 2, spanMl: 20, cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'unknown' as const } };
  for (const changed of [
    { ...setup, stepMl: tiny },
    { ...setup, spanMl: tiny },
    { ...setup, cylinder: { ...setup.cylinder, divisionMl: tiny } },
    { ...setup, cylinder: { ...setup.cylinder, capacityMl: tiny } },
  ]) {
    const given = notebook([{ kind: 'set-up', setup: changed }, ...run('1')]);
    const read = readArrival(new TextEncoder().encode(notebookToJson(given)));
    expect(read).toMatchObject({ ok: false, sentence: expect.stringMatching(/setup/) });
  }
});

test('runs may be put in another order in any notebook that may come in', () => {
  const runs = many(2000, (i) => run(`r${i}`, 1, { at: () => i }));
  const ordered: EventBody = { kind: 'runs-ordered', runs: many(2000, (i) => [`r${1999 - i}`]) };
  const read = readArrival(new TextEncoder().encode(notebookToJson(notebook([...runs, ordered], { everyMs: 1 }))));
  expect(read.ok ? 'read' : read.sentence).toBe('read');
});
