import { expect, test } from 'vitest';
import { generalCautions, solutionCautions } from '../../src/chemistry/cautions.ts';
import { gasPerMol, limitingReagent, reactionOf, reactions, selfHeating } from '../../src/chemistry/reactions.ts';
import { speciesRecord } from '../../src/chemistry/species.ts';
import { DegenerateData, OutOfRange } from '../../src/numerics/errors.ts';
import { the } from '../the.ts';

test('every reaction hangs together: its species are declared, one reagent limits it, its sentences are sentences', () => {
  for (const reaction of reactions) {
    const keys = reaction.species.map(({ key }) => key);
    for (const key of [
      reaction.limiting,
      ...reaction.orderSpecies,
      ...reaction.catalysts,
      ...reaction.consumed.map(({ species }) => species),
      ...Object.keys(reaction.usualOrders),
    ]) {
      expect(keys).toContain(key);
    }
    expect(gasPerMol(reaction, reaction.limiting)).toBeGreaterThan(0);
    for (const catalyst of reaction.catalysts) expect(gasPerMol(reaction, catalyst)).toBe(0);
    for (const sentence of [
      reaction.convention,
      ...reaction.remarks,
      ...reaction.cautions.map((caution) => caution.sentence),
    ]) {
      expect(sentence).toMatch(/^[A-Z].*[.)]$/);
    }
    expect(reactionOf(reaction.id)).toBe(reaction);
  }
  expect(reactionOf('nothing of the kind')).toBeNull();
  expect(reactionOf('own')).toBeNull();
});

test('the user’s own reaction says how fast its reagent goes', () => {
  const own = the(
    reactionOf('own', {
      name: 'Yeast and peroxide',
      gas: 'O2',
      gasPerLimiting: 0.5,
      limiting: 'H2O2',
      orderSpecies: ['H2O2', 'yeast'],
    }),
  );
  expect(own.convention).toBe('The rate constant is for the making of O2, d[O2]/dt. H2O2 is used up 2 times as fast.');
  expect(limitingReagent(own, { H2O2: 0.01, yeast: 5 })).toEqual({ species: 'H2O2', gasMol: 0.005 });
  expect(own.cautions.some(({ sentence }) => sentence.includes('Oxygen'))).toBe(true);
  expect(selfHeating(own, 0.01, 1e-4)).toBeNull();
});

test('carbon dioxide over water comes with its warning', () => {
  expect(the(reactionOf('carbonate-acid')).remarks[0]).toMatch(/far too low/);
});

test('the reagent that runs out first follows from the amounts', () => {
  const marble = the(reactionOf('carbonate-acid'));
  expect(limitingReagent(marble, { CaCO3: 0.05, HCl: 0.02 })).toEqual({ species: 'HCl', gasMol: 0.01 });
  expect(limitingReagent(marble, { CaCO3: 0.005, HCl: 0.02 })).toEqual({ species: 'CaCO3', gasMol: 0.005 });
  expect(limitingReagent(marble, { HCl: 0.02 })).toEqual({ species: 'HCl', gasMol: 0.01 });
  expect(() => limitingReagent(marble, {})).toThrow(DegenerateData);
  expect(() => limitingReagent(marble, { HCl: -1 })).toThrow(OutOfRange);
});

test('cautions follow the strength of peroxide at the EU limits of 5, 8, 35 and 50 % by mass', () => {
  const first = (molPerL: number | null): string =>
    the(solutionCautions('H2O2', molPerL === null ? null : molPerL * 1000)[0]).sentence;
  expect(first(0.88)).toMatch(/stopper/); // 3 %
  expect(first(1.55)).toMatch(/irritates/); // 5.2 %
  expect(first(2.5)).toMatch(/damage eyes for good/); // 8.3 %
  expect(first(9.8)).toMatch(/damage eyes for good/); // 30 %
  expect(first(12)).toMatch(/burns skin/); // 36 %
  expect(first(18)).toMatch(/not for this bench/); // 51 %
  expect(first(null)).toMatch(/not known how strong/);
  expect(generalCautions.some(({ sentence }) => /Never close a vessel/.test(sentence))).toBe(true);
  expect(solutionCautions('water', 0)).toEqual([]);
});

test('the heat of peroxide is that of dissolved peroxide, from standard enthalpies of formation', () => {
  // CODATA Key Values (1989): H2O(l) -285.830 kJ/mol; NBS tables: H2O2(aq) -191.17 kJ/mol.
  expect(the(reactionOf('peroxide-iodide')).heatJPerMolGas).toBeCloseTo(2 * (285_830 - 191_170), 0);
});

test('a species without a record gets the caution that nothing is known of it, not silence', () => {
  for (const unknown of ['KMnO4', 'constructor', '__proto__'])
    expect(solutionCautions(unknown, 100)[0]?.sentence).toMatch(/knows no cautions/);
});

test('every species of every reaction has a record', () => {
  for (const reaction of reactions)
    for (const { key } of reaction.species) expect(speciesRecord(key), `${reaction.id}: ${key}`).not.toBeNull();
});
