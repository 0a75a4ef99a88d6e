import { molarMass } from './constants.ts';
import { peroxideDensity } from './solution-density.ts';

/** When a caution matters. */
export type CautionMoment = 'always' | 'pouring' | 'running' | 'cleaning';

export interface Caution {
  readonly when: CautionMoment;
  readonly sentence: string;
}

/** Of every gas collection. Common practice. */
export const generalCautions: readonly Caution[] = [
  { when: 'always', sentence: 'Wear goggles and gloves; wipe up spills at once.' },
  {
    when: 'running',
    sentence: 'Never close a vessel that makes gas: check that the tube is open, not pinched, before mixing.',
  },
  {
    when: 'running',
    sentence: 'Take the stopper or the tube off before the flask cools, so that no water is sucked back.',
  },
];

/**
 * Cautions that follow from what a bottle holds and how strong it is, worst first.
 *
 * Hydrogen peroxide: harmonised classification limits of the EU (index 008-003-00-9, % by mass): eye irritation from
 * 5 %, serious eye damage from 8 %, skin and airways from 35 %, corrosive and oxidising from 50 %. Hydrochloric acid:
 * irritant from 10 %, corrosive from 25 % (from memory). The label on the bottle comes first in any case.
 *
 * @param molPerM3 concentration, null when unknown (then: handle it as strong)
 */
export function solutionCautions(species: string, molPerM3: number | null): readonly Caution[] {
  const pouring = (sentence: string): Caution => ({ when: 'pouring', sentence });
  switch (species) {
    case 'H2O2': {
      const vent: Caution = {
        when: 'cleaning',
        sentence: 'Never pour peroxide back or stopper it tightly: it goes on making oxygen and can burst the bottle.',
      };
      if (molPerM3 === null) {
        return [pouring('It is not known how strong this peroxide is: goggles and gloves, as for a strong one.'), vent];
      }
      const percent = peroxideMassPercent(molPerM3);
      if (percent >= 50) return [pouring('This peroxide is corrosive and feeds fire: not for this bench.'), vent];
      if (percent >= 35) return [pouring('This peroxide damages eyes and burns skin: face shield, gloves.'), vent];
      if (percent >= 8)
        return [pouring('Peroxide of this strength can damage eyes for good: goggles and gloves.'), vent];
      if (percent >= 5) return [pouring('Peroxide of this strength irritates the eyes: goggles.'), vent];
      return [vent];
    }
    case 'I-':
    case 'KI':
    case 'NaI':
      return [
        pouring(
          'Iodide turns to iodine, which stains skin and cloth; a little thiosulfate or ascorbic acid takes it out.',
        ),
        pouring('Do not swallow iodide: it acts on the thyroid gland.'),
      ];
    case 'I2':
      return [pouring('Iodine stains, and harms when swallowed or breathed in; it is harmful to water life.')];
    case 'HCl':
    case 'H+': {
      if (molPerM3 === null) {
        return [pouring('It is not known how strong this acid is: goggles and gloves, as for a strong one.')];
      }
      const molar = molPerM3 / 1000;
      if (molar >= 7.7) return [pouring('This acid burns skin and eyes and gives off choking fumes: fume hood.')];
      if (molar >= 2.9) return [pouring('This acid irritates eyes, skin and airways: goggles and gloves.')];
      return [pouring('Even dilute acid hurts in the eye: goggles.')];
    }
    default:
      return [];
  }
}

/** Strength of hydrogen peroxide in % by mass from its concentration: w = 100 c M/rho(w), iterated; 100 above the table. */
function peroxideMassPercent(molPerM3: number): number {
  const gPerMl = (molPerM3 * molarMass.H2O2) / 1e6;
  let percent = 100 * gPerMl;
  for (let i = 0; i < 40; i++) {
    const density = percent <= 50 ? peroxideDensity(Math.max(0, percent)) : 1.2;
    percent = (100 * gPerMl) / density;
  }
  return Math.min(100, percent);
}
