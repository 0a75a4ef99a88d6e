import { backOf } from '../analysis/back-pressure.ts';
import type { PouredVolume } from '../analysis/poured.ts';
import { stationPressure } from '../analysis/station-pressure.ts';
import type { Caution } from '../chemistry/caution.ts';
import { generalCautions, solutionCautions } from '../chemistry/cautions.ts';
import { collectedPressure, headspaceCorrection, levelGrowth, volumeOverWater } from '../chemistry/gas.ts';
import { fillFlask, type Prepared, prepareSolutions } from '../chemistry/preparation.ts';
import {
  limitingReagent,
  noticeableWarming,
  type Reaction,
  reactionOf,
  reactions,
  type Warming,
} from '../chemistry/reactions.ts';
import { solidAmount, weighedG } from '../chemistry/solids.ts';
import type { PageLanguage } from '../language/page-language.ts';
import type { Plan, WeighedSolid } from '../log/plan.ts';
import type { Setup } from '../log/setup.ts';
import { NumericsError } from '../numerics/errors.ts';
import { adviceTexts } from './advice-texts.ts';
import { nameIn } from './names.ts';
import { type Ceiling, ceilingOf, type Mixture } from './run-prediction.ts';

/** The reaction of a plan, as far as planning needs it. Concentrations in mol/L, times in s. */
export interface PlanReaction {
  readonly name: string;
  readonly orderSpecies: readonly string[];
  readonly limiting: string;
  /** Orders used to predict rates: the usual ones, and 1 where none is usual. */
  readonly orders: Readonly<Record<string, number>>;
  /** Species whose order is 1 for want of a better one. */
  readonly assumed: readonly string[];
  /** mol used up per mol of gas. */
  readonly usedPerGas: Readonly<Record<string, number>>;
  /** k for d[gas]/dt in mol, L, s. */
  readonly published: { readonly k: number; readonly temperatureC: number; readonly source: string } | null;
  readonly activationJPerMol: number | null;
  /** How far so much gas warms so much liquid, where that counts; see `noticeableWarming`. */
  warming(gasMol: number, solutionM3: number, temperatureK: number): Warming | null;
  readonly remarks: readonly string[];
  /** The reagent that runs out first, of amounts in mol; a species that is left out counts as plenty. */
  firstGone(moles: Readonly<Record<string, number>>): string;
  nameOf(species: string): string;
}

export interface FlaskMixture {
  readonly totalMl: number;
  readonly uTotalMl: number;
  /** The species that matter for the rate, in the order of the reaction. */
  readonly species: readonly SpeciesAmount[];
  /** Solids whose amounts can be told. */
  readonly solids: readonly SolidInFlask[];
  /** Why the concentrations are not known, or null. */
  readonly unknown: string | null;
  /** Volumes that their vessel measures badly, a sentence each. */
  readonly coarse: readonly string[];
  /** Full conversion; null when it is not known what the flask holds of what runs out. */
  readonly ceiling: Ceiling | null;
  /** Temperature of the reaction, and whether the sheet says it. */
  readonly temperatureC: number;
  readonly temperatureStated: boolean;
  /** Null where no gas can be predicted: under water that is ice, or at a pressure at which it boils. */
  readonly mixture: Omit<Mixture, 'k' | 'orders'> | null;
}

export interface SpeciesAmount {
  readonly key: string;
  readonly name: string;
  readonly molPerL: number;
  /** Standard uncertainty from labels and measuring vessels. */
  readonly uMolPerL: number;
}

export interface SolidInFlask {
  readonly key: string;
  readonly name: string;
  readonly mol: number;
  readonly massG: number;
  /** Standard uncertainty, g. */
  readonly uMassG: number;
}

/** Taken where the sheet states none: an ordinary room. */
const roomC = 20;
const roomPa = 101_325;
/** A volume measured worse than this (relative standard uncertainty) is pointed out. */
const coarseAbove = 0.05;

/** Reactions to choose from. */
export const reactionChoices: readonly { readonly id: string; readonly name: string }[] = reactions.map(
  ({ id, name }) => ({ id, name }),
);

const knownReaction = (plan: Plan): Reaction | null => reactionOf(plan.reaction, plan.own);

/** What a bottle of this plan may hold. */
export function speciesChoices(plan: Plan): readonly { readonly key: string; readonly name: string }[] {
  const reaction = knownReaction(plan);
  const dissolved = (reaction?.species ?? []).filter((entry) => entry.form === 'dissolved');
  const others = plan.stocks
    .map((stock) => stock.species)
    .filter((key) => !dissolved.some((entry) => entry.key === key));
  return [
    ...dissolved.map(({ key, name }) => ({ key, name })),
    ...[...new Set(others)].map((key) => ({ key, name: key })),
  ];
}

/** Solids of this plan's reaction: they are weighed for each run. */
export const solidChoices = (plan: Plan): readonly { readonly key: string; readonly name: string }[] =>
  (knownReaction(plan)?.species ?? []).flatMap(({ key, name, form }) => (form === 'solid' ? [{ key, name }] : []));

/** A reaction that is not known (a plan of a newer version) has no species and predicts nothing. */
export function planReactionOf(plan: Plan, language: PageLanguage = 'en'): PlanReaction {
  const reaction = knownReaction(plan);
  const orderSpecies = reaction?.orderSpecies ?? [];
  const usual = reaction?.usualOrders ?? {};
  const orders = Object.fromEntries(orderSpecies.map((key) => [key, usual[key] ?? 1]));
  const total = Object.values(orders).reduce((sum, order) => sum + order, 0);
  const published = reaction?.published[0];
  const names = new Map(reaction?.species.map((entry) => [entry.key, entry.name]));
  return {
    name: reaction?.name ?? plan.reaction,
    orderSpecies,
    limiting: reaction?.limiting ?? '',
    orders,
    assumed: orderSpecies.filter((key) => usual[key] === undefined),
    usedPerGas: Object.fromEntries(
      (reaction?.consumed ?? []).map(({ species, coefficient }) => [
        species,
        coefficient / (reaction?.gasCoefficient ?? 1),
      ]),
    ),
    published: published
      ? {
          // (m3/mol)^(n - 1)/s to (L/mol)^(n - 1)/s.
          k: published.value * 1000 ** (total - 1),
          temperatureC: published.temperatureK - 273.15,
          source: published.source,
        }
      : null,
    activationJPerMol: reaction?.activation[0]?.jPerMol ?? null,
    warming: (...made) => (reaction ? noticeableWarming(reaction, ...made) : null),
    remarks: reaction?.remarks ?? [],
    firstGone: (moles) =>
      reaction && moles[reaction.limiting] !== undefined
        ? limitingReagent(reaction, moles).species
        : (reaction?.limiting ?? ''),
    nameOf: (key) => nameIn(names.get(key) ?? key, language),
  };
}

/** What is in the bottles and dilutions; a wrong label is a sentence, never a failure. */
export const preparedOf = (plan: Plan): Prepared => prepareSolutions(plan.stocks, plan.dilutions);

/** "0.100 mol/L", or why that is not known. */
export function strengthInWords(prepared: Prepared, solution: string): string | null {
  const found = prepared.solutions.get(solution);
  if (!found) return prepared.unknown.get(solution) ?? null;
  const molPerL = found.molPerM3 / 1000;
  return `${withU(molPerL, molPerL * found.uRelative)} mol/L`;
}

/**
 * What a flask holds right after mixing.
 *
 * @param temperatureC of this run, where it is stated; else that of the sheet, else an ordinary room
 */
export function mixtureOf(
  prepared: Prepared,
  setup: Setup,
  reaction: PlanReaction,
  volumes: readonly PouredVolume[],
  temperatureC: number | null = null,
  language: PageLanguage = 'en',
  weighed: readonly WeighedSolid[] = [],
): FlaskMixture {
  const filled = fillFlask(volumes, prepared);
  const flask = filled.ok ? filled.flask : null;
  const celsius = temperatureC ?? setup.temperatureC ?? roomC;
  const species = reaction.orderSpecies.map((key): SpeciesAmount => {
    const found = flask?.concentrations[key];
    const molPerL = (found?.value ?? 0) / 1000;
    const uMolPerL = found ? Math.hypot(found.u, found.value * found.uCommonRelative) / 1000 : 0;
    return { key, name: reaction.nameOf(key), molPerL, uMolPerL };
  });
  const solutionL = (flask?.volume.m3 ?? 0) * 1000;
  const solids = solidsIn(weighed, reaction);
  // A solid counts as if it were dissolved: only its amount matters for the gas that it makes.
  const concentrations = Object.fromEntries([
    ...Object.entries(flask?.concentrations ?? {}).map(([key, found]) => [key, found.value / 1000] as const),
    ...(solutionL > 0 ? solids.map(({ key, mol }) => [key, mol / solutionL] as const) : []),
  ]);
  const perMol = displacedPerMol(setup);
  const mixture = perMol && {
    concentrations,
    usedPerGas: reaction.usedPerGas,
    limiting: solids.length > 0 ? reaction.firstGone(concentrations) : reaction.limiting,
    solutionL,
    ...perMol,
  };
  return {
    totalMl: (flask?.volume.m3 ?? 0) * 1e6,
    uTotalMl: (flask?.volume.u ?? 0) * 1e6,
    species,
    solids,
    unknown: filled.ok ? null : filled.sentence,
    coarse: coarseVolumes(volumes, prepared, language),
    ceiling: mixture && ceilingOf(mixture),
    temperatureC: celsius,
    temperatureStated: temperatureC !== null || setup.temperatureC !== undefined,
    mixture,
  };
}

function solidsIn(weighed: readonly WeighedSolid[], reaction: PlanReaction): SolidInFlask[] {
  return weighed.flatMap((solid) => {
    const amount = solidAmount(solid);
    if (!amount) return [];
    const { mol, u, uCommonRelative } = amount;
    const massG = weighedG(amount);
    const uMassG = (Math.hypot(u, mol * uCommonRelative) / mol) * massG;
    return [{ key: solid.species, name: reaction.nameOf(solid.species), mol, massG, uMassG }];
  });
}

/** How much water a mol of gas displaces, against the rising level where that is allowed for; null: none can be. */
function displacedPerMol(setup: Setup): Pick<Mixture, 'litresPerMol' | 'perM3'> | null {
  try {
    const pascal = pressurePa(setup);
    const kelvin = (setup.temperatureC ?? roomC) + 273.15;
    const freely = volumeOverWater(1, pascal, kelvin);
    if (!setup.backPressure?.on) return { litresPerMol: freely * 1000, perM3: 0 };
    const back = backOf(setup.backPressure);
    const atStart = freely / (1 + headspaceCorrection(back, pascal, kelvin));
    return { litresPerMol: atStart * 1000, perM3: levelGrowth(1 / atStart, pascal, kelvin, back) };
  } catch (error) {
    if (error instanceof NumericsError) return null;
    throw error;
  }
}

/** Pressure of the collected gas, Pa; that of the standard atmosphere where the sheet states none. */
function pressurePa(setup: Setup): number {
  const { pressure, waterHeadMm = 0 } = setup;
  const station = pressure === undefined ? roomPa : stationPressure(pressure).value;
  // The setup counts the head from the free level up to the gas side; there the gas is under less than air pressure.
  return collectedPressure(station, -waterHeadMm / 1000, (setup.temperatureC ?? roomC) + 273.15);
}

function coarseVolumes(volumes: readonly PouredVolume[], prepared: Prepared, language: PageLanguage): string[] {
  return volumes.flatMap(({ solution, volumeMl, vesselMl }) => {
    if (volumeMl <= 0 || solution === 'water' || !prepared.solutions.has(solution)) return [];
    const alone = fillFlask([{ solution, volumeMl, vesselMl }], prepared);
    const relative = alone.ok ? alone.flask.volume.u / alone.flask.volume.m3 : 0;
    if (relative <= coarseAbove) return [];
    return [adviceTexts[language].coarse(volumeMl, Math.round(relative * 100), vesselMl)];
  });
}

/** Every caution of a plan, worst first, each once: of all gas collection, of the reaction, of what is in the bottles. */
export function cautionsOf(plan: Plan, prepared: Prepared = preparedOf(plan)): readonly Caution[] {
  const all = [
    ...generalCautions,
    ...(knownReaction(plan)?.cautions ?? []),
    ...plan.stocks.flatMap((stock) =>
      solutionCautions(stock.species, prepared.solutions.get(stock.id)?.molPerM3 ?? null),
    ),
    ...weighedIn(plan).flatMap((species) => solutionCautions(species, null)),
  ];
  return all.filter((caution, index) => all.findIndex((other) => other.sentence === caution.sentence) === index);
}

/** Species that some run of a plan gets as a solid. */
const weighedIn = ({ runs }: Plan): readonly string[] => [
  ...new Set(runs.flatMap(({ solids }) => (solids ?? []).map(({ species }) => species))),
];

/** A caution in German for German, in English for any other language. */
export const cautionText = ({ sentence, german }: Caution, language: string): string =>
  language.toLowerCase().split('-')[0] === 'de' ? german : sentence;

/** Formula of the gas that the plan makes, "other" when it is not known. */
export const gasOf = (plan: Plan): Reaction['gas'] => knownReaction(plan)?.gas ?? 'other';

/** "0.1411 ± 0.0021": rounded by the uncertainty's two figures; three figures where none is known. */
export function withU(value: number, u: number): string {
  if (!(u > 0) || !(value > 0)) return String(Number(value.toPrecision(3)));
  const decimals = Math.min(9, Math.max(0, 1 - Math.floor(Math.log10(u))));
  return `${value.toFixed(decimals)} ± ${u.toFixed(decimals)}`;
}
