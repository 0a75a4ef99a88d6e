import type { Words } from '../words.ts';
import { numbersOnly } from './numbers-only.ts';

/** Seventy to ninety-nine count on from sixty and eighty; the Swiss and Belgian words stand beside them. */
const irregular: Record<string, number> = {};
const teens = ['onze', 'douze', 'treize', 'quatorze', 'quinze', 'seize', 'dix sept', 'dix huit', 'dix neuf'];
teens.forEach((word, k) => {
  irregular[k === 0 ? 'soixante et onze' : `soixante ${word}`] = 71 + k;
  irregular[`quatre vingt ${word}`] = 91 + k;
});
for (const [ten, value] of [
  ['vingt', 21],
  ['trente', 31],
  ['quarante', 41],
  ['cinquante', 51],
  ['soixante', 61],
  ['septante', 71],
  ['huitante', 81],
  ['octante', 81],
  ['nonante', 91],
] as const)
  irregular[`${ten} et un`] = value;

/** French numbers; procedure words in English. */
export const fr: Words = numbersOnly(
  'fr',
  'Français',
  ',',
  {
    ones: [
      ['zéro', 'zero'],
      ['un'],
      ['deux'],
      ['trois'],
      ['quatre'],
      ['cinq'],
      ['six'],
      ['sept'],
      ['huit'],
      ['neuf'],
      ['dix'],
      ['onze'],
      ['douze'],
      ['treize'],
      ['quatorze'],
      ['quinze'],
      ['seize'],
      ['dix sept'],
      ['dix huit'],
      ['dix neuf'],
    ],
    tens: [
      ['vingt'],
      ['trente'],
      ['quarante'],
      ['cinquante'],
      ['soixante'],
      ['soixante dix', 'septante'],
      ['quatre vingt', 'quatre vingts', 'huitante', 'octante'],
      ['quatre vingt dix', 'nonante'],
    ],
    compounds: ['T U'],
    irregular,
    // "quatre vingt quinze" is a sum by its very words.
    compoundBreak: 0.05,
    scales: [
      { value: 100, words: ['cent', 'cents'] },
      { value: 1000, words: ['mille'] },
    ],
    point: ['virgule'],
    and: ['et'],
    minus: ['moins'],
    plus: ['plus'],
    parts: { demi: 2, demie: 2, quart: 4, quarts: 4 },
    gluedParts: ['demi'],
  },
  ['millilitre', 'millilitres'],
);
