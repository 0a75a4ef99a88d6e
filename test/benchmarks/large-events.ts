import type { EventBody, NotebookEvent } from '../../src/log/event.ts';

/** A notebook of `runs` runs with `each` readings, one a second. */
export function largeEvents(runs: number, each: number): NotebookEvent[] {
  const bodies: { body: EventBody; atMs: number }[] = [];
  const add = (atMs: number, body: EventBody): void => {
    bodies.push({ body, atMs });
  };
  add(0, { kind: 'created', title: 'Large', seed: 1, invented: true, app: '' });
  for (let run = 0; run < runs; run++) {
    const start = run * (each + 10) * 1000;
    add(start, { kind: 'run-started', run: `r${run}`, label: String(run + 1) });
    for (let i = 0; i < each; i++) {
      const at = start + 1000 + i * 1000;
      const call = `c${run}-${i}`;
      add(at + 600, {
        kind: 'called',
        call,
        onsetMs: at,
        endMs: at + 500,
        timing: 'sound',
        uOnsetMs: 10,
        clip: false,
        run: `r${run}`,
      });
      add(at + 600, {
        kind: 'judged',
        call,
        outcome: 'taken',
        meaning: { kind: 'reading', values: [{ value: String(5 + i * 0.1).slice(0, 5) }] },
        rivals: [],
        reason: '',
        by: 'ear',
      });
    }
    add(start + (each + 5) * 1000, { kind: 'run-ended', run: `r${run}` });
  }
  return bodies.map(({ body, atMs }, index) => ({
    id: `large-${index + 1}`,
    seq: index + 1,
    atMs,
    wallMs: 1_700_000_000_000 + atMs,
    page: 1,
    body,
  }));
}
