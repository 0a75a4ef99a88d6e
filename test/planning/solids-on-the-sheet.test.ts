/** A solid reagent on the run sheet: what is said of it, in both languages, and how it is edited. */
import { expect, test } from 'vitest';
import { Plan } from '../../src/log/plan.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { checklistOf, stepsAloud } from '../../src/planning/checklist.ts';
import { checklistReactionOf } from '../../src/planning/checklist-reaction.ts';
import { adviceOf } from '../../src/planning/plan-advice.ts';
import { solidChoices } from '../../src/planning/plan-mixture.ts';
import { solidsInWords } from '../../src/planning/solid-words.ts';
import { setSolid } from '../../src/screens/run-sheet/plan-edits.ts';

const magnesium = (massG: number, acidMl = 20): Plan => ({
  reaction: 'magnesium-acid',
  stocks: [{ id: 'acid', name: 'acid', species: 'HCl', strength: { value: 1, unit: 'mol/L' } }],
  dilutions: [],
  runs: [
    {
      label: '1',
      pours: [{ solution: 'acid', volumeMl: acidMl }],
      solids: [{ species: 'Mg', massG, uMassG: 0.005, pieces: 'ribbon' }],
    },
  ],
});
const setup = {
  ...defaultSetup,
  temperatureC: 25,
  pressure: { kind: 'station', hPa: 1013.25 },
} as const;

test('0.10 g of magnesium in 20 mmol of acid makes 103.9 mL of gas and runs out first; the cylinder overflows', () => {
  // See test/analysis/solid-reagent.test.ts for the sum by hand.
  const { flasks, warnings } = adviceOf(magnesium(0.1), setup);
  const [flask] = flasks;
  expect(flask?.ceiling?.volumeMl).toBeCloseTo(103.9, 1);
  expect(flask?.mixture?.limiting).toBe('Mg');
  expect(flask?.solids[0]).toMatchObject({ key: 'Mg', name: 'magnesium', massG: expect.closeTo(0.1, 12) });
  expect(flask?.solids[0]?.uMassG).toBeCloseTo(0.005, 12);
  expect(warnings.join(' ')).toMatch(/makes 104 mL of gas: the 100 mL cylinder will overflow/);
});

test('of too little acid the acid runs out first, and the gas is half a mol for each of it', () => {
  // 4 mL of 1 mol/L are 4 mmol: 2 mmol of gas, 0.0020 * 8.31446 * 298.15/98156 m3 = 50.5 mL.
  const [flask] = adviceOf(magnesium(0.1, 4), setup).flasks;
  expect(flask?.mixture?.limiting).toBe('HCl');
  expect(flask?.ceiling?.volumeMl).toBeCloseTo(50.5, 1);
});

test('without a mass nothing is known of the gas, as before', () => {
  const { runs, ...plan } = magnesium(0.1);
  const bare = { ...plan, runs: runs.map(({ solids: _, ...run }) => run) };
  expect(adviceOf(bare, setup).flasks[0]).toMatchObject({ ceiling: null, solids: [] });
});

test('the checklist has it weighed before the acid is poured, with the cautions for it, in both languages', () => {
  const plan = magnesium(0.1);
  for (const [language, weigh, caution] of [
    ['en', 'Weigh or cut for run 1: 0.1 grams magnesium (ribbon).', /Magnesium burns/],
    ['de', 'Für Lauf 1 abwiegen oder abschneiden: 0,1 Gramm Magnesium (ribbon).', /Magnesium brennt/],
  ] as const) {
    const reaction = checklistReactionOf(plan, language);
    expect(reaction.pouring.join(' ')).toMatch(caution);
    const said = stepsAloud(plan, setup, reaction, language)
      .filter(({ part }) => part === 'pour')
      .map(({ say }) => say);
    expect(said[0]).toContain(weigh);
    expect(said).toHaveLength(2);
    const printed = checklistOf(plan, setup, reaction, language).flatMap(({ steps }) => steps.map(({ text }) => text));
    expect(printed.some((text) => /solids of the table|Feststoffe der Tabelle/.test(text))).toBe(true);
  }
});

test('a ribbon is written by its length; a solid without a figure is not written', () => {
  const plan = magnesium(0.1);
  const run = { label: '1', pours: [], solids: [{ species: 'Mg', lengthCm: 8, gPerM: 1.25 }] };
  expect(solidsInWords(plan, run, 'de')).toEqual(['8 cm Magnesium']);
  expect(solidsInWords(plan, { ...run, solids: [{ species: 'Mg', pieces: 'ribbon' }] }, 'en')).toEqual([]);
  expect(solidChoices(plan)).toEqual([{ key: 'Mg', name: 'magnesium' }]);
  expect(solidChoices({ ...plan, reaction: 'peroxide-iodide' })).toEqual([]);
});

test('a figure of a solid is set and taken out again, and every step can be stored', () => {
  const run = { label: '1', pours: [] };
  const weighed = setSolid(run, 'Mg', { massG: 0.1 });
  expect(weighed).toEqual({ ...run, solids: [{ species: 'Mg', massG: 0.1 }] });
  const both = setSolid(setSolid(weighed, 'Mg', { uMassG: 0.01 }), 'CaCO3', { massG: 2 });
  expect(both.solids).toHaveLength(2);
  expect(Plan.safeParse({ ...magnesium(0.1), runs: [both] }).success).toBe(true);
  expect(setSolid(weighed, 'Mg', { massG: undefined })).toEqual(run);
});
