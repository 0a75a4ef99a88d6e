import type { Words } from '../words.ts';
import { numbersOnly } from './numbers-only.ts';

/** Dutch numbers (ones before tens); procedure words in English. */
export const nl: Words = numbersOnly(
  'nl',
  'Nederlands',
  ',',
  {
    ones: [
      ['nul'],
      ['een', 'één'],
      ['twee'],
      ['drie'],
      ['vier'],
      ['vijf'],
      ['zes'],
      ['zeven'],
      ['acht'],
      ['negen'],
      ['tien'],
      ['elf'],
      ['twaalf'],
      ['dertien'],
      ['veertien'],
      ['vijftien'],
      ['zestien'],
      ['zeventien'],
      ['achttien'],
      ['negentien'],
    ],
    tens: [['twintig'], ['dertig'], ['veertig'], ['vijftig'], ['zestig'], ['zeventig'], ['tachtig'], ['negentig']],
    compounds: ['UenT', 'U en T', 'UënT'],
    oneInCompound: 'een',
    scales: [
      { value: 100, words: ['honderd'] },
      { value: 1000, words: ['duizend'] },
    ],
    point: ['komma', 'punt'],
    and: ['en'],
    minus: ['min', 'minus'],
    parts: { half: 2, halve: 2, kwart: 4 },
    fixed: { anderhalf: '1.5' },
    cutAround: ['honderd', 'duizend'],
  },
  ['milliliter'],
);
