import type { Caution } from './caution.ts';
import { molarMass } from './constants.ts';
import { peroxideDensity, potassiumIodideDensity } from './solution-density.ts';

/** Everything the app knows about one substance. A new substance is one record here. */
export interface Species {
  /** Key in plans, reactions and files: "H2O2", "I-". */
  readonly key: string;
  /** What is weighed out for it, in words: iodide comes as potassium iodide. */
  readonly solute: string;
  /** Molar mass of what is weighed out, g/mol; null: not weighed (an enzyme). */
  readonly gPerMol: number | null;
  /** Words that people say for it, in one string. Common usage, no source. */
  readonly saidAs: string;
  /** 'solid': given by mass, not by concentration. */
  readonly form: 'dissolved' | 'solid';
  /** Density of a solid, g/cm3; null: dissolved, or not known. */
  readonly solidGPerCm3: number | null;
  /** Density of its solution, g/mL, from its % by mass; null: no table here. @throws OutOfRange outside the table */
  readonly solutionGPerMl: ((percent: number) => number) | null;
  /** true: volume strength (litres of oxygen per litre) is a measure of it. */
  readonly volumeStrength: boolean;
  /**
   * Cautions for handling it, worst first.
   * @param molPerM3 concentration; null: not known, so treat it as strong
   */
  readonly cautions: (molPerM3: number | null) => readonly Caution[];
}

const pouring = (sentence: string, german: string): Caution => ({ when: 'pouring', sentence, german });

type Given = Pick<Species, 'key' | 'solute' | 'gPerMol' | 'saidAs' | 'cautions'> & Partial<Species>;

const record = (given: Given): Species => ({
  form: 'dissolved',
  solidGPerCm3: null,
  solutionGPerMl: null,
  volumeStrength: false,
  ...given,
});

const iodideCautions = (): readonly Caution[] => [
  pouring(
    'Iodide turns to iodine, which stains skin and cloth; a little thiosulfate or ascorbic acid takes it out.',
    'Aus Iodid wird Iod, das Haut und Stoff färbt; etwas Thiosulfat oder Ascorbinsäure nimmt es wieder weg.',
  ),
  pouring(
    'Do not swallow iodide: it acts on the thyroid gland.',
    'Iodid nicht verschlucken: es wirkt auf die Schilddrüse.',
  ),
];

/**
 * Hydrogen peroxide: harmonised classification limits of the EU (index 008-003-00-9, % by mass): eye irritation from
 * 5 %, serious eye damage from 8 %, skin and airways from 35 %, corrosive and oxidising from 50 %.
 */
function peroxideCautions(molPerM3: number | null): readonly Caution[] {
  const vent: Caution = {
    when: 'cleaning',
    sentence: 'Never pour peroxide back or stopper it tightly: it keeps making oxygen and can burst the bottle.',
    german:
      'Peroxid nie zurückgießen und nie fest verschließen: es bildet weiter Sauerstoff und kann die Flasche sprengen.',
  };
  if (molPerM3 === null)
    return [
      pouring(
        'It is not known how strong this peroxide is: goggles and gloves, as for a strong one.',
        'Wie stark dieses Peroxid ist, ist nicht bekannt: Schutzbrille und Handschuhe wie bei starkem.',
      ),
      vent,
    ];
  const percent = peroxideMassPercent(molPerM3);
  if (percent >= 50)
    return [
      pouring(
        'This peroxide is corrosive and feeds fire: not for this bench.',
        'Dieses Peroxid ätzt und fördert Brände: nicht für diesen Versuch.',
      ),
      vent,
    ];
  if (percent >= 35)
    return [
      pouring(
        'This peroxide damages eyes and burns skin: face shield, gloves.',
        'Dieses Peroxid schädigt die Augen und verätzt die Haut: Gesichtsschutz, Handschuhe.',
      ),
      vent,
    ];
  if (percent >= 8)
    return [
      pouring(
        'Peroxide of this strength can damage eyes for good: goggles and gloves.',
        'Peroxid dieser Stärke kann die Augen bleibend schädigen: Schutzbrille und Handschuhe.',
      ),
      vent,
    ];
  if (percent >= 5)
    return [
      pouring(
        'Peroxide of this strength irritates the eyes: goggles.',
        'Peroxid dieser Stärke reizt die Augen: Schutzbrille.',
      ),
      vent,
    ];
  return [vent];
}

/** Hydrochloric acid: irritant from 10 % by mass (2.9 mol/L), corrosive from 25 % (7.7 mol/L); from memory. */
function acidCautions(molPerM3: number | null): readonly Caution[] {
  if (molPerM3 === null)
    return [
      pouring(
        'It is not known how strong this acid is: goggles and gloves, as for a strong one.',
        'Wie stark diese Säure ist, ist nicht bekannt: Schutzbrille und Handschuhe wie bei starker.',
      ),
    ];
  const molar = molPerM3 / 1000;
  if (molar >= 7.7)
    return [
      pouring(
        'This acid burns skin and eyes and gives off choking fumes: fume hood.',
        'Diese Säure verätzt Haut und Augen und gibt erstickende Dämpfe ab: Abzug.',
      ),
    ];
  if (molar >= 2.9)
    return [
      pouring(
        'This acid irritates eyes, skin and airways: goggles and gloves.',
        'Diese Säure reizt Augen, Haut und Atemwege: Schutzbrille und Handschuhe.',
      ),
    ];
  return [
    pouring('Even dilute acid hurts in the eye: goggles.', 'Auch verdünnte Säure schmerzt im Auge: Schutzbrille.'),
  ];
}

/** Sulfuric acid: irritant from 5 % by mass (0.5 mol/L), corrosive from 15 % (1.7 mol/L); EU index 016-020-00-8, from memory. */
function sulfuricCautions(molPerM3: number | null): readonly Caution[] {
  if (molPerM3 === null || molPerM3 >= 1700)
    return [
      pouring(
        'Sulfuric acid burns skin and eyes: goggles and gloves. Pour acid into water, never water into acid.',
        'Schwefelsäure verätzt Haut und Augen: Schutzbrille und Handschuhe. Säure in Wasser gießen, nie Wasser in Säure.',
      ),
    ];
  if (molPerM3 >= 500)
    return [
      pouring(
        'This sulfuric acid irritates eyes and skin: goggles and gloves.',
        'Diese Schwefelsäure reizt Augen und Haut: Schutzbrille und Handschuhe.',
      ),
    ];
  return [
    pouring('Even dilute acid hurts in the eye: goggles.', 'Auch verdünnte Säure schmerzt im Auge: Schutzbrille.'),
  ];
}

/** Acetic acid: irritant from 10 % by mass (1.7 mol/L), corrosive from 25 % (4.2 mol/L); EU index 607-002-00-6, from memory. */
function aceticCautions(molPerM3: number | null): readonly Caution[] {
  if (molPerM3 === null || molPerM3 >= 4200)
    return [
      pouring(
        'Acetic acid of this strength burns skin and eyes, and its vapour stings: goggles, gloves, open windows.',
        'Essigsäure dieser Stärke verätzt Haut und Augen, ihr Dampf sticht: Schutzbrille, Handschuhe, Fenster auf.',
      ),
    ];
  if (molPerM3 >= 1700)
    return [
      pouring(
        'This acetic acid irritates eyes and skin: goggles and gloves.',
        'Diese Essigsäure reizt Augen und Haut: Schutzbrille und Handschuhe.',
      ),
    ];
  return [
    pouring('Even dilute acid hurts in the eye: goggles.', 'Auch verdünnte Säure schmerzt im Auge: Schutzbrille.'),
  ];
}

/** Cautions beyond the EU limits named above are common practice. Densities of solids: usual handbook values, from memory. */
export const allSpecies: readonly Species[] = [
  record({
    key: 'H2O2',
    solute: 'hydrogen peroxide',
    gPerMol: molarMass.H2O2,
    saidAs: 'hydrogen peroxide h2o2 h two o 2 wasserstoffperoxid peroxid',
    solutionGPerMl: peroxideDensity,
    volumeStrength: true,
    cautions: peroxideCautions,
  }),
  record({
    key: 'I-',
    solute: 'potassium iodide',
    gPerMol: molarMass.KI,
    saidAs: 'potassium sodium iodide ki i minus kaliumiodid kaliumjodid iodid jodid',
    solutionGPerMl: potassiumIodideDensity,
    cautions: iodideCautions,
  }),
  record({
    key: 'KI',
    solute: 'potassium iodide',
    gPerMol: molarMass.KI,
    saidAs: 'potassium iodide ki kaliumiodid kaliumjodid iodid jodid',
    solutionGPerMl: potassiumIodideDensity,
    cautions: iodideCautions,
  }),
  record({
    key: 'NaI',
    solute: 'sodium iodide',
    gPerMol: molarMass.NaI,
    saidAs: 'sodium iodide natriumiodid natriumjodid iodid jodid',
    cautions: iodideCautions,
  }),
  record({
    key: 'I2',
    solute: 'iodine',
    gPerMol: molarMass.I2,
    saidAs: 'iodine iod jod',
    cautions: () => [
      pouring(
        'Iodine stains, and harms when swallowed or breathed in; it is harmful to water life.',
        'Iod färbt und schadet, wenn man es verschluckt oder einatmet; es schadet Wasserorganismen.',
      ),
    ],
  }),
  record({
    key: 'HCl',
    solute: 'hydrogen chloride',
    gPerMol: molarMass.HCl,
    saidAs: 'hydrochloric acid hcl salzsäure',
    cautions: acidCautions,
  }),
  record({
    key: 'H+',
    solute: 'hydrogen chloride',
    gPerMol: molarMass.HCl,
    saidAs: 'acid säure',
    cautions: acidCautions,
  }),
  record({
    key: 'H2SO4',
    solute: 'sulfuric acid',
    gPerMol: molarMass.H2SO4,
    saidAs: 'sulfuric sulphuric acid schwefelsäure',
    cautions: sulfuricCautions,
  }),
  record({
    key: 'CH3COOH',
    solute: 'acetic acid',
    gPerMol: molarMass.CH3COOH,
    saidAs: 'acetic ethanoic acid vinegar essigsäure essig',
    cautions: aceticCautions,
  }),
  record({
    key: 'NaHCO3',
    solute: 'sodium hydrogencarbonate',
    gPerMol: molarMass.NaHCO3,
    saidAs: 'sodium bicarbonate hydrogencarbonate soda natron natriumhydrogencarbonat',
    cautions: () => [],
  }),
  record({
    key: 'HCO3-',
    solute: 'sodium hydrogencarbonate',
    gPerMol: molarMass.NaHCO3,
    saidAs: 'sodium bicarbonate hydrogencarbonate soda natron natriumhydrogencarbonat',
    cautions: () => [],
  }),
  record({
    key: 'Mg',
    solute: 'magnesium',
    gPerMol: molarMass.Mg,
    saidAs: 'magnesium',
    form: 'solid',
    solidGPerCm3: 1.74,
    cautions: () => [
      pouring(
        'Magnesium burns with a blinding flame that water makes worse: keep it from flames. Weigh small pieces.',
        'Magnesium brennt mit blendender Flamme, die Wasser noch anfacht: von Flammen fernhalten. Kleine Stücke abwiegen.',
      ),
    ],
  }),
  record({
    key: 'CaCO3',
    solute: 'calcium carbonate',
    gPerMol: molarMass.CaCO3,
    saidAs: 'calcium carbonate chalk marble calciumcarbonat kreide marmor kalk',
    form: 'solid',
    solidGPerCm3: 2.71,
    cautions: () => [],
  }),
  record({
    key: 'catalase',
    solute: 'catalase',
    gPerMol: null,
    saidAs: 'catalase enzyme yeast katalase enzym hefe',
    cautions: () => [
      pouring(
        'Enzyme powder and yeast can cause allergy: do not breathe the dust.',
        'Enzympulver und Hefe können Allergien auslösen: den Staub nicht einatmen.',
      ),
    ],
  }),
  record({ key: 'yeast', solute: 'yeast', gPerMol: null, saidAs: 'yeast hefe', cautions: () => [] }),
];

const byKey: ReadonlyMap<string, Species> = new Map(allSpecies.map((species) => [species.key, species]));

/**
 * The record of a species; null where the app knows none. A Map, so that a name such as "constructor" finds nothing.
 * @example
 * speciesRecord('Mg')?.solute // => 'magnesium'
 */
export const speciesRecord = (key: string): Species | null => byKey.get(key) ?? null;

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
