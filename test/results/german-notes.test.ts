import { expect, test } from 'vitest';
import { fillFlask, prepareSolutions } from '../../src/chemistry/preparation.ts';
import { reactionOf, reactions } from '../../src/chemistry/reactions.ts';
import type { StrengthUnit } from '../../src/log/plan.ts';
import { chemistryText } from '../../src/planning/chemistry-sentences.ts';
import { nameIn } from '../../src/planning/names.ts';
import { noteText, sourceText } from '../../src/results/analysis-texts.ts';
import { englishIn } from '../language/english-words.ts';

test('every remark, convention and name of a reaction is there in German', () => {
  const own = { name: 'Kalk', gas: 'CO2', limiting: 'Kalk', orderSpecies: ['Kalk'] } as const;
  const described = [1, 0.5].flatMap((gasPerLimiting) => reactionOf('own', { ...own, gasPerLimiting }) ?? []);
  for (const reaction of [...reactions, ...described])
    for (const sentence of [reaction.convention, ...reaction.remarks]) {
      expect(chemistryText(sentence, 'de'), sentence).not.toBe(sentence);
      expect(englishIn(chemistryText(sentence, 'de'))).toEqual([]);
    }
  for (const { name, species } of reactions)
    for (const one of [name, ...species.map((entry) => entry.name)])
      expect(englishIn(nameIn(one, 'de')), one).toEqual([]);
});

test('what a label or a flask does not tell is there in German', () => {
  const bottle = (id: string, species: string, value: number, unit: StrengthUnit, densityGPerMl?: number) => ({
    id,
    name: id,
    species,
    strength: { value, unit, ...(densityGPerMl === undefined ? {} : { densityGPerMl }) },
  });
  const step = (id: string, from: string, takeMl = 10) => ({ id, name: id, from, takeMl, makeUpToMl: 100 });
  const bottles = [
    bottle('a', 'H2O2', 20, 'vol-stp'),
    bottle('b', 'H2O2', 6, '%w/w'),
    bottle('c', 'I-', -1, 'mol/L'),
    bottle('d', 'I-', 1, 'M-unknown'),
    bottle('e', 'I-', 10, 'vol-room'),
    bottle('f', 'Ytterbium', 10, 'g/L'),
    bottle('g', 'H2O2', 120, '%w/w'),
    bottle('h', 'H2O2', 6, '%w/w', -1),
    bottle('i', 'HCl', 99, '%w/w'),
    bottle('j', 'catalase', 6, '%w/w'),
  ];
  const prepared = prepareSolutions(bottles, [
    step('k', 'd'),
    step('l', 'm'),
    step('m', 'l'),
    step('n', 'nowhere'),
    step('o', 'a', 0),
  ]);
  expect(prepared.remarks).toHaveLength(2);
  expect(prepared.unknown.size).toBe(13);
  const flasks = [[], [{ solution: 'a', volumeMl: -1 }], [{ solution: 'z', volumeMl: 1 }]].map((pours) =>
    fillFlask(pours, prepared),
  );
  const refusals = flasks.flatMap((flask) => (flask.ok ? [] : [flask.sentence]));
  expect(refusals).toHaveLength(3);
  for (const sentence of [...prepared.remarks, ...prepared.unknown.values(), ...refusals])
    expect(englishIn(noteText(sentence, 'de')), sentence).toEqual([]);
});

// Sentences as the analysis makes them; the first three from notebooks of a class, the others word for word.
test.each([
  [
    'Water takes up oxygen: the 50 mL of solution can hold 1.7 mL of it, the 22 mL of water displaced 0.73 mL, when saturated with it at 22.5 °C (Sander, Atmos. Chem. Phys. 23 (2023) 10901). How much they do hold is not known; the rates are not corrected for it.',
    'Wasser nimmt Sauerstoff auf: Gesättigt halten bei 22.5 °C die 50 mL Lösung davon 1.7 mL, die 22 mL verdrängtes Wasser 0.73 mL (Sander, Atmos. Chem. Phys. 23 (2023) 10901). Wie viel sie wirklich halten, ist nicht bekannt; die Geschwindigkeiten sind dafür nicht berichtigt.',
  ],
  [
    'Runs 1, 2: by the last reading their own heat can have warmed them by up to 1.5 degrees, which makes them some 12 % faster, and temperatures were not called at two moments of the run. Called at its start and at its end, they would tell, and the warming would be allowed for.',
    'Läufe 1, 2: Bis zur letzten Ablesung kann die eigene Wärme um bis zu 1.5 Grad erwärmt haben, was etwa 12 % schneller macht, und die Temperatur wurde nicht zweimal im Lauf angesagt. Am Anfang und am Ende angesagt, würde sie es zeigen, und die Erwärmung würde berücksichtigt.',
  ],
  ['Run 4: There is nothing in the flask.', 'Lauf 4: Im Kolben ist nichts.'],
  [
    'Run 4 has no I-: a power law cannot be fitted through a zero concentration, so this run is left out.',
    'Lauf 4 hat kein I-: Durch eine Konzentration null geht kein Potenzgesetz, deshalb bleibt dieser Lauf draußen.',
  ],
])('the note “%s” is there in German', (english, german) => {
  expect(noteText(english, 'de')).toBe(german);
  expect(noteText(english, 'en')).toBe(english);
});

test('every source of uncertainty has a German name', () => {
  for (const source of ['times and readings', 'scatter of the runs', 'rounding and scatter of the runs', 'baseline'])
    expect(englishIn(sourceText(source, 'de'))).toEqual([]);
});
