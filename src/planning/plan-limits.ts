import { catalogue, type PageLanguage } from '../language/page-language.ts';
import type { Stock } from '../log/plan.ts';
import { implausible } from './plausible-input.ts';

/** What is odd about a number on the run sheet. An odd number that is possible is kept with a remark; an impossible one is refused. */
export interface Oddity {
  readonly impossible: boolean;
  readonly sentence: string;
}

type Unit = Stock['strength']['unit'];

/**
 * Limits of a label's strength by its unit: more than `never` cannot be, more than `seldom` is hardly met in a bottle.
 * Never: no more than 100 g are in 100 g; pure water is 55.5 mol/L and nothing dissolved is packed closer by far; the
 * densest solutions of the trade stay below 4 g/mL; pure hydrogen peroxide (1.45 g/mL at 20 °C, 34.01 g/mol) would
 * be some 480 volumes. Seldom: common practice, no source.
 */
const limits: Readonly<Record<Exclude<Unit, 'M-unknown'>, { never: number; seldom: number }>> = {
  'mol/L': { never: 60, seldom: 20 },
  'g/L': { never: 4000, seldom: 1200 },
  '%w/v': { never: 400, seldom: 110 },
  '%w/w': { never: 100, seldom: 70 },
  'vol-stp': { never: 500, seldom: 130 },
  'vol-room': { never: 520, seldom: 140 },
};

const texts = catalogue(
  {
    because: {
      'mol/L': 'no solution holds more than 60 mol/L',
      'g/L': 'no solution weighs that much',
      '%w/v': 'no 100 mL of solution weigh that much',
      '%w/w': '100 g of solution cannot hold more than 100 g',
      'vol-stp': 'pure peroxide would be some 480 volumes',
      'vol-room': 'pure peroxide would be some 510 volumes',
    } as Readonly<Record<Exclude<Unit, 'M-unknown'>, string>>,
    impossible: (value: number, because: string) => `${value} cannot be: ${because}. Is the unit right?`,
    seldom: (value: number) => `${value} is unusually strong. Look at the label and the unit once more.`,
    large: (litres: number) => `${litres} L in one flask is unusually much. Are the volumes in mL?`,
  },
  {
    because: {
      'mol/L': 'keine Lösung enthält mehr als 60 mol/L',
      'g/L': 'keine Lösung wiegt so viel',
      '%w/v': '100 mL Lösung wiegen nie so viel',
      '%w/w': 'in 100 g Lösung sind nicht mehr als 100 g',
      'vol-stp': 'reines Peroxid hätte etwa 480 Volumina',
      'vol-room': 'reines Peroxid hätte etwa 510 Volumina',
    },
    impossible: (value, because) => `${value} kann nicht sein: ${because}. Stimmt die Einheit?`,
    seldom: (value) => `${value} ist ungewöhnlich stark. Etikett und Einheit noch einmal ansehen.`,
    large: (litres) => `${litres} L in einem Kolben ist ungewöhnlich viel. Sind die Volumina in mL?`,
  },
);

/** Null where a strength is nothing out of the way. */
export function oddStrength(
  { value, unit }: { readonly value: number; readonly unit: Unit },
  language: PageLanguage = 'en',
): Oddity | null {
  if (unit === 'M-unknown') return null;
  const t = texts[language];
  const { never, seldom } = limits[unit];
  const slip = unit === 'mol/L' && value >= 0 ? implausible('molarity', value, language) : null;
  if (value > never) return { impossible: true, sentence: slip ?? t.impossible(value, t.because[unit]) };
  return value > seldom ? { impossible: false, sentence: t.seldom(value) } : null;
}

/** Largest flask that a plan may name, mL; more is a slip of the unit. */
export const largestPourMl = 5000;

/** A flask above this, mL, is seldom swirled by hand (common practice, no source). */
const largeFlaskMl = 1000;

/** Null where the contents of a flask are nothing out of the way. */
export function oddFlask(totalMl: number, language: PageLanguage = 'en'): Oddity | null {
  if (totalMl <= largeFlaskMl) return null;
  const litres = Number((totalMl / 1000).toPrecision(3));
  return { impossible: false, sentence: texts[language].large(litres) };
}
