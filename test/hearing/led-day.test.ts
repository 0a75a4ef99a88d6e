import { expect, test } from 'vitest';
import { runSheetDecisions } from '../../src/bench/decisions.ts';
import { callsIn } from '../../src/hearing/ear/hear-samples.ts';
import type { Plan } from '../../src/log/plan.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { testBench } from '../bench/bench.ts';
import { makeSpeech, type Voice } from '../browser/speech-sound.ts';

/**
 * Three runs by the embedded ear alone, from a sound file: voices of a synthesiser that the ear did not learn from. The
 * same day as in `browser/bench-day.test.ts`, said in words that this ear knows. `TRANSCRIPT=1` prints what was said,
 * heard and answered.
 */
const flask = (water: number, iodide: number, peroxide: number): Plan['runs'][number]['pours'] => [
  { solution: 'water', volumeMl: water },
  { solution: 'i', volumeMl: iodide },
  { solution: 'p', volumeMl: peroxide },
];
const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' } },
    { id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.2, unit: 'mol/L' } },
  ],
  dilutions: [],
  runs: [
    { label: '1', pours: flask(18, 20, 12) },
    { label: '2', pours: flask(28, 10, 12) },
    { label: '3', pours: flask(24, 20, 6) },
  ],
};

const ones = 'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen';
const small = `${ones} seventeen eighteen nineteen`.split(' ');
const tens = '- - twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');

/** "thirty one point five" */
function inWords(value: number): string {
  const whole = Math.trunc(value);
  const name = whole < 20 ? small[whole] : `${tens[Math.trunc(whole / 10)]} ${whole % 10 > 0 ? small[whole % 10] : ''}`;
  const tenths = Math.round(10 * (value - whole));
  return `${name?.trim()}${tenths > 0 ? ` point ${small[tenths]}` : ''}`;
}

/** A run from any volume: one mark missed, one call taken back, one put right in other words, two numbers in one breath. */
function calls(from: number, missed: number, backWord: string, putRight: string): (string | readonly string[])[] {
  const said: (string | readonly string[])[] = [];
  for (let k = 0; k <= 10; k++) {
    const words = inWords(from + 2 * k);
    if (k === missed || k === 10) continue;
    // One is said wrong and put right, with the moment of the first.
    if (k === 6) said.push(inWords(from + 2 * k + 1), `${putRight} ${words}`);
    else if (k === 9) said.push([words, inWords(from + 20)]);
    else said.push(words);
    if (k === 3) said.push(inWords(from + 9), backWord);
  }
  return said;
}

const day: readonly { readonly voice: Voice; readonly says: readonly (string | readonly string[])[] }[] = [
  {
    voice: 'kal',
    says: [
      'what now',
      'done',
      'done',
      'next step',
      'poured eighteen of water',
      'poured thirty of iodide',
      'no twenty',
      'temperature twenty one',
      'baseline forty',
      // The air pressure is missing; "skip" and "pressure" are no words of this ear.
      'next step',
      'start run one',
      'poured twelve of peroxide',
      ...calls(41, 4, 'scratch that', 'that was'),
      'end run',
      'next step',
      'rinsed',
      'done',
    ],
  },
  {
    voice: 'kal',
    says: [
      'poured twenty eight of water',
      'poured eight of iodide',
      'yes',
      'temperature twenty one',
      'baseline thirty',
      'disregard',
      'baseline thirty one',
      'start run two',
      'poured twelve of peroxide',
      ...calls(31.5, 8, 'disregard', 'i said'),
      'end run',
      'what now',
      'done',
      'done',
    ],
  },
  {
    voice: 'awb',
    says: [
      'poured twenty four of water',
      'poured twenty of iodide',
      'poured eight of peroxide',
      'six',
      'temperature twenty two',
      'baseline eight',
      'start run three',
      ...calls(8, 5, 'disregard', 'make that'),
      'end run',
      'done',
      'done',
      'done',
    ],
  },
];

/** Silence after a call, s; and between the two numbers of one breath. */
const [pauseS, breathS] = [1.2, 0.4];

/** The whole day as one sound. */
async function soundOf() {
  const spoken: { text: string; atS: number; voice: Voice }[] = [];
  let atS = 1;
  for (const { voice, says } of day)
    for (const said of says) {
      const parts = typeof said === 'string' ? [said] : said;
      for (const [k, text] of parts.entries()) {
        spoken.push({ text, atS, voice });
        const { calls: lone } = await makeSpeech([{ text, atS: 0, voice }], { sampleRate: 16_000 });
        atS += (lone[0]?.endS ?? 1) + (k < parts.length - 1 ? breathS : pauseS);
      }
    }
  return makeSpeech(spoken, { sampleRate: 16_000, noise: 'pink', snrDb: 30 });
}

async function heardDay() {
  const bench = await testBench({ decisions: runSheetDecisions });
  await bench.journal.record(
    { kind: 'planned', plan },
    { kind: 'set-up', setup: { ...defaultSetup, cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'B' } } },
  );
  const sound = await soundOf();
  const transcript: string[] = [];
  for (const { onsetS, answer } of callsIn(sound.samples, sound.sampleRate)) {
    const meant = sound.calls.findLast((call) => call.onsetS < onsetS + 0.3)?.text;
    const before = bench.said.length;
    await bench.say('', onsetS, {
      ear: 'own',
      alternatives: answer.best.map(({ text, p }) => ({ text, confidence: p })),
    });
    const [best] = answer.best;
    transcript.push(
      `  > ${meant}   (heard ${best ? `“${best.text}” ${best.p.toFixed(2)}` : 'nothing'})`,
      `    ${bench.session.view().exchange?.answer}`,
      ...bench.said.slice(before).map((said) => `    aloud: ${said}`),
    );
  }
  if (process.env.TRANSCRIPT) console.log(transcript.join('\n'));
  return bench;
}

const table = (from: number, missed: number): string[] =>
  Array.from({ length: 11 }, (_, k) => String(from + 2 * k)).filter((_, k) => k !== missed);

test('three runs from 41, 31.5 and 8 by the embedded ear: the right table, with no touch', async () => {
  const { state } = await heardDay();
  const stands = state().runs.map(({ readings }) => readings.filter((one) => !one.struck).map(({ value }) => value));
  expect(stands).toEqual([table(41, 4), table(31.5, 8), table(8, 5)]);
  expect(state().skipped).toEqual(['pressure']);
  expect(state().runs.map(({ baseline }) => baseline)).toEqual(['40', '31', '8']);
}, 600_000);
