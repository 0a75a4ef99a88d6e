import { type Catalogue, catalogue, type PageLanguage } from '../language/page-language.ts';
import type { Plan } from '../log/plan.ts';
import { nameIn } from './names.ts';

/** A plan to start from. Volumes and strengths are ours; every one of them is meant to be changed. */
export interface PlanTemplate {
  readonly id: string;
  readonly title: Catalogue<string>;
  readonly words: Catalogue<string>;
  readonly plan: Plan;
}

const peroxide: Plan['stocks'][number] = {
  id: 'peroxide',
  name: 'peroxide',
  species: 'H2O2',
  strength: { value: 3, unit: '%w/v', uRelative: 0.05 },
  availableMl: 100,
};
const iodide: Plan['stocks'][number] = {
  id: 'iodide',
  name: 'iodide',
  species: 'I-',
  strength: { value: 0.2, unit: 'mol/L', uRelative: 0.02 },
  availableMl: 150,
};

const flask = (water: number, iodideMl: number, peroxideMl: number, salt = 'iodide'): Plan['runs'][number]['pours'] => [
  ...(water > 0 ? [{ solution: 'water', volumeMl: water }] : []),
  { solution: salt, volumeMl: iodideMl },
  { solution: 'peroxide', volumeMl: peroxideMl },
];

export const planTemplates: readonly PlanTemplate[] = [
  {
    id: 'three-runs',
    title: catalogue('Peroxide and iodide, three runs', 'Peroxid und Iodid, drei Läufe'),
    words: catalogue(
      'One mixture, then half the iodide, then half the peroxide: both orders and the rate constant.',
      'Eine Mischung, dann halb so viel Iodid, dann halb so viel Peroxid: beide Ordnungen und die Geschwindigkeitskonstante.',
    ),
    plan: {
      reaction: 'peroxide-iodide',
      stocks: [peroxide, iodide],
      dilutions: [],
      runs: [
        { label: '1', pours: flask(20, 20, 10) },
        { label: '2', pours: flask(30, 10, 10) },
        { label: '3', pours: flask(25, 20, 5) },
      ],
    },
  },
  {
    id: 'dilutions',
    title: catalogue('Peroxide and iodide, iodide diluted twice', 'Peroxid und Iodid, Iodid zweimal verdünnt'),
    words: catalogue(
      'The same volumes in every flask, the iodide from three bottles: full, half and a quarter.',
      'Gleiche Volumina in jedem Kolben, das Iodid aus drei Flaschen: ganz, halb und ein Viertel.',
    ),
    plan: {
      reaction: 'peroxide-iodide',
      stocks: [peroxide, iodide],
      dilutions: [
        { id: 'half', name: 'half iodide', from: 'iodide', takeMl: 50, makeUpToMl: 100, vesselMl: 100 },
        { id: 'quarter', name: 'quarter iodide', from: 'half', takeMl: 50, makeUpToMl: 100, vesselMl: 100 },
      ],
      runs: [
        { label: '1', pours: flask(20, 20, 10) },
        { label: '2', pours: flask(20, 20, 10, 'half') },
        { label: '3', pours: flask(20, 20, 10, 'quarter') },
        { label: '4', pours: flask(25, 20, 5) },
      ],
    },
  },
  {
    id: 'temperatures',
    title: catalogue('Peroxide and iodide at three temperatures', 'Peroxid und Iodid bei drei Temperaturen'),
    words: catalogue(
      'One mixture at 15, 25 and 35 °C: the activation energy.',
      'Eine Mischung bei 15, 25 und 35 °C: die Aktivierungsenergie.',
    ),
    plan: {
      reaction: 'peroxide-iodide',
      stocks: [peroxide, iodide],
      dilutions: [],
      runs: [15, 25, 35].map((temperatureC, index) => ({
        label: String(index + 1),
        pours: flask(25, 15, 10),
        temperatureC,
      })),
    },
  },
];

/** A template's plan, its bottles named in the language of the page: they are called by these names. */
export const planIn = (plan: Plan, language: PageLanguage): Plan => ({
  ...plan,
  stocks: plan.stocks.map((stock) => ({ ...stock, name: nameIn(stock.name, language) })),
  dilutions: plan.dilutions.map((dilution) => ({ ...dilution, name: nameIn(dilution.name, language) })),
});

/** A sheet with nothing on it yet, for a reaction of one's own. */
export const emptyPlan: Plan = {
  reaction: 'own',
  own: { name: 'my reaction', gas: 'other', gasPerLimiting: 1, limiting: 'A', orderSpecies: ['A', 'B'] },
  stocks: [],
  dilutions: [],
  runs: [],
};
