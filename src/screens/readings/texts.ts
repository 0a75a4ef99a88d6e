import { catalogue } from '../../language/page-language.ts';
import { textsOf } from '../texts.ts';

const texts = catalogue(
  {
    take: 'Take this value',
    notANumber: 'A number such as 24 or 24.5, please.',
    standsAlready: (ml: string) => `It stands at ${ml} mL already.`,
    refused: (why: string) => `${why}; nothing was changed.`,
  },
  {
    take: 'Diesen Wert nehmen',
    notANumber: 'Bitte eine Zahl wie 24 oder 24,5.',
    standsAlready: (ml) => `Es steht schon bei ${ml} mL.`,
    refused: (why) => `${why}; nichts wurde geändert.`,
  },
);

export const readingsTexts = textsOf(texts);
