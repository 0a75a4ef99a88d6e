import { DegenerateData, OutOfRange } from '../numerics/errors.ts';
import type { Caution } from './caution.ts';
import { GAS_CONSTANT } from './constants.ts';

export type Gas = 'O2' | 'H2' | 'CO2' | 'N2' | 'other';

/** A gas-making reaction as data. Amounts in mol, rate constants in SI (mol, m3, s). */
export interface Reaction {
  readonly id: string;
  readonly name: string;
  /** As written on a board. */
  readonly equation: string;
  readonly gas: Gas;
  /** mol of gas per turn of the equation. */
  readonly gasCoefficient: number;
  /** What is used up, mol per turn of the equation. */
  readonly consumed: readonly { readonly species: string; readonly coefficient: number }[];
  /** What speeds it up and is not used up. */
  readonly catalysts: readonly string[];
  readonly species: readonly {
    readonly key: string;
    readonly name: string;
    readonly german?: string;
    readonly form: 'dissolved' | 'solid';
  }[];
  /** The reagent that usually runs out first. */
  readonly limiting: string;
  /** Species whose order an experiment can find. */
  readonly orderSpecies: readonly string[];
  /** Orders that are generally found; a species is missing where reports differ. */
  readonly usualOrders: Readonly<Record<string, number>>;
  /** Whose rate a rate constant states, in words. */
  readonly convention: string;
  readonly published: readonly PublishedConstant[];
  readonly activation: readonly PublishedActivation[];
  /** Heat set free, J per mol of gas; absent where not known. */
  readonly heatJPerMolGas?: number;
  readonly cautions: readonly Caution[];
  /** Limits of measuring this reaction by its gas, a sentence each. */
  readonly remarks: readonly string[];
  /** The same in German; a reaction that the user describes has none of its own. */
  readonly german?: { readonly name: string; readonly convention: string; readonly remarks: readonly string[] };
}

export interface PublishedConstant {
  /** For d[gas]/dt at the usual orders, (m3/mol)^(order - 1)/s: 1 L/(mol s) is 0.001. */
  readonly value: number;
  readonly temperatureK: number;
  readonly source: string;
}

export interface PublishedActivation {
  readonly jPerMol: number;
  readonly source: string;
}

const peroxideConvention =
  'The rate constant is for the making of oxygen, d[O2]/dt. Hydrogen peroxide is used up twice as fast: a table that ' +
  'states the loss of H2O2 has twice this number.';

const peroxideConventionInGerman =
  'Die Geschwindigkeitskonstante gilt für die Bildung von Sauerstoff, d[O2]/dt. Wasserstoffperoxid wird doppelt so schnell verbraucht: Eine Tabelle für die Abnahme von H2O2 nennt die doppelte Zahl.';

const oxygenCautions: readonly Caution[] = [
  {
    when: 'running',
    sentence: 'Oxygen makes everything burn faster: no flames nearby.',
    german: 'In Sauerstoff brennt alles schneller: keine Flammen in der Nähe.',
  },
];

/**
 * 2 H2O2(aq) -> 2 H2O(l) + O2(g) sets free 2 (285.83 - 191.17) = 189.32 kJ per mol of O2: standard enthalpies of
 * formation at 298.15 K, -285.830 kJ/mol for liquid water (CODATA Key Values for Thermodynamics, 1989) and
 * -191.17 kJ/mol for dissolved peroxide (seen in public property tables; they give it after Wagman and others, NBS
 * Tables, J. Phys. Chem. Ref. Data 11 Suppl. 2 (1982): that attribution is from memory). The 196 kJ often quoted
 * are for pure liquid peroxide.
 */
const peroxideHeat = 189320;

export const peroxideIodide: Reaction = {
  id: 'peroxide-iodide',
  name: 'Hydrogen peroxide and iodide',
  equation: '2 H₂O₂ → 2 H₂O + O₂ (catalyst I⁻)',
  gas: 'O2',
  gasCoefficient: 1,
  consumed: [{ species: 'H2O2', coefficient: 2 }],
  catalysts: ['I-'],
  species: [
    { key: 'H2O2', name: 'hydrogen peroxide', german: 'Wasserstoffperoxid', form: 'dissolved' },
    { key: 'I-', name: 'iodide', german: 'Iodid', form: 'dissolved' },
  ],
  limiting: 'H2O2',
  orderSpecies: ['H2O2', 'I-'],
  usualOrders: { H2O2: 1, 'I-': 1 },
  convention: peroxideConvention,
  published: [
    {
      // 0.69 L/(mol min) for the slow step H2O2 + I- -> H2O + IO-; the fast step IO- + H2O2 then makes one O2.
      value: 0.0115e-3,
      temperatureK: 298.15,
      source: 'Liebhafsky and Mohammad, J. Am. Chem. Soc. 55 (1933) 3977',
    },
    {
      value: 0.01104e-3,
      temperatureK: 298.15,
      source: 'Nyasulu and Barlag, Chem. Educator 13 (2008) 227, initial rates',
    },
  ],
  activation: [
    { jPerMol: 56100, source: 'Liebhafsky and Mohammad 1933, 13.4 kcal/mol (from memory)' },
    { jPerMol: 56000, source: 'Koolman and Röhm, Color Atlas of Biochemistry' },
  ],
  heatJPerMolGas: peroxideHeat,
  cautions: oxygenCautions,
  remarks: [
    'Keep it neutral or slightly basic: in acid the iodide is used up to brown iodine and makes no oxygen.',
    'A few per cent of the iodide may be bound as triiodide once the solution has turned yellow.',
  ],
  german: {
    name: 'Wasserstoffperoxid und Iodid',
    convention: peroxideConventionInGerman,
    remarks: [
      'Neutral oder leicht basisch halten: In Säure wird aus dem Iodid braunes Iod, und es entsteht kein Sauerstoff.',
      'Ist die Lösung gelb geworden, können einige Prozent des Iodids als Triiodid gebunden sein.',
    ],
  },
};

export const peroxideCatalase: Reaction = {
  id: 'peroxide-catalase',
  name: 'Hydrogen peroxide and catalase',
  equation: '2 H₂O₂ → 2 H₂O + O₂ (enzyme)',
  gas: 'O2',
  gasCoefficient: 1,
  consumed: [{ species: 'H2O2', coefficient: 2 }],
  catalysts: ['catalase'],
  species: [
    { key: 'H2O2', name: 'hydrogen peroxide', german: 'Wasserstoffperoxid', form: 'dissolved' },
    { key: 'catalase', name: 'catalase', german: 'Katalase', form: 'dissolved' },
  ],
  limiting: 'H2O2',
  orderSpecies: ['H2O2', 'catalase'],
  usualOrders: { catalase: 1 },
  convention: peroxideConvention,
  published: [],
  activation: [{ jPerMol: 11000, source: 'flow calorimetry, 10 to 30 °C, Thermochim. Acta 402 (2003) 19' }],
  heatJPerMolGas: peroxideHeat,
  cautions: oxygenCautions,
  remarks: [
    'Above about 0.1 mol/L the rate hardly depends on the peroxide, and the enzyme wears out during the run (Northrop 1925).',
    'The order in peroxide falls from 1 towards 0 as the peroxide gets stronger: it is not a whole number in between.',
    'Foam in the tube holds gas back: a wide flask helps.',
  ],
  german: {
    name: 'Wasserstoffperoxid und Katalase',
    convention: peroxideConventionInGerman,
    remarks: [
      'Über etwa 0,1 mol/L hängt die Geschwindigkeit kaum noch vom Peroxid ab, und das Enzym verbraucht sich im Lauf (Northrop 1925).',
      'Die Ordnung in Peroxid sinkt von 1 gegen 0, je stärker das Peroxid ist: Dazwischen ist sie keine ganze Zahl.',
      'Schaum im Schlauch hält Gas zurück: Ein weiter Kolben hilft.',
    ],
  },
};

export const magnesiumAcid: Reaction = {
  id: 'magnesium-acid',
  name: 'Magnesium and acid',
  equation: 'Mg + 2 HCl → MgCl₂ + H₂',
  gas: 'H2',
  gasCoefficient: 1,
  consumed: [
    { species: 'Mg', coefficient: 1 },
    { species: 'HCl', coefficient: 2 },
  ],
  catalysts: [],
  species: [
    { key: 'Mg', name: 'magnesium', german: 'Magnesium', form: 'solid' },
    { key: 'HCl', name: 'hydrochloric acid', german: 'Salzsäure', form: 'dissolved' },
  ],
  limiting: 'Mg',
  orderSpecies: ['HCl'],
  usualOrders: {},
  convention: 'The rate constant is for the making of hydrogen, d[H2]/dt. Acid is used up twice as fast.',
  published: [],
  activation: [],
  // From memory: -467 kJ/mol.
  heatJPerMolGas: 467000,
  cautions: [
    {
      when: 'running',
      sentence: 'Hydrogen burns and explodes in air (4 to 75 %): no flames, no sparks, open windows.',
      german: 'Wasserstoff brennt und explodiert in Luft (4 bis 75 %): keine Flammen, keine Funken, Fenster auf.',
    },
    {
      when: 'running',
      sentence: 'The flask gets hot: keep the strip short and the acid dilute.',
      german: 'Der Kolben wird heiß: ein kurzes Band und verdünnte Säure nehmen.',
    },
  ],
  remarks: [
    'The rate goes with the surface of the metal, which shrinks, and with stirring; orders in acid from 1 to 2 are reported.',
    'It heats itself strongly: the temperature must be called during the run.',
  ],
  german: {
    name: 'Magnesium und Säure',
    convention:
      'Die Geschwindigkeitskonstante gilt für die Bildung von Wasserstoff, d[H2]/dt. Säure wird doppelt so schnell verbraucht.',
    remarks: [
      'Die Geschwindigkeit hängt von der Oberfläche des Metalls ab, die schrumpft, und vom Rühren; berichtet werden Ordnungen in Säure von 1 bis 2.',
      'Sie erwärmt sich stark: Die Temperatur muss im Lauf angesagt werden.',
    ],
  },
};

export const carbonateAcid: Reaction = {
  id: 'carbonate-acid',
  name: 'Carbonate and acid',
  equation: 'CaCO₃ + 2 HCl → CaCl₂ + CO₂ + H₂O',
  gas: 'CO2',
  gasCoefficient: 1,
  consumed: [
    { species: 'CaCO3', coefficient: 1 },
    { species: 'HCl', coefficient: 2 },
  ],
  catalysts: [],
  species: [
    { key: 'CaCO3', name: 'calcium carbonate', german: 'Calciumcarbonat', form: 'solid' },
    { key: 'HCl', name: 'hydrochloric acid', german: 'Salzsäure', form: 'dissolved' },
  ],
  limiting: 'HCl',
  orderSpecies: ['HCl'],
  usualOrders: { HCl: 1 },
  convention: 'The rate constant is for the making of carbon dioxide, d[CO2]/dt. Acid is used up twice as fast.',
  published: [],
  activation: [],
  cautions: [
    {
      when: 'running',
      sentence: 'Carbon dioxide pushes air away: keep the room aired when much of it is made.',
      german: 'Kohlendioxid verdrängt die Luft: den Raum lüften, wenn viel davon entsteht.',
    },
  ],
  remarks: [
    'Water takes up nearly its own volume of carbon dioxide: collected over fresh water, the readings are far too low. Use ' +
      'a gas syringe, oil on the water, or water saturated with the gas.',
    'The liquid can hold much more gas than it should until it is swirled: the start is late and the end long.',
    'The rate goes with the surface of the solid: use pieces of one size.',
  ],
  german: {
    name: 'Carbonat und Säure',
    convention:
      'Die Geschwindigkeitskonstante gilt für die Bildung von Kohlendioxid, d[CO2]/dt. Säure wird doppelt so schnell verbraucht.',
    remarks: [
      'Wasser nimmt fast so viel Kohlendioxid auf, wie es selbst Platz braucht: Über frischem Wasser sind die Ablesungen viel zu klein. Nimm einen Kolbenprober, Öl auf dem Wasser oder Wasser, das mit dem Gas gesättigt ist.',
      'Bis sie geschwenkt wird, kann die Flüssigkeit viel mehr Gas halten, als sie sollte: Der Anfang kommt spät, das Ende zieht sich.',
      'Die Geschwindigkeit hängt von der Oberfläche des Feststoffs ab: Nimm Stücke einer Größe.',
    ],
  },
};

export const hydrogencarbonateAcid: Reaction = {
  id: 'hydrogencarbonate-acid',
  name: 'Hydrogencarbonate and acid',
  equation: 'NaHCO₃ + HCl → NaCl + CO₂ + H₂O',
  gas: 'CO2',
  gasCoefficient: 1,
  consumed: [
    { species: 'NaHCO3', coefficient: 1 },
    { species: 'HCl', coefficient: 1 },
  ],
  catalysts: [],
  species: [
    { key: 'NaHCO3', name: 'sodium hydrogencarbonate', german: 'Natriumhydrogencarbonat', form: 'dissolved' },
    { key: 'HCl', name: 'hydrochloric acid', german: 'Salzsäure', form: 'dissolved' },
  ],
  limiting: 'NaHCO3',
  orderSpecies: ['NaHCO3', 'HCl'],
  usualOrders: {},
  convention:
    'The rate constant is for the making of carbon dioxide, d[CO2]/dt. Acid and hydrogencarbonate are used up as fast.',
  published: [],
  activation: [],
  cautions: carbonateAcid.cautions,
  remarks: [
    ...carbonateAcid.remarks.slice(0, 2),
    'The reaction itself is over in a moment: the readings show how fast the gas leaves the liquid, which goes with the stirring.',
  ],
  german: {
    name: 'Hydrogencarbonat und Säure',
    convention:
      'Die Geschwindigkeitskonstante gilt für die Bildung von Kohlendioxid, d[CO2]/dt. Säure und Hydrogencarbonat werden ebenso schnell verbraucht.',
    remarks: [
      ...(carbonateAcid.german?.remarks ?? []).slice(0, 2),
      'Die Reaktion selbst ist sofort vorbei: Die Ablesungen zeigen, wie schnell das Gas die Flüssigkeit verlässt, und das hängt vom Rühren ab.',
    ],
  },
};

export const reactions: readonly Reaction[] = [
  peroxideIodide,
  peroxideCatalase,
  magnesiumAcid,
  carbonateAcid,
  hydrogencarbonateAcid,
];

/** The user's own reaction; fits the plan. */
export interface OwnReaction {
  readonly name: string;
  readonly gas: Gas;
  /** mol of gas per mol of the limiting reagent. */
  readonly gasPerLimiting: number;
  readonly limiting: string;
  readonly orderSpecies: readonly string[];
}

/**
 * The reaction of a plan: by its id, or described by the user.
 * @returns null when the id is unknown, or "own" without a description
 * @example
 * reactionOf('magnesium-acid').gas // => 'H2'
 */
export function reactionOf(id: string, own?: OwnReaction): Reaction | null {
  if (id === 'own') return own ? describedReaction(own) : null;
  return reactions.find((reaction) => reaction.id === id) ?? null;
}

function describedReaction(own: OwnReaction): Reaction {
  const keys = [...new Set([own.limiting, ...own.orderSpecies])];
  const factor =
    own.gasPerLimiting === 1
      ? `${own.limiting} is used up as fast.`
      : `${own.limiting} is used up ${String(Number((1 / own.gasPerLimiting).toPrecision(3)))} times as fast.`;
  const gas = own.gas === 'other' ? 'gas' : own.gas;
  return {
    id: 'own',
    name: own.name,
    equation: '',
    gas: own.gas,
    gasCoefficient: own.gasPerLimiting,
    consumed: [{ species: own.limiting, coefficient: 1 }],
    catalysts: [],
    species: keys.map((key) => ({ key, name: key, form: 'dissolved' })),
    limiting: own.limiting,
    orderSpecies: own.orderSpecies,
    usualOrders: {},
    convention: `The rate constant is for the making of ${gas}, d[${gas}]/dt. ${factor}`,
    published: [],
    activation: [],
    cautions: [
      {
        when: 'always',
        sentence: 'Find out what this reaction and its gas can do before mixing anything.',
        german: 'Vor dem Mischen herausfinden, was diese Reaktion und ihr Gas anrichten können.',
      },
      ...(own.gas === 'H2' ? magnesiumAcid.cautions.slice(0, 1) : []),
      ...(own.gas === 'O2' ? oxygenCautions : []),
      ...(own.gas === 'CO2' ? carbonateAcid.cautions : []),
    ],
    remarks: own.gas === 'CO2' ? carbonateAcid.remarks.slice(0, 2) : [],
  };
}

/**
 * mol of gas from one mol of a species; 0 for one that is not used up.
 * @example
 * gasPerMol(peroxideIodide, 'H2O2') // => 0.5
 */
export function gasPerMol(reaction: Reaction, species: string): number {
  const used = reaction.consumed.find((entry) => entry.species === species);
  return used ? reaction.gasCoefficient / used.coefficient : 0;
}

/**
 * The reagent that runs out first and the gas made by then.
 * @param moles amount of each species in the flask, mol; a species that is left out counts as plenty
 * @throws DegenerateData when none of the reagents is given; OutOfRange for a negative amount
 * @example
 * limitingReagent(magnesiumAcid, { Mg: 0.001, HCl: 0.01 }) // => { species: 'Mg', gasMol: 0.001 }
 */
export function limitingReagent(
  reaction: Reaction,
  moles: Readonly<Record<string, number>>,
): { readonly species: string; readonly gasMol: number } {
  let least: { species: string; gasMol: number } | null = null;
  for (const { species, coefficient } of reaction.consumed) {
    const amount = moles[species];
    if (amount === undefined) continue;
    if (!(amount >= 0)) throw new OutOfRange('An amount of substance cannot be negative.', `${species}: ${amount}`);
    const gasMol = (amount / coefficient) * reaction.gasCoefficient;
    if (least === null || gasMol < least.gasMol) least = { species, gasMol };
  }
  if (least === null) throw new DegenerateData('It is not known how much of the reagents is in the flask.');
  return least;
}

/**
 * A rate constant carried to another temperature by Arrhenius: k exp(-(E/R)(1/T - 1/T0)).
 * @throws OutOfRange unless the temperature is above zero
 * @example
 * rateConstantAt({ value: 1, temperatureK: 298.15, source: '' }, 56000, 308.15) // => 2.082
 */
export function rateConstantAt(constant: PublishedConstant, activationJPerMol: number, temperatureK: number): number {
  if (!(temperatureK > 0)) throw new OutOfRange('A temperature must be above absolute zero.', `${temperatureK} K`);
  return (
    constant.value * Math.exp((-activationJPerMol / GAS_CONSTANT) * (1 / temperatureK - 1 / constant.temperatureK))
  );
}

/**
 * Rise of temperature if all the heat stays in the liquid, K: the most that self-heating can do. Water's heat capacity,
 * 4.18 MJ/(m3 K).
 * @param gasMol gas made, mol @param solutionM3 volume of the liquid, m3
 * @returns null where the heat of the reaction is not known
 * @example
 * selfHeating(peroxideIodide, 0.001, 50e-6) // => 0.906
 */
export function selfHeating(reaction: Reaction, gasMol: number, solutionM3: number): number | null {
  if (reaction.heatJPerMolGas === undefined) return null;
  if (!(solutionM3 > 0)) throw new OutOfRange('The volume of the solution must be above zero.');
  return (reaction.heatJPerMolGas * gasMol) / (4.18e6 * solutionM3);
}

/**
 * A rise of temperature within a run that counts, K: one degree makes a reaction of 56 kJ/mol 8 % faster, several times
 * what the readings of a run leave open, and runs further apart than that are not at one temperature.
 */
const risesNoticeably = 1;

export interface Warming {
  readonly riseK: number;
  /** By how much that speeds the reaction up, as a fraction; null where no activation energy is known. */
  readonly fasterBy: number | null;
}

/**
 * How far a reaction can warm itself while so much gas is made, where that is enough to count.
 * @param temperatureK at which it begins
 * @returns null where it does not, and where the heat of the reaction is not known
 * @throws OutOfRange unless volume and temperature are above zero
 * @example
 * noticeableWarming(peroxideIodide, 0.001, 50e-6, 293.15) // => null
 */
export function noticeableWarming(
  reaction: Reaction,
  gasMol: number,
  solutionM3: number,
  temperatureK: number,
): Warming | null {
  const riseK = selfHeating(reaction, gasMol, solutionM3);
  if (riseK === null || !(riseK >= risesNoticeably)) return null;
  const activation = reaction.activation[0];
  const start = { value: 1, temperatureK, source: '' };
  return {
    riseK,
    fasterBy: activation ? rateConstantAt(start, activation.jPerMol, temperatureK + riseK) - 1 : null,
  };
}

/**
 * "up to 1.5 degrees, which makes it some 12 % faster": what `noticeableWarming` found, for a sentence.
 * @example
 * warmingText({ riseK: 2, fasterBy: 0.16 }) // => 'up to 2.0 degrees, which makes it some 16 % faster'
 */
export const warmingText = ({ riseK, fasterBy }: Warming, whom = 'it'): string =>
  `up to ${riseK.toPrecision(2)} degrees${fasterBy === null ? '' : `, which makes ${whom} some ${Number((100 * fasterBy).toPrecision(2))} % faster`}`;
