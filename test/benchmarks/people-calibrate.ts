import { readFileSync } from 'node:fs';
import type { Net } from '../../src/hearing/ear/net.ts';
import { recognise } from '../../src/hearing/ear/recognise.ts';
import { loudestChannel, readWav } from '../../src/hearing/wav.ts';
import { judge } from '../../src/language/expectation.ts';
import { wantedRisk } from '../../src/language/taken-alone.ts';
import { understand } from '../../src/language/understand.ts';
import { en } from '../../src/language/words/en.ts';
import { meaningsOf } from './ear-sound.ts';
import type { Lay } from './people-runs.ts';

/** A probability that was given, and whether it came true. */
export interface Given {
  readonly p: number;
  readonly right: boolean;
}

/**
 * Chance of being right at each probability given, in falling order of these: isotonic regression, which pools
 * neighbours until the chance never rises as the probability falls (pool adjacent violators).
 */
export function isotonic(given: readonly Given[]): { readonly p: number; readonly chance: number }[] {
  // Of equal ones the wrong first: they are pooled then.
  const sorted = [...given].sort((a, b) => b.p - a.p || Number(a.right) - Number(b.right));
  const blocks: { right: number; of: number }[] = [];
  for (const { right } of sorted) {
    let block = { right: right ? 1 : 0, of: 1 };
    for (let above = blocks.at(-1); above && above.right * block.of < block.right * above.of; above = blocks.at(-1)) {
      block = { right: block.right + above.right, of: block.of + above.of };
      blocks.pop();
    }
    blocks.push(block);
  }
  const chances = blocks.flatMap(({ right, of }) => Array.from({ length: of }, () => right / of));
  return sorted.map(({ p }, k) => ({ p, chance: chances[k] ?? 0 }));
}

/** The least p such that of all given at least as much no more than `risk` are wrong by the fit; with counts. */
export function leastFor(risk: number, given: readonly Given[]): { from: number; taken: number; wrong: number } {
  let [sum, from] = [0, 1];
  for (const [k, { p, chance }] of isotonic(given).entries()) {
    sum += 1 - chance;
    if (sum <= risk * (k + 1)) from = p;
  }
  const some = given.filter(({ p }) => p >= from);
  return { from, taken: some.length, wrong: some.filter(({ right }) => !right).length };
}

const context = {
  frame: { stepMl: 2, startMl: null, capacityMl: 100, divisionMl: 1 },
  prediction: null,
  runOpen: true,
  paused: false,
  question: null,
} as const;
/** The call is the next mark, an unmarked line two steps and a half further, or the first of its run. */
const places: readonly (readonly [string, readonly number[]])[] = [
  ['first of a run', []],
  ['the mark due', [6, 4, 2]],
  ['off the marks', [9, 7, 5]],
];

/** @param from calls of people to choose by (`training/choose_clips.py`) */
export function calibrate(net: Net, from: string, lay: Lay): void {
  const list = JSON.parse(readFileSync(`${from}/list.json`, 'utf8')) as { kind: string; words: string[] }[];
  const own: Given[] = [];
  const ofStrangers: Given[] = [];
  const first: Given[] = [];
  const rows = new Map<string, number[]>();
  for (const db of [55, 20, 10])
    for (const [i, { kind, words }] of list.entries()) {
      const stranger = kind === 'strangers';
      const said = understand([{ text: words.join(' '), p: 1, ear: 'prompt' }], en).candidates[0]?.candidate;
      const value = !stranger && said?.kind === 'reading' && said.values.length === 1 ? Number(said.values[0]) : null;
      // Rows of digits are telephone numbers, which nobody calls at the bench.
      if (!stranger && (value === null || value > 100 || words.length > 3)) continue;
      const sound = readWav(readFileSync(`${from}/${i}.wav`));
      const answer = recognise(net, lay(loudestChannel(sound), sound.sampleRate, db, i + 1), sound.sampleRate);
      const [top] = meaningsOf(answer);
      // Below a half nothing is taken; the fit is for what may be.
      if (top && top.p >= 0.5 && /^[\d.]+$/.test(top.meaning))
        (stranger ? ofStrangers : own).push({ p: top.p, right: Number(top.meaning) === value });
      const heard = understand(
        answer.best.map(({ text, p }) => ({ text, p, ear: 'own' })),
        en,
      );
      for (const [place, back] of places) {
        if (back.length > 0 && (value === null || value < 9)) continue;
        const earlier = back.map((ml, k) => ({
          timeS: 10 * k,
          value: String((value ?? 0) - ml),
          settled: false,
          clear: true,
        }));
        const { outcome, meaning, p } = judge(heard, { ...context, earlier }, en);
        const reading = meaning?.kind === 'reading' && meaning.values.length === 1 ? meaning.values[0] : undefined;
        const right = reading !== undefined && Number(reading.value) === value;
        if (back.length === 0 && reading && p >= 0.5) first.push({ p, right });
        const name = `${stranger ? 'strangers, ' : ''}${place}`;
        const counts = rows.get(name) ?? [0, 0, 0, 0];
        rows.set(name, counts);
        counts[0] = (counts[0] ?? 0) + 1;
        const at = outcome === 'taken' ? (right ? 1 : 2) : outcome === 'doubtful' ? 3 : 0;
        if (at > 0) counts[at] = (counts[at] ?? 0) + 1;
      }
    }
  console.log('From which probability a number is taken, by people to choose by and strangers');
  for (const [name, given] of [
    ['calls', own],
    ['calls and strangers', [...own, ...ofStrangers]],
    ['belief in the first call of a run', first],
  ] as const) {
    const { from: least, taken, wrong } = leastFor(wantedRisk, given);
    console.log(
      `${name.padEnd(34)} mean risk ${wantedRisk} from ${least.toFixed(3)}: ${taken} of ${given.length} taken, ${wrong} wrong`,
    );
  }
  console.log('\nWhat the rules do with them: calls, taken right, taken wrong, in doubt');
  for (const [name, counts] of rows)
    console.log(name.padEnd(34), counts.map((count) => String(count).padStart(5)).join(' '));
}
