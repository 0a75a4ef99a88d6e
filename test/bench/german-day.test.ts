import { expect, test } from 'vitest';
import { daySteps, dueStep } from '../../src/bench/day.ts';
import { runSheetDecisions } from '../../src/bench/decisions.ts';
import { warningsOf } from '../../src/bench/warnings.ts';
import { wordsToSay } from '../../src/language/call-words.ts';
import { de } from '../../src/language/words/de.ts';
import type { Plan } from '../../src/log/plan.ts';
import { testBench } from './bench.ts';

/** Words of English answers that no German sentence has ("in", "an", "so", "mark" and "was" are German too). */
const english =
  /\b(the|is|are|not|no|and|or|of|to|you|say|said|next|run|runs|reading|readings|taken|noted|nothing|there|heard|which|ended|started|step|pour|poured|doubt|struck|settled|standing|go ahead|last|with|for|at|it|air|pressure|baseline [0-9])\b/i;

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'p', name: 'Peroxid', species: 'H2O2', strength: { value: 3, unit: '%w/v' } },
    { id: 'i', name: 'Iodid', species: 'I-', strength: { value: 0.2, unit: 'mol/L' } },
  ],
  dilutions: [],
  runs: ['1', '2'].map((label) => ({
    label,
    pours: [
      { solution: 'water', volumeMl: 15 },
      { solution: 'i', volumeMl: 10 },
      { solution: 'p', volumeMl: 12 },
    ],
  })),
};

async function germanBench(withPlan: boolean) {
  const bench = await testBench({ decisions: runSheetDecisions, words: de });
  bench.prefer({ language: 'de-DE', readBack: 'always' });
  if (withPlan) await bench.journal.record({ kind: 'planned', plan });
  let atS = 0;
  const answers: string[] = [];
  return {
    ...bench,
    answers,
    async tell(...offered: string[]) {
      const before = bench.said.length;
      atS += 10;
      await bench.say('', atS, { alternatives: offered.filter((one) => one !== '') });
      const shown = bench.session.view().exchange?.answer ?? '';
      answers.push(
        `${offered[0]} → ${shown}`,
        ...bench.said.slice(before).map((said) => `${offered[0]} → aloud: ${said}`),
      );
      return shown;
    },
  };
}

/** The part after the arrow: what the person said may be anything. */
const inEnglish = (answers: readonly string[]): string[] =>
  answers.filter((answer) => english.test(answer.slice(answer.indexOf('→'))));

test('no answer is English on a German day: every act, every refusal, with and without a run sheet', async () => {
  for (const withPlan of [true, false]) {
    const bench = await germanBench(withPlan);
    const early = [
      '12',
      'marke',
      'streichen',
      'korrektur 12',
      'das war 12',
      'noch einmal',
      'ende lauf',
      'ja',
      'wie schnell',
    ];
    const day = [
      'nächster schritt',
      'fertig',
      'fertig',
      'vorheriger schritt',
      'schritt lesen',
      'eingegossen 15 von wasser',
    ];
    const pours = [
      'eingegossen 8 von iodid',
      'nein',
      '10',
      'eingegossen 12 von peroxid',
      'temperatur 296',
      'temperatur 21',
    ];
    const before = [
      'luftdruck 12',
      'luftdruck 1005',
      'grundlinie 999',
      'grundlinie 10',
      'nächster lauf',
      'marke',
      'start lauf 1',
    ];
    for (const said of [...early, ...day, ...pours, ...before]) await bench.tell(said);
    for (const said of ['12', '14', '16', '18', '19', '20', '21', '22']) await bench.tell(said);
    for (const said of [
      '',
      'unverständlich hier',
      'marke',
      'noch einmal',
      'korrektur 24',
      'korrektur 12',
      'korrektur 999',
    ])
      await bench.tell(said);
    await bench.tell('50', '26');
    await bench.tell('achtzig');
    const rest = [
      'das war 27',
      'streichen',
      'halt',
      '29',
      'weitermachen',
      'schwenken',
      'leck',
      'verschüttet',
      'notiz Stopfen lose',
    ];
    for (const said of [
      ...rest,
      '30',
      '31',
      '32',
      '33',
      '34',
      'wie lange',
      'wie schnell',
      'nächster lauf',
      'ende lauf',
      'fertig',
    ])
      await bench.tell(said);
    for (let k = 0; k < 4; k++) {
      await bench.session.undo();
      bench.answers.push(`undo → ${bench.session.view().exchange?.answer}`);
    }
    bench.breakStorage(true);
    await bench.tell('start lauf 7');
    if (process.env.TRANSCRIPT) console.log(bench.answers.join('\n'));
    expect(inEnglish(bench.answers)).toEqual([]);
    expect(bench.answers.length).toBeGreaterThan(80);
    for (const run of bench.state().runs)
      expect(inEnglish(warningsOf(run, 9e6, 'de').map(({ text }) => `→ ${text}`))).toEqual([]);
  }
});

test('decimals have a comma in German answers, on the screen and aloud', async () => {
  const bench = await germanBench(false);
  await bench.tell('start lauf 1');
  await bench.tell('10');
  expect(await bench.tell('12,5')).toMatch(/12,5 mL/);
  for (const said of ['14', '16', 'temperatur 21,5', 'wie schnell']) await bench.tell(said);
  const decimals = bench.answers.filter((answer) => /→.*\d[.,]\d/.test(answer));
  expect(decimals.length).toBeGreaterThan(2);
  expect(decimals.filter((answer) => /→.*\d\.\d/.test(answer))).toEqual([]);
});

test('on a German page with English calls steps and pours are shown in German, with the English words to say', async () => {
  const bench = await testBench({ decisions: runSheetDecisions, shownIn: 'de' });
  bench.prefer({ readBack: 'always' });
  await bench.journal.record({ kind: 'planned', plan });
  const shown = async (said: string, atS: number): Promise<string> => {
    await bench.say('', atS, { alternatives: [said] });
    return bench.session.view().exchange?.answer ?? '';
  };
  const step = await shown('what now', 10);
  expect(step).toMatch(/^Vor dem Beginn\. /);
  expect(step).toContain('„Done“ sagen');
  const pour = await shown('poured 11 of iodid', 20);
  expect(pour).toMatch(/Im Plan stehen 10 mL Iodid/);
  expect(pour).toContain('„Yes“ behält');
  expect(await shown('disregard', 30)).toMatch(/^Zurückgenommen: /);
  expect(inEnglish(bench.said.map((said) => `→ ${said}`))).toHaveLength(bench.said.length);
});

test('on a German page with English calls, water is poured by the word that the English ear knows', async () => {
  const bench = await testBench({ decisions: runSheetDecisions, shownIn: 'de' });
  await bench.journal.record({ kind: 'planned', plan });
  const due = (): string => wordsToSay(dueStep(bench.state(), 'de'), 'de', 'en-GB');
  await bench.say('poured 10 of iodide', 10);
  expect(due()).toContain('15 mL Wasser eingießen. „Poured 15 of water“ sagen');
  const sheet = daySteps(bench.state(), 'de').map(({ text }) => wordsToSay(text, 'de', 'en-GB'));
  expect(sheet.join(' ')).toContain('Jede ansagen: „poured 15 of water“');
});
