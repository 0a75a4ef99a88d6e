import { expect, test } from 'vitest';
import { contextOf } from '../../src/bench/understanding.ts';
import { en } from '../../src/language/words/en.ts';
import type { EventBody } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';

/** A run called 11, 13, then one reading in doubt between two values. */
function question(value: string, rival: string): readonly string[] | null {
  const call = (id: string, atS: number): EventBody => ({
    kind: 'called',
    call: id,
    onsetMs: 1000 * atS,
    endMs: null,
    timing: 'sound',
    uOnsetMs: 15,
    clip: false,
    run: 'r',
  });
  const judged = (id: string, said: string, other?: string): EventBody => ({
    kind: 'judged',
    call: id,
    outcome: other === undefined ? 'taken' : 'doubtful',
    meaning: { kind: 'reading', values: [{ value: said }] },
    rivals: other === undefined ? [] : [{ meaning: { kind: 'reading', values: [{ value: other }] }, p: 0.3, why: '' }],
    reason: '',
    by: 'ear',
  });
  const bodies: EventBody[] = [
    { kind: 'run-started', run: 'r', label: '1', timeMs: 0 },
    call('a', 10),
    judged('a', '11'),
    call('b', 30),
    judged('b', '13'),
    call('c', 50),
    judged('c', value, rival),
  ];
  const state = reduce(
    bodies.map((body, seq) => ({ id: `e${seq}`, seq, atMs: 1000 * seq, wallMs: 1.7e12 + 1000 * seq, page: 0, body })),
  );
  return contextOf({ call: 'd', onsetMs: 53_000, run: 'r' }, state, en).question?.choices ?? null;
}

test.each(['17', '19', '21'])(
  '%s, up to three marks on, may be the next reading: said now it is no answer to a question',
  (rival) => {
    expect(question('15', rival)).toBeNull();
  },
);

test.each(['23', '50', '5'])('%s, further on or below, answers the question whether it was 15', (rival) => {
  expect(question('15', rival)).toEqual(['15', rival]);
});
