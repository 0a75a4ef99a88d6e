import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { analyseRun } from '../../src/analysis/analyse-run.ts';
import type { Refused } from '../../src/analysis/run-data.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { tableRefusals } from '../../src/files/table-refusals.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { refusals } from '../../src/log/refusal.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { refusalText } from '../../src/results/analysis-texts.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { isNode, type SourceNode, sourceFiles, walk } from '../house/source.ts';
import { englishIn } from '../language/english-words.ts';

/** A sentence that takes words is asked for with these. */
const words = [3, 'A', 2, { en: 'it is odd', de: 'es ist seltsam' }] as const;

const said = (entry: unknown): unknown => {
  if (typeof entry !== 'function') return entry;
  for (const given of [words, ['A', 'B', 2], [['A', 'B']], [{ en: 'x', de: 'y' }], [3, { en: 'x', de: 'y' }]])
    try {
      const sentence: unknown = entry(...given);
      if (JSON.stringify(sentence).includes('[object')) continue;
      return sentence;
    } catch {
      // Other words, then.
    }
  throw new Error(`nothing fits ${entry}`);
};

test.each([
  ['refusals', refusals],
  ['tableRefusals', tableRefusals],
])('every sentence of %s is there in German', (_, all) => {
  for (const [name, entry] of Object.entries(all)) {
    const sentence = said(entry);
    expect(sentence, name).toMatchObject({ en: expect.any(String), de: expect.any(String) });
    const { en, de } = sentence as { en: string; de: string };
    expect(de, name).not.toBe(en);
    // Names of columns are those of the table.
    expect(englishIn(de.replace(/\w+(,\w+)+/g, '')), de).toEqual([]);
  }
});

/** Texts in a piece of source, what is put into them left out. */
function textsIn(node: SourceNode): string[] {
  const texts: string[] = [];
  const keys = new Set<unknown>();
  walk(node, (inner) => {
    if (inner.type === 'Property') keys.add(inner.key);
    if (inner.type === 'Literal' && typeof inner.value === 'string' && !keys.has(inner)) texts.push(inner.value);
    if (inner.type === 'TemplateLiteral' && Array.isArray(inner.quasis))
      texts.push(inner.quasis.map(({ value }) => value.cooked).join('…'));
    return undefined;
  });
  return texts;
}

const nameOf = (node: unknown): unknown => (isNode(node) ? node.name : undefined);

/** German in the source: what stands under a key `de`, and the second part of a catalogue. */
function germanIn(node: SourceNode): SourceNode | null {
  const { type, key, value, callee, arguments: given } = node;
  if (type === 'Property' && nameOf(key) === 'de' && isNode(value)) return value;
  const second = type === 'CallExpression' && nameOf(callee) === 'catalogue' && Array.isArray(given) ? given[1] : null;
  return isNode(second) ? second : null;
}

test('whatever is written in two languages has no English in its German', () => {
  const english: string[] = [];
  let found = 0;
  for (const { name, program } of sourceFiles(fileURLToPath(new URL('../../src', import.meta.url))))
    walk(program, (node) => {
      const german = germanIn(node);
      if (!german) return undefined;
      for (const text of textsIn(german)) {
        found++;
        if (englishIn(text).length > 0) english.push(`${name}: ${text}`);
      }
      return false;
    });
  expect(english).toEqual([]);
  expect(found).toBeGreaterThan(1500);
});

/** A new reason does not compile before it is here. */
const reasons: Readonly<Record<Refused['reason'], true>> = {
  'too-few-readings': true,
  'equal-times': true,
  'no-spread': true,
  'equal-temperatures': true,
  falling: true,
  'not-finite': true,
  'no-ceiling': true,
  'above-ceiling': true,
  'not-identifiable': true,
  'no-bend': true,
  'no-orders': true,
  'not-yet': true,
  'no-convergence': true,
  'no-concentrations': true,
  solid: true,
  'not-positive': true,
  failed: true,
};

test('every reason why something cannot be computed is there in German', () => {
  for (const reason of Object.keys(reasons) as Refused['reason'][]) {
    const german = refusalText({ ok: false, reason, sentence: 'The reason.' }, 'de');
    expect(german).toMatch(/^\p{Lu}.*\.$/u);
    expect(englishIn(german)).toEqual([]);
  }
});

test.each([{}, { startS: 0 }])('a straight run gives the same reason in German as in English (%o)', (start) => {
  const readings = Array.from({ length: 8 }, (_, i) => ({
    timeS: 20 * (i + 1),
    volumeM3: 2e-6 * (i + 1),
    uTimeS: 0.3,
    uVolumeM3: 1e-7,
  }));
  const run = analyseRun({ label: '1', readings, baselineM3: { value: 0, u: 1e-7 }, ...start });
  if (!run.ok || run.estimates.firstOrder.ok) throw new Error('a straight run has a ceiling');
  expect(run.estimates.firstOrder.sentence).toMatch(/do not bend enough/);
  expect(refusalText(run.estimates.firstOrder, 'de')).toMatch(/biegen sich zu wenig/);
});

/** All texts under a key that holds sentences. */
function sentencesIn(value: unknown, key = ''): string[] {
  if (typeof value === 'string')
    return /^(sentence|reason|k_reason|convention|notes|estimator|left_out)$/.test(key) ? [value] : [];
  if (Array.isArray(value)) return value.flatMap((inner) => sentencesIn(inner, key));
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, inner]) => sentencesIn(inner, name));
}

const rows = (label: number, each: (i: number) => string): string =>
  Array.from({ length: 9 }, (_, i) => `${label},${each(i)}`).join('\n');
const steady = (rate: number) => (i: number) => `${10 * i},${4 + rate * i}`;
const head = 'run,time_s,volume_mL';
const law = 'run,rate,conc_A_M,conc_B_M';

test.each<readonly [string, string]>([
  ['a steady run without a baseline', `${head}\n${rows(1, steady(2))}`],
  ['no column of runs', 'time_s,volume_mL\n0,4\n10,6\n20,8\n30,10'],
  ['a falling run', `${head}\n${rows(1, steady(-0.4))}`],
  ['a run that stands', `${head}\n${rows(1, steady(0))}`],
  ['one reading', `${head}\n1,0,4`],
  ['equal times', `${head}\n1,5,4\n1,5,6\n1,5,8`],
  ['a misheard reading', `${head}\n${rows(1, (i) => `${10 * i},${i === 5 ? 50 : 14 + 2 * i}`)}`],
  ['a missed mark', `${head}\n${rows(1, (i) => `${10 * i},${14 + 2 * i + (i > 5 ? 2 : 0)}`)}`],
  ['above the ceiling', `${head},ceiling_mL\n${rows(1, (i) => `${steady(2)(i)},12`)}`],
  ['one run alone', `${law}\n1,0.1,1,1`],
  ['an order left open', `${law}\n1,0.1,1,1\n2,0.2,2,1\n3,0.4,4,1`],
  ['two that change together', `${law}\n1,0.1,1,1\n2,0.4,2,2\n3,1.6,4,4`],
  ['no whole order', `${law}\n1,0.1,1,1\n2,0.13,2,1\n3,0.17,4,1\n4,0.2,4,2\n5,0.15,2,2`],
  ['a run without a reagent', `${law}\n1,0.1,1,1\n2,0.2,2,1\n3,0.2,1,2\n4,0.1,0,1`],
  ['a run without a rate', `${law}\n1,0.1,1,1\n2,0.2,2,1\n3,0.2,1,2\n4,0,1,1`],
  ['a wild order', `${law}\n1,0.1,1,1\n2,1e9,1.1,1\n3,0.1,1,2`],
  ['the demo', notebookToJson(demoNotebook(1.7e12))],
  ['a group', notebookToJson(groupNotebook(1, { iodideInRun2: 5, headspaceMl: 100 }))],
  ['a group that does not fit', notebookToJson(groupNotebook(2, { factorInRun2: 3, withoutPressure: true }))],
  ['a group with two runs', notebookToJson(groupNotebook(3, { runs: 2, lateEverySecondS: 9 }))],
])('`npm run rates` says why in German: %s', (_, text) => {
  const [german, english] = (['de', 'en'] as const).map((language) => ratesOfFile(text, language));
  expect(german?.ok).toBe(true);
  if (!german?.ok || !english?.ok) return;
  for (const sentence of sentencesIn(german.json)) expect(englishIn(sentence), sentence).toEqual([]);
  // The figures are the same ones.
  const figures = (value: unknown): string =>
    JSON.stringify(value, (_key, one) => (typeof one === 'string' ? '' : one));
  expect(figures(german.json)).toBe(figures(english.json));
});
