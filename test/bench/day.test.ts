import { expect, test } from 'vitest';
import { leadAfter, missingConditions, whereInTheDay } from '../../src/bench/day.ts';
import { dayTexts } from '../../src/bench/day-texts.ts';
import { runSheetDecisions } from '../../src/bench/decisions.ts';
import { shippedNet } from '../../src/hearing/ear/hear-samples.ts';
import type { Plan } from '../../src/log/plan.ts';
import { testBench } from './bench.ts';

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' } },
    { id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.2, unit: 'mol/L' } },
  ],
  dilutions: [{ id: 'h', name: 'half iodide', from: 'i', takeMl: 50, makeUpToMl: 100 }],
  runs: ['1', '2', '3'].map((label) => ({
    label,
    pours: [
      { solution: 'water', volumeMl: 15 },
      { solution: label === '2' ? 'h' : 'i', volumeMl: 10 },
      { solution: 'p', volumeMl: 12 },
    ],
  })),
};

async function day(withPlan = true) {
  const bench = await testBench({ decisions: runSheetDecisions });
  if (withPlan) await bench.journal.record({ kind: 'planned', plan });
  let atS = 0;
  return {
    ...bench,
    /** Says something ten seconds after the last; gives what the tool shows and where it then is. */
    async tell(words: string) {
      const before = bench.said.length;
      atS += 10;
      await bench.say(words, atS);
      const { part, run } = whereInTheDay(bench.state());
      return {
        shown: bench.session.view().exchange?.answer ?? '',
        aloud: bench.said.slice(before).join(' | '),
        part,
        run,
      };
    },
    async aRun(label: string, from: number) {
      await this.tell(`start run ${label}`);
      for (let k = 0; k <= 10; k++) await this.tell(String(from + 2 * k));
      return this.tell('end run');
    },
  };
}

test('"next step" goes through the whole day, from the goggles to clean hands', async () => {
  const bench = await day();
  const parts: string[] = [];
  for (let k = 0; k < 80; k++) {
    const { part, run, aloud } = await bench.tell(k % 2 === 0 ? 'next step' : 'done');
    if (aloud.startsWith('That was the last step')) break;
    const name = `${part}${run === null ? '' : ` ${run}`}`;
    if (parts.at(-1) !== name) parts.push(name);
  }
  const aRun = (label: string) =>
    ['pour', 'temperature', 'baseline', 'start', 'first-reading', 'read', 'end', 'change-over'].map(
      (part) => `${part} ${label}`,
    );
  expect(parts).toEqual([
    ...['begin', 'label', 'dilute', 'set-up', 'pressure'],
    ...aRun('1'),
    ...aRun('2'),
    ...aRun('3').slice(0, -1),
    'clean-up',
  ]);
});

test('"next step" is read aloud and remembered; "what now" reads it again, "previous step" the one before', async () => {
  const bench = await day();
  expect((await bench.tell('next step')).aloud).toMatch(
    /^Before you begin\. Goggles on.* Say done when you are ready\.$/,
  );
  const second = await bench.tell('done');
  expect(second.aloud).toMatch(/^Know where spills/);
  expect((await bench.tell('what now')).aloud).toContain(second.aloud);
  expect((await bench.tell('previous step')).aloud).toMatch(/^Before you begin\. Goggles on/);
  expect((await bench.tell('previous step')).aloud).toMatch(/^This is the first step\. /);
  expect(bench.state().step).toBe(1);
});

test('after run 1 "next step" goes to the changeover, though no step was asked for before', async () => {
  const bench = await day();
  await bench.aRun('1', 41);
  const { aloud, part, run } = await bench.tell('next step');
  expect([part, run]).toEqual(['change-over', '1']);
  expect(aloud).toMatch(/^Changeover after run 1\. Open the stopper first, then empty the flask into the waste/);
  expect((await bench.tell('done')).aloud).toMatch(/^Rinse the flask twice/);
  expect((await bench.tell('rinsed')).aloud).toMatch(/^Pour back some water/);
  expect((await bench.tell('done')).aloud).toMatch(/^Run 2\. Pour for run 2: water 15, half iodide 10 and peroxide 12/);
});

test('whoever asked once is led on: each thing that is done says the next, and what answers it', async () => {
  const bench = await day();
  await bench.tell('what now');
  await bench.tell('pressure 1005');
  expect((await bench.tell('poured fifteen of water')).aloud).toBe('water 15, as planned. Next: iodide 10.');
  expect((await bench.tell('what now')).aloud).toBe(
    'Run 1: pour 10 millilitres of iodide. Say poured 10 of iodide when it is in.',
  );
  const poured = await bench.tell('poured ten of iodide');
  expect(poured.aloud).toMatch(
    /peroxide 12 goes in last: measure it and keep it ready\. Next: Measure the temperature/,
  );
  expect((await bench.tell('temperature 21')).aloud).toMatch(/^Temperature 21 degrees Celsius\. Next: .*call baseline/);
  expect((await bench.tell('baseline 40')).aloud).toMatch(/^Baseline 40\. Next: Call start run 1\. Pour the last/);
  const start = await bench.tell('start run one');
  // In a run the tool keeps still.
  expect([start.aloud, start.part]).toEqual(['', 'first-reading']);
  for (const ml of ['41', '43', '45']) expect((await bench.tell(ml)).aloud).toBe('');
  expect((await bench.tell('what now')).aloud).toBe('Run 1: 47 is the next volume to call.');
  expect((await bench.tell('next run')).aloud).toBe('');
});

test('the end of a run leads to the changeover, the end of the last one to cleaning up', async () => {
  const bench = await day();
  await bench.tell('what now');
  expect((await bench.aRun('1', 41)).aloud).toMatch(
    /^Run 1 is over, with 11 readings\. Next: Changeover after run 1\. Open the stopper.* Say done when you are ready\.$/,
  );
  await bench.aRun('2', 31);
  expect((await bench.aRun('3', 8)).aloud).toMatch(/^Run 3 is over, with 11 readings\. Next: Clean up\. Put waste/);
  await bench.tell('done');
  expect((await bench.tell('done')).aloud).toMatch(/^Wipe up spills/);
  expect((await bench.tell('done')).aloud).toBe('That was the last step. Everything is done.');
});

test('who never asks for a step is not talked at', async () => {
  const bench = await day();
  await bench.tell('poured fifteen of water');
  await bench.tell('baseline 40');
  await bench.aRun('1', 41);
  expect(bench.said).toEqual([]);
});

test('missing air pressure and temperature are asked for once, before run 1, and "skip" is remembered', async () => {
  const bench = await day();
  await bench.tell('what now');
  const asked = await bench.tell('baseline 40');
  expect(asked.aloud).toMatch(
    /^Baseline 40\. The air pressure and the temperature are missing\. .*Next step goes on without\.$/,
  );
  expect((await bench.tell('pressure 1005')).aloud).toBe(
    'Air pressure 1005. The temperature is missing. Say temperature and the number. Next step goes on without.',
  );
  expect((await bench.tell('next step')).aloud).toMatch(
    /^Going on without the temperature\. .* Next: Call start run 1/,
  );
  expect(bench.state().skipped).toEqual(['temperature']);
  expect(bench.state().setup.pressure).toEqual({ kind: 'station', hPa: 1005 });
  await bench.aRun('1', 41);
  expect((await bench.tell('baseline 40')).aloud).not.toMatch(/missing/);
  expect(missingConditions(bench.state())).toEqual([]);
});

test('a pressure that nobody gives is asked for by the steps too, and going on leaves it out', async () => {
  const bench = await day();
  let heard = await bench.tell('next step');
  while (heard.part !== 'pressure') heard = await bench.tell('done');
  expect(heard.aloud).toMatch(/Read the barometer: say pressure/);
  expect((await bench.tell('skip')).aloud).toMatch(/^Going on without the air pressure\..* Pour for run 1/);
  expect(bench.state().skipped).toEqual(['pressure']);
});

test('a figure that cannot be true is not taken, and the slip is named', async () => {
  const bench = await day();
  await bench.tell('what now');
  expect((await bench.tell('temperature 296')).aloud).toBe(
    '296 degrees Celsius cannot be right; it looks like 296 kelvin. That is 22.85 degrees Celsius. Nothing was taken.',
  );
  expect((await bench.tell('temperature 296')).shown).toMatch(/looks like 296 K\. That is 22\.85 °C/);
  expect((await bench.tell('pressure 101.3')).shown).toMatch(/looks like 101\.3 kPa\. That is 1013 hPa/);
  expect(bench.state().setup.pressure).toBeUndefined();
});

test('without a run sheet the day is led all the same', async () => {
  const bench = await day(false);
  expect((await bench.tell('what now')).aloud).toMatch(/^There is no run sheet yet\. Before you begin\. Goggles on/);
  await bench.tell('baseline 40');
  await bench.tell('skip');
  const ended = await bench.aRun('1', 41);
  expect(ended.aloud).toMatch(/Next: Changeover after run 1/);
  await bench.tell('done');
  await bench.tell('done');
  expect((await bench.tell('done')).aloud).toMatch(/^Run 2\. Fill the flask of run 2/);
});

test('in German all that leads is German', async () => {
  const bench = await day();
  const state = bench.state();
  await bench.tell('baseline 40');
  expect(leadAfter(state, bench.state(), 'de-DE')).toMatch(/^Luftdruck und Temperatur fehlen\./);
  await bench.tell('skip');
  const before = bench.state();
  await bench.tell('start run one');
  expect(leadAfter(before, bench.state(), 'de-DE')).toMatch(/^Als Nächstes: Schwenken, bis Gas strömt/);
});

test('the embedded ear knows each word that the tool asks for, or the word can be typed instead', () => {
  const known = new Set(shippedNet().labels);
  for (const missing of [['pressure'], ['temperature'], ['pressure', 'temperature']] as const) {
    const text = dayTexts.en.missing(missing);
    const unknown = [...text.matchAll(/“([^”]+)”/g)].flatMap(([, said = '']) =>
      said.split(' ').filter((word) => !known.has(word.toLowerCase())),
    );
    const typed = (word: string): boolean => new RegExp(`“${word}” and the number[^.“]*, or type it`).test(text);
    expect(unknown.filter((word) => !typed(word))).toEqual([]);
  }
});
