import { expect, test } from 'vitest';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import { earlierRuns } from '../../src/planning/earlier-runs.ts';
import { planTemplates } from '../../src/planning/plan-templates.ts';
import { the } from '../the.ts';

const plan = the(planTemplates.find((template) => template.id === 'three-runs')).plan;

/** A notebook with one run of marks at the given moments (ms after its start). */
function notebook(moments: readonly number[], ended: boolean, temperatures: readonly string[] = []) {
  const bodies: [number, EventBody][] = [
    [0, { kind: 'created', title: 't', seed: 1, invented: false, app: '' }],
    [0, { kind: 'planned', plan }],
    [1000, { kind: 'run-started', run: 'a', label: '1' }],
    ...temperatures.map((value): [number, EventBody] => [1000, { kind: 'temperature', value, timeMs: 1000, run: 'a' }]),
    ...moments.flatMap((at, i): [number, EventBody][] => [
      [
        1000 + at,
        {
          kind: 'called',
          call: `c${i}`,
          onsetMs: 1000 + at,
          endMs: null,
          timing: 'sound',
          uOnsetMs: 5,
          clip: false,
          run: 'a',
        },
      ],
      [
        1000 + at,
        {
          kind: 'judged',
          call: `c${i}`,
          outcome: 'taken',
          meaning: { kind: 'reading', values: [{ value: String(2 * i + 2) }] },
          rivals: [],
          reason: '',
          by: 'ear',
        },
      ],
    ]),
    ...(ended ? ([[90_000, { kind: 'run-ended', run: 'a' }]] satisfies [number, EventBody][]) : []),
  ];
  return reduce(
    bodies.map(
      ([atMs, body], i): NotebookEvent => ({ id: `e${i + 1}`, seq: i + 1, atMs, wallMs: atMs, page: 1, body }),
    ),
  );
}

test('a finished run tells its starting rate, flask and mean temperature', () => {
  // A mark of 2 mL every 10 s: 0.2 mL/s.
  const [run] = earlierRuns(notebook([0, 10_000, 20_000, 30_000, 40_000], true, ['21', '23']));
  expect(run).toMatchObject({ label: '1', temperatureC: 22 });
  expect(run?.rateMlPerS).toBeCloseTo(0.2, 9);
  expect(run?.volumes.map((volume) => volume.volumeMl)).toEqual([20, 20, 10]);
});

test('one late call does not move the rate', () => {
  const [run] = earlierRuns(notebook([0, 10_000, 26_000, 30_000, 40_000, 50_000], true));
  expect(run?.rateMlPerS).toBeCloseTo(0.2, 2);
});

test('a run that is going on, or has too few readings, tells nothing yet', () => {
  expect(earlierRuns(notebook([0, 10_000, 20_000, 30_000], false))).toEqual([]);
  expect(earlierRuns(notebook([0, 10_000, 20_000], true))).toEqual([]);
});
