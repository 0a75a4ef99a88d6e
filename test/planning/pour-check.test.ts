import { expect, test } from 'vitest';
import { pouredVolumes } from '../../src/analysis/poured.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import type { Plan } from '../../src/log/plan.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { NotebookState } from '../../src/log/state.ts';
import {
  answerPour,
  checkPour,
  openPour,
  poursInWords,
  putPouringRight,
  runBeingPrepared,
} from '../../src/planning/pour-check.ts';
import { pourSentencesFor } from '../../src/planning/pour-sentences.ts';
import { matchReagent, solutionsOf } from '../../src/planning/reagent-name.ts';
import { the } from '../the.ts';

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' } },
    { id: 'i', name: 'strong iodide', species: 'I-', strength: { value: 0.5, unit: 'mol/L' } },
  ],
  dilutions: [{ id: 'h', name: 'half iodide', from: 'i', takeMl: 50, addWaterMl: 50 }],
  runs: [
    {
      label: '1',
      pours: [
        { solution: 'p', volumeMl: 10 },
        { solution: 'i', volumeMl: 10 },
        { solution: 'water', volumeMl: 10 },
      ],
    },
    {
      label: '2',
      pours: [
        { solution: 'p', volumeMl: 10 },
        { solution: 'h', volumeMl: 10 },
        { solution: 'water', volumeMl: 10 },
      ],
    },
  ],
};

/** A notebook that can be told things, one after the other, as a session would. */
function bench(withPlan: Plan | null = plan) {
  const events: NotebookEvent[] = [];
  const record = (...bodies: readonly EventBody[]) => {
    for (const body of bodies) {
      const seq = events.length + 1;
      events.push({ id: `e${seq}`, seq, atMs: seq * 1000, wallMs: seq * 1000, page: 1, body });
    }
  };
  const state = (): NotebookState => reduce(events);
  const moment = () => ({ timeMs: (events.length + 1) * 1000, run: state().openRun });
  record({ kind: 'created', title: 't', seed: 1, invented: false, app: '' });
  if (withPlan) record({ kind: 'planned', plan: withPlan });
  return {
    events,
    record,
    state,
    pour(value: string, reagent: string) {
      const answer = checkPour(state(), { value, reagent }, moment());
      record(...answer.events);
      return answer;
    },
    reply(yes: boolean) {
      const answer = answerPour(state(), yes, moment());
      if (answer) record(...answer.events);
      return answer;
    },
    putRight(value: string) {
      const pour = state().timed.findLast((event) => event.kind === 'poured');
      if (pour?.kind !== 'poured') throw new Error('nothing was poured');
      const answer = putPouringRight(state(), pour, value, moment());
      record(...answer.events);
      return answer;
    },
    start(label: string) {
      record({ kind: 'run-started', run: `r${label}`, label });
    },
    read() {
      const { openRun } = state();
      const id = `c${events.length}`;
      record(
        {
          kind: 'called',
          call: id,
          onsetMs: events.length * 1000,
          endMs: null,
          timing: 'sound',
          uOnsetMs: 10,
          clip: false,
          run: openRun,
        },
        {
          kind: 'judged',
          call: id,
          outcome: 'taken',
          meaning: { kind: 'reading', values: [{ value: '2' }] },
          rivals: [],
          reason: '',
          by: 'ear',
        },
      );
    },
    end() {
      record({ kind: 'run-ended', run: state().openRun ?? '' });
    },
    flask(index: number) {
      const now = state();
      return Object.fromEntries(
        pouredVolumes(now, the(now.runs[index])).map((entry) => [entry.solution, entry.volumeMl]),
      );
    },
  };
}

test('a pour as planned is agreed to and the next one is named', () => {
  const day = bench();
  const answer = day.pour('10', 'peroxide');
  expect(answer).toMatchObject({ tone: 'agree', asks: false });
  expect(answer.say).toBe('peroxide 10, as planned. Next: strong iodide 10.');
  day.pour('10', 'iodide');
  expect(day.pour('10', 'water').say).toBe('water 10, as planned. Everything for run 1 is poured.');
});

test('too little is noticed before mixing and can be mended', () => {
  const day = bench();
  const answer = day.pour('5', 'peroxide');
  expect(answer).toMatchObject({
    tone: 'differ',
    asks: true,
    say: 'Plan says 10 mL of peroxide; you said 5. Say “yes” to keep 5, or the right volume.',
  });
  expect(day.putRight('10').say).toBe('peroxide 10, as planned. Next: strong iodide 10.');
  day.start('1');
  expect(day.flask(0)).toEqual({ p: 10, i: 10, water: 10 });
  expect(day.state().timed.map((timed) => timed.kind === 'poured' && [timed.value, timed.settled])).toEqual([
    ['5', 'open'],
    ['10', 'as-planned'],
  ]);
});

test('too little that is kept is carried into the flask, and the history says so', () => {
  const day = bench();
  day.pour('5', 'peroxide');
  expect(day.reply(true)?.say).toMatch(/peroxide 5 is kept, and used for the concentrations/);
  day.start('1');
  expect(day.flask(0).p).toBe(5);
  const last = day.state().timed.at(-1);
  expect(last).toMatchObject({ kind: 'poured', value: '5', settled: 'accepted', forRun: '1' });
});

test('a question that nobody answers leaves the flask as it was called, not as planned', () => {
  const day = bench();
  day.pour('5', 'peroxide');
  day.start('1');
  day.read();
  expect(day.flask(0).p).toBe(5);
});

test('the rest called in numbers instead of yes counts as topped up', () => {
  const day = bench();
  day.pour('5', 'peroxide');
  expect(day.pour('5', 'peroxide').say).toMatch(/^peroxide now 10, as planned/);
  expect(openPour(day.state())).toBeNull();
});

test('a second call that does not reach the plan is asked about: more, or in all', () => {
  const day = bench();
  day.pour('5', 'peroxide');
  expect(day.pour('3', 'peroxide').say).toBe('peroxide: 3 more, 8 in all?');
  day.reply(true);
  day.start('1');
  expect(day.flask(0).p).toBe(8);

  const other = bench();
  other.pour('5', 'peroxide');
  other.pour('3', 'peroxide');
  other.reply(false);
  other.start('1');
  expect(other.flask(0).p).toBe(3);
});

test('too much is kept on yes; on no the right volume is asked for, and the question stays open', () => {
  const kept = bench();
  expect(kept.pour('12', 'peroxide').say).toBe(
    'Plan says 10 mL of peroxide; you said 12. Say “yes” to keep 12, or the right volume.',
  );
  kept.reply(true);
  kept.start('1');
  expect(kept.flask(0).p).toBe(12);

  const misheard = bench();
  misheard.pour('12', 'peroxide');
  expect(misheard.reply(false)).toMatchObject({ events: [], asks: true, say: expect.stringMatching(/right volume/) });
  expect(openPour(misheard.state())).not.toBeNull();
  misheard.putRight('9');
  expect(misheard.reply(true)?.say).toMatch(/^peroxide 9 is kept/);
  misheard.start('1');
  expect(misheard.flask(0).p).toBe(9);
});

test('a volume put right stands in the place of the call, also where it was the second of a solution', () => {
  const day = bench();
  day.pour('5', 'peroxide');
  day.pour('3', 'peroxide');
  // "No, five": five more and not three.
  expect(day.putRight('5').say).toMatch(/^peroxide now 10, as planned/);
  day.start('1');
  expect(day.flask(0).p).toBe(10);
});

test('the wrong bottle is noticed and, when kept, replaces the right one', () => {
  const day = bench();
  day.start('1');
  day.read();
  day.end();
  const answer = day.pour('10', 'strong iodide');
  expect(answer.say).toBe('Run 2 gets half iodide, not strong iodide. Is strong iodide 10 in the flask instead?');
  expect(answer.asks).toBe(true);
  day.reply(true);
  day.start('2');
  expect(day.flask(1)).toEqual({ p: 10, h: 0, water: 10, i: 10 });
});

test('the wrong bottle that was only named wrongly leaves the plan as it is', () => {
  const day = bench();
  day.start('1');
  day.read();
  day.end();
  day.pour('10', 'strong iodide');
  expect(day.reply(false)?.say).toBe('Taken back. Run 2 gets peroxide 10, half iodide 10 and water 10.');
  day.start('2');
  expect(day.flask(1)).toEqual({ p: 10, h: 10, water: 10 });
});

test('a difference within what a cylinder can be read to is carried without a question', () => {
  const day = bench();
  expect(day.pour('9.9', 'peroxide')).toMatchObject({ asks: false, tone: 'agree' });
  day.start('1');
  expect(day.flask(0).p).toBe(9.9);
});

test('a name that fits nothing changes no volume and says what the run gets', () => {
  const day = bench();
  const answer = day.pour('10', 'vinegar');
  expect(answer).toMatchObject({ tone: 'differ', asks: false });
  expect(answer.say).toMatch(/Run 1 gets peroxide 10, strong iodide 10 and water 10/);
  day.start('1');
  expect(day.flask(0)).toEqual({ p: 10, i: 10, water: 10 });
});

test('without a plan a pour is noted all the same', () => {
  const day = bench(null);
  expect(day.pour('10', 'peroxide').events).toMatchObject([{ kind: 'poured', value: '10', settled: 'accepted' }]);
  expect(day.reply(true)).toBeNull();
});

test('pours are for the flask at hand: the open run before its first reading, the next one after it', () => {
  const day = bench();
  expect(runBeingPrepared(day.state())?.label).toBe('1');
  day.start('1');
  expect(runBeingPrepared(day.state())?.label).toBe('1');
  day.read();
  expect(runBeingPrepared(day.state())?.label).toBe('2');
  day.end();
  day.start('2');
  day.read();
  day.end();
  expect(runBeingPrepared(day.state())).toBeNull();
});

test('"affirm" with no question open is not about a pour', () => {
  const day = bench();
  expect(day.reply(true)).toBeNull();
  day.pour('10', 'peroxide');
  expect(day.reply(false)).toBeNull();
});

const solutions = solutionsOf(plan);
const matched = (said: string, inRun: string[]) => {
  const match = matchReagent(said, solutions, inRun);
  return match.kind === 'one' ? match.solution.id : match.kind;
};

test('reagents are known by their name, their usual names and names slightly misheard', () => {
  expect(matched('peroxide', ['p'])).toBe('p');
  expect(matched('hydrogen peroxide', ['p'])).toBe('p');
  expect(matched('h two o two', ['p'])).toBe('p');
  expect(matched('h 2 o 2', ['p'])).toBe('p');
  expect(matched('the peroxyde solution', ['p'])).toBe('p');
  expect(matched('distilled water', ['water'])).toBe('water');
  expect(matched('iodite', ['i'])).toBe('i');
});

test('"iodide" means the iodide of this run; with two of them in one run it is asked for', () => {
  expect(matched('iodide', ['p', 'h', 'water'])).toBe('h');
  expect(matched('iodide', ['p', 'i', 'water'])).toBe('i');
  expect(matched('iodide', ['i', 'h'])).toBe('several');
});

test('in German the usual German names are understood, and water is "Wasser"', () => {
  expect(matched('Wasser', ['water'])).toBe('water');
  expect(matched('Kaliumiodid', ['p', 'i', 'water'])).toBe('i');
  expect(matched('Wasserstoffperoxid', ['p', 'i', 'water'])).toBe('p');
  const said = checkPour(
    bench().state(),
    { value: '10', reagent: 'peroxid' },
    { timeMs: 1, run: null },
    pourSentencesFor('de'),
  );
  expect(said.say).toBe('peroxide 10, wie geplant. Als Nächstes: strong iodide 10.');
  expect(poursInWords(plan, the(plan.runs[0]), pourSentencesFor('de'))).toBe(
    'peroxide 10, strong iodide 10 und Wasser 10',
  );
});

test('a full name wins over what this run gets', () => {
  expect(matched('strong iodide', ['h'])).toBe('i');
});

test('words far from every name match nothing', () => {
  expect(matched('vinegar', ['p'])).toBe('none');
  expect(matched('', ['p'])).toBe('none');
  expect(matched('wader', ['water'])).toBe('water');
  expect(matched('acid', ['p'])).toBe('none');
});

test('volumes of a run are said in the order they are planned', () => {
  expect(poursInWords(plan, the(plan.runs[1]))).toBe('peroxide 10, half iodide 10 and water 10');
});

test('in German all of it is German, with decimal commas: each question and each answer', () => {
  const de = pourSentencesFor('de-DE');
  const said: string[] = [];
  const tell = (value: string, reagent: string, reply: boolean | null, bench_ = bench()) => {
    const answer = checkPour(bench_.state(), { value, reagent }, { timeMs: 1000, run: null }, de);
    bench_.record(...answer.events);
    said.push(answer.say);
    if (reply === null) return;
    const settled = answerPour(bench_.state(), reply, { timeMs: 2000, run: null }, de);
    bench_.record(...(settled?.events ?? []));
    if (settled) said.push(settled.say);
  };
  tell('10', 'peroxide', null);
  tell('7.5', 'peroxide', true);
  tell('7.5', 'peroxide', false);
  tell('12.5', 'peroxide', true);
  tell('12.5', 'peroxide', false);
  tell('9.9', 'peroxide', null);
  tell('5', 'half iodide', true);
  tell('5', 'half iodide', false);
  tell('5', 'iodide', null);
  tell('5', 'vinegar', null);
  tell('5', 'peroxide', null, bench(null));
  expect(said.slice(0, 3)).toEqual([
    'peroxide 10, wie geplant. Als Nächstes: strong iodide 10.',
    'Im Plan stehen 10 mL peroxide, angesagt sind 7,5. „Ja“ behält 7,5; sonst das richtige Volumen sagen.',
    'peroxide 7,5 bleibt und zählt für die Konzentrationen. Als Nächstes: strong iodide 10.',
  ]);
  const english =
    /\b(the|plan says|as planned|next|pour|taken|is|noted|keep|more|empty|everything|gets|and|or|say|in all|none?)\b/i;
  for (const sentence of said) expect(sentence).not.toMatch(english);
  expect(said.join(' ')).not.toMatch(/\{\w+\}|\d\.\d/);
  // Both languages have the same sentences with the same places to fill in.
  const places = (text: string) => [...text.matchAll(/\{\w+\}/g)].map(([place]) => place).sort();
  const en = pourSentencesFor('en-GB');
  for (const key of Object.keys(en) as (keyof typeof en)[]) expect(places(de[key]), key).toEqual(places(en[key]));
});
