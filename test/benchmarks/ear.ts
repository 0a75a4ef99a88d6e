import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { type HeardMeaning, utterancesIn } from '../../src/commands/hear.ts';
import { type KnownCall, type LearntVoice, learnVoice } from '../../src/hearing/ear/adapt.ts';
import { hearSamples, shippedNet } from '../../src/hearing/ear/hear-samples.ts';
import { makeChance, pinkNoise, swirlNoise } from '../browser/speech-sound.ts';
import { browserTable } from './ear-in-browser.ts';
import { runsTable } from './ear-runs.ts';
import {
  conditions,
  humanDigits,
  makeItems,
  meaningOf,
  meaningsOf,
  prepare,
  strangers,
  utter,
  voices,
} from './ear-sound.ts';

/**
 * How well the embedded ear hears: a synthesis engine that it was not trained on (flite), people's digits, speech that
 * is not for it, noise without speech. Prints its tables; `npm run bench` runs it.
 */

/** The rule of thumb for taking an answer without asking: clearly likely, and clearly likelier than its rival. */
export function taken(list: readonly { meaning: string; p: number }[]): string | null {
  const [first, second] = list;
  return first && first.p >= 0.5 && first.p >= 2 * (second?.p ?? 0) ? first.meaning : null;
}

const isReading = (meaning: string) => /^[\d.]+$/.test(meaning);
const percent = (part: number, whole: number) => `${((100 * part) / Math.max(1, whole)).toFixed(1)}`.padStart(6);
const median = (list: readonly number[]) => [...list].sort((a, b) => a - b)[list.length >> 1] ?? Number.NaN;

export async function engineTable(perVoice: number): Promise<void> {
  console.log(`Held-out engine (flite), ${perVoice} sentences x ${voices.length} voices, % with kind and number right`);
  console.log('                right  top 3  taken  taken wrong | first right by voice');
  prepare(voices.flatMap((voice, v) => makeItems(perVoice, 11 + v).map(({ text }) => ({ text, voice }))));
  const times: number[] = [];
  for (const { name, snrDb } of conditions) {
    let [right, third, took, wrong, all] = [0, 0, 0, 0, 0];
    const byVoice: string[] = [];
    const misses: string[] = [];
    for (const [v, voice] of voices.entries()) {
      let mine = 0;
      for (const [i, item] of makeItems(perVoice, 11 + v).entries()) {
        const sound = await utter(item.text, voice, snrDb, 100 + i);
        const began = performance.now();
        const list = meaningsOf(hearSamples(sound.samples, sound.sampleRate));
        times.push(performance.now() - began);
        all++;
        if (list[0]?.meaning === item.meaning) {
          right++;
          mine++;
        } else
          misses.push(
            `${voice}: ${item.text} -> ${
              list
                .slice(0, 2)
                .map(({ meaning, p }) => `${meaning} (${p.toFixed(2)})`)
                .join(', ') || 'nothing'
            }`,
          );
        if (list.slice(0, 3).some(({ meaning }) => meaning === item.meaning)) third++;
        const taking = taken(list);
        if (taking !== null) took++;
        if (taking !== null && taking !== item.meaning) wrong++;
      }
      byVoice.push(`${voice} ${percent(mine, perVoice).trim()}`);
    }
    console.log(
      `${name.padEnd(14)} ${percent(right, all)} ${percent(third, all)} ${percent(took, all)} ${percent(wrong, all)}       | ${byVoice.join('  ')}`,
    );
    if (process.env.MISSES) console.log(misses.join('\n'));
  }
  console.log(`Time for one utterance in Node: median ${median(times).toFixed(0)} ms\n`);
}

export function digitsTable(): void {
  const digits = humanDigits();
  if (!digits.length) {
    console.log('Human digits: not at hand, left out\n');
    return;
  }
  console.log(`Human digits, ${digits.length} recordings at 8 kHz, grammar of numbers only, % right`);
  console.log('                right  top 3  taken  taken wrong | first right by speaker');
  for (const { name, snrDb } of conditions) {
    let [right, third, took, wrong] = [0, 0, 0, 0];
    const speakers = new Map<string, [number, number]>();
    for (const [i, { digit, speaker, samples, sampleRate }] of digits.entries()) {
      const sound = withRoom(samples, sampleRate, snrDb, i);
      const list = meaningsOf(hearSamples(sound, sampleRate, 'numbers'));
      const mine = speakers.get(speaker) ?? [0, 0];
      mine[1]++;
      if (list[0]?.meaning === String(digit)) {
        right++;
        mine[0]++;
      }
      speakers.set(speaker, mine);
      if (list.slice(0, 3).some(({ meaning }) => meaning === String(digit))) third++;
      const taking = taken(list);
      if (taking !== null) took++;
      if (taking !== null && taking !== String(digit)) wrong++;
    }
    const n = digits.length;
    const by = [...speakers].map(([who, [ok, of]]) => `${who} ${percent(ok, of).trim()}`).join('  ');
    console.log(
      `${name.padEnd(14)} ${percent(right, n)} ${percent(third, n)} ${percent(took, n)} ${percent(wrong, n)}       | ${by}`,
    );
  }
  console.log();
}

/** The recording with a quarter second of room before it and a fifth after, in pink noise at a level below the speech. */
function withRoom(samples: Float32Array, rate: number, snrDb: number | null, seed: number): Float32Array {
  const chance = makeChance(seed + 1);
  const lead = Math.round(rate * 0.25);
  const noise = pinkNoise(samples.length + lead + Math.round(rate * 0.2), chance);
  const hop = Math.round(rate * 0.02);
  const powers: number[] = [];
  for (let at = 0; at + hop <= samples.length; at += hop)
    powers.push(samples.subarray(at, at + hop).reduce((sum, v) => sum + v * v, 0) / hop);
  const loud = powers.filter((p) => p > Math.max(...powers) / 1000);
  const speech = loud.reduce((sum, p) => sum + p, 0) / loud.length;
  const power = noise.reduce((sum, v) => sum + v * v, 0) / noise.length;
  const gain = Math.sqrt((speech * 10 ** (-(snrDb ?? 55) / 10)) / power);
  return noise.map((v, i) => v * gain + (samples[i - lead] ?? 0));
}

/** The same recordings as files, through the whole of `hear`: trimmed tight as they are, and with silence around them. */
export function hearTable(): void {
  const digits = humanDigits();
  if (!digits.length) return;
  console.log(`Through \`hear\`: the same ${digits.length} recordings as files, all sentences possible, %`);
  console.log('                      one utterance  first right  first number right  in the top 3');
  for (const [name, padS] of [
    ['as they are', 0],
    ['1 s of silence around', 1],
  ] as const) {
    let [single, right, number, third] = [0, 0, 0, 0];
    for (const { digit, samples, sampleRate } of digits) {
      const pad = Math.round(padS * sampleRate);
      const sound = new Float32Array(samples.length + 2 * pad);
      sound.set(samples, pad);
      const utterances = utterancesIn(sound, sampleRate);
      const best = utterances[0]?.best ?? [];
      const numbers = best.filter(({ kind }) => kind === 'number');
      const isDigit = (one: HeardMeaning | undefined): boolean => one?.kind === 'number' && one.value === digit;
      if (utterances.length === 1) single++;
      if (isDigit(best[0])) right++;
      if (isDigit(numbers[0])) number++;
      if (best.slice(0, 3).some(isDigit)) third++;
    }
    const n = digits.length;
    console.log(
      `${name.padEnd(21)}         ${percent(single, n)}       ${percent(right, n)}              ${percent(number, n)}        ${percent(third, n)}`,
    );
  }
  console.log();
}

/** The words learnt last, and the sentences that weights before heard worst. */
const lateSentences: Readonly<Record<string, readonly string[]>> = {
  'pressure, digits': ['pressure nine eight five', 'pressure one oh one three', 'pressure nine nine six'],
  'pressure, thousand': [
    'pressure one thousand and thirteen',
    'pressure a thousand and two',
    'pressure one thousand twenty five',
  ],
  'pressure, hundred': ['pressure nine hundred and eighty', 'pressure nine hundred and ninety seven'],
  skip: ['skip'],
  'scratch that': ['scratch that'],
  done: ['done'],
  one: ['one'],
  'no and a number': ['no twenty', 'no thirty one', 'no eighteen', 'no fifty five'],
  poured: [
    'poured eighteen of water',
    'poured twelve of peroxide',
    'poured thirty of potassium iodide',
    'poured eight of iodide',
  ],
  'teen and ten': ['thirteen', 'thirty', 'fifteen', 'fifty', 'sixteen', 'sixty', 'eighteen', 'eighty'],
  'ready, rinsed': ['ready', 'rinsed'],
};

/** Each spoken at three speeds (and pitches), since a synthesiser says the same sentence only once. */
export async function lateTable(): Promise<void> {
  const sentences = Object.values(lateSentences).flat();
  prepare(voices.flatMap((voice) => sentences.map((text) => ({ text, voice }))));
  console.log(`Words learnt last and sentences heard worst before, ${voices.length} voices at 3 speeds, % right`);
  console.log('                       clean  20 dB  10 dB   clean, by voice');
  for (const [name, texts] of Object.entries(lateSentences)) {
    const shares: string[] = [];
    const byVoice = new Map<string, number>();
    const misses = new Map<string, number>();
    for (const { snrDb } of conditions.slice(0, 3)) {
      let right = 0;
      for (const voice of voices)
        for (const [i, text] of texts.entries())
          for (const [k, speed] of [0.92, 1, 1.08].entries()) {
            const sound = await utter(text, voice, snrDb, 300 + 10 * i + k);
            const [best] = meaningsOf(hearSamples(sound.samples, sound.sampleRate * speed));
            if (best?.meaning === meaningOf(text)) right++;
            if (snrDb !== null) continue;
            if (best?.meaning === meaningOf(text)) byVoice.set(voice, (byVoice.get(voice) ?? 0) + 1);
            else {
              const miss = `${voice}: ${text} -> ${best?.meaning ?? 'nothing'}`;
              misses.set(miss, (misses.get(miss) ?? 0) + 1);
            }
          }
      shares.push(percent(right, voices.length * texts.length * 3));
    }
    const each = voices.map((voice) => `${voice} ${percent(byVoice.get(voice) ?? 0, texts.length * 3).trim()}`);
    console.log(`${name.padEnd(22)} ${shares.join(' ')}   ${each.join('  ')}`);
    if (process.env.MISSES) for (const [miss, times] of misses) console.log(`    ${miss} (${times})`);
  }
  console.log();
}

export async function strangersTable(): Promise<void> {
  console.log(`Speech outside the vocabulary, ${strangers.length} phrases x ${voices.length} voices, % of them`);
  console.log('             taken as a reading  taken as anything  best guess is a reading  kept as speech');
  prepare(voices.flatMap((voice) => strangers.map((text) => ({ text, voice }))));
  for (const { name, snrDb } of conditions.slice(0, 3)) {
    let [reading, anything, guess, speech, all] = [0, 0, 0, 0, 0];
    const which: string[] = [];
    for (const voice of voices)
      for (const [i, phrase] of strangers.entries()) {
        const sound = await utter(phrase, voice, snrDb, 500 + i);
        const answer = hearSamples(sound.samples, sound.sampleRate);
        const list = meaningsOf(answer);
        const taking = taken(list);
        all++;
        if (taking !== null) {
          anything++;
          which.push(`${voice}: ${phrase} -> ${taking}`);
        }
        if (taking !== null && isReading(taking)) reading++;
        if (list[0] && isReading(list[0].meaning) && list[0].p > 0.05) guess++;
        if (answer.speech >= 0.1) speech++;
      }
    console.log(
      `${name.padEnd(12)} ${percent(reading, all)}              ${percent(anything, all)}             ${percent(guess, all)}                   ${percent(speech, all)}`,
    );
    if (process.env.MISSES) console.log(which.join('\n'));
  }
  console.log();
}

/** Sound without speech: how often it passes as speech, and as a reading. */
export function noiseTable(): void {
  const kinds: Record<string, (n: number, chance: () => number) => Float32Array> = {
    'pink noise': (n, chance) => pinkNoise(n, chance),
    swirling: (n, chance) => swirlNoise(n, 16000, chance),
    'a drop': (n, chance) => blip(n, chance, 0.015, 600 + 2500 * chance()),
    'a thud': (n, chance) => blip(n, chance, 0.08, 60 + 150 * chance()),
    'a beep': (n, chance) => blip(n, chance, 0.2, 400 + 1500 * chance()),
  };
  console.log('Sound without speech, 40 of each, %: kept as speech (p >= 0.1), taken as anything');
  for (const [name, make] of Object.entries(kinds)) {
    let [speech, took] = [0, 0];
    for (let i = 0; i < 40; i++) {
      const chance = makeChance(900 + i);
      const sound = make(16000, chance);
      const floor = pinkNoise(16000, chance);
      const answer = hearSamples(
        sound.map((v, k) => v * 0.1 + floor[k]! * 0.0005),
        16000,
      );
      if (answer.speech >= 0.1) speech++;
      if (taken(meaningsOf(answer)) !== null) took++;
    }
    console.log(`${name.padEnd(14)} ${percent(speech, 40)} ${percent(took, 40)}`);
  }
  console.log();
}

function blip(n: number, chance: () => number, decayS: number, hz: number): Float32Array {
  const out = new Float32Array(n);
  const start = 4000 + Math.floor(chance() * 4000);
  for (let i = start; i < n; i++) {
    const t = (i - start) / 16000;
    out[i] = Math.exp(-t / decayS) * Math.sin(2 * Math.PI * hz * t * (1 + t));
  }
  return out;
}

/** What learning a voice brings: calls right before and after, each judged by what was learnt from other calls. */
export async function learningTable(): Promise<void> {
  console.log('Learning a voice: right before -> after, on calls held back from the learning (4 folds)');
  const line = (who: string, { before, after, helps }: LearntVoice) =>
    console.log(
      `${who.padEnd(34)} ${percent(before.right, before.of)} % -> ${percent(after.right, after.of)} %   mean p of the right words ${before.p.toFixed(2)} -> ${after.p.toFixed(2)}   ${helps ? 'used' : 'not used'}`,
    );
  for (const voice of voices) {
    const items = makeItems(48, 5).map(({ text }) => text);
    prepare(items.map((text) => ({ text, voice })));
    const calls: KnownCall[] = [];
    for (const [i, text] of items.entries()) {
      const sound = await utter(text, voice, 3, 700 + i);
      calls.push({ text, samples: sound.samples, rate: sound.sampleRate });
    }
    line(`flite ${voice}, 48 calls at 3 dB`, learnVoice(shippedNet(), calls));
  }
  const digits = humanDigits();
  const names = 'zero one two three four five six seven eight nine'.split(' ');
  for (const who of new Set(digits.map(({ speaker }) => speaker))) {
    const calls = digits
      .filter(({ speaker }) => speaker === who)
      .map(({ digit, samples, sampleRate }, i) => ({
        text: names[digit]!,
        samples: withRoom(samples, sampleRate, null, i),
        rate: sampleRate,
      }));
    line(`human digits, ${who}, ${calls.length} calls`, learnVoice(shippedNet(), calls, 'numbers'));
  }
  console.log();
}

export function sizeTable(): void {
  const bytes = readFileSync(new URL('../../src/hearing/ear/ear.bin', import.meta.url));
  console.log(
    `Weights: ${(bytes.length / 1000).toFixed(0)} kB, ${(gzipSync(bytes, { level: 9 }).length / 1000).toFixed(0)} kB gzip\n`,
  );
}

if (process.argv[1]?.endsWith('ear.ts')) {
  sizeTable();
  await lateTable();
  await engineTable(process.argv.includes('--quick') ? 20 : 75);
  await runsTable(process.argv.includes('--quick') ? 4 : 24);
  digitsTable();
  hearTable();
  await strangersTable();
  noiseTable();
  await learningTable();
  console.log(`Memory of this Node process: ${(process.memoryUsage().rss / 1e6).toFixed(0)} MB\n`);
  await browserTable();
}
