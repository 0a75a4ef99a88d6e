import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { figureText, roundByUncertainty } from '../results/round-by-uncertainty.ts';
import { type Cell, type Column, type ColumnOf, plainFigure, type Table, tableOf, textCell } from '../results/table.ts';
import type { ClassResult, ClassRow } from './class-result.ts';
import { chance, classSentence, classTexts, differenceText, valueText, whyText } from './class-texts.ts';

import type { ForestPlot } from './forest-svg.ts';

const heading = ({ quantity, unit }: ClassResult, language: PageLanguage): string => {
  const name = classTexts[language].quantity(quantity);
  return unit === '' ? name : `${name} (${unit})`;
};

/** The groups as a table to copy, print or show. */
export function classTable(
  result: ClassResult,
  names: ReadonlyMap<string, string>,
  language: PageLanguage = 'en',
): Table {
  const t = classTexts[language];
  const columns: ColumnOf<ClassRow>[] = [
    { key: 'group', label: t.columns.group, kind: 'text', cell: ({ entry }) => textCell(names.get(entry.id) ?? '') },
    {
      key: 'value',
      label: heading(result, language),
      kind: 'figure',
      cell: ({ quantity }) => plainFigure(quantity.value, quantity.u),
    },
    {
      key: 'in_class_value',
      label: t.columns.standing,
      kind: 'text',
      cell: ({ standsOut }) => textCell(standsOut ? t.standings.apart : t.standings.in),
    },
    {
      key: 'distance',
      label: t.columns.distance,
      kind: 'text',
      cell: ({ z }) => textCell(numbersIn(language, z.toFixed(1).replace('-', '−'))),
    },
    { key: 'law', label: t.columns.law, kind: 'text', cell: ({ entry }) => textCell(t.law(entry.law)) },
    {
      key: 'set_aside',
      label: t.columns.setAside,
      kind: 'text',
      cell: ({ entry: { did } }) =>
        textCell(did.length === 0 ? '' : String(did.reduce((sum, run) => sum + run.setAside, 0))),
    },
    {
      key: 'differences',
      label: t.columns.differences,
      kind: 'text',
      cell: ({ differences }) => textCell(differences.map((one) => differenceText(one, language)).join('; ')),
    },
  ];
  const notes = [
    ...(result.value
      ? [`${classSentence(result, names, language)} ${heading(result, language)}: ${valueText(result, language)}.`]
      : []),
    ...result.apart.map(
      ({ entry, why }) => `${names.get(entry.id) ?? ''}: ${t.standings.out}. ${whyText(why, language)}`,
    ),
  ];
  return tableOf(`${t.forest.title}: ${heading(result, language)}`, columns, result.rows, notes);
}

/** Other ways of combining the same groups, side by side, with what they mean. */
export function pooledTable(result: ClassResult, language: PageLanguage = 'en'): Table {
  const { combination, unit, robust, grubbs } = result;
  const { methods: t, columns: c } = classTexts[language];
  const columns: Column[] = [
    { key: 'method', label: c.method, kind: 'text' },
    { key: 'mean', label: unit === '' ? c.mean : `${c.mean} (${unit})`, kind: 'figure' },
    { key: 'between', label: c.spread, kind: 'text' },
    { key: 'means', label: c.words, kind: 'text' },
  ];
  if (!combination) return { title: t.title, columns, rows: [], notes: [] };
  const { weighted, enlarged, derSimonianLaird: dl, mandelPaule: mp } = combination;
  const row = (
    [name, words]: readonly [string, string],
    { mean, u }: { mean: number; u: number },
    tau: number | null,
  ): Cell[] => [
    textCell(name),
    plainFigure(mean, u),
    textCell(tau === null ? '' : tau === 0 ? '0' : numbersIn(language, tau.toPrecision(2))),
    textCell(words),
  ];
  const { q, degreesOfFreedom: df, probability, birgeRatio, iSquared } = combination;
  return {
    title: t.title,
    columns,
    rows: [
      row(t.weighted, weighted, null),
      row(t.enlarged, enlarged, null),
      row(t.moments, dl, Math.sqrt(dl.tauSquared)),
      row(t.paule, mp, Math.sqrt(mp.tauSquared)),
      ...(robust && robust.u > 0 ? [row(t.robust, robust, robust.spread)] : []),
    ],
    notes:
      birgeRatio === null || probability === null
        ? [t.alone]
        : [
            ...(grubbs ? [t.grubbs(grubbs.statistic.toPrecision(3), chance(grubbs.probability))] : []),
            t.statistics(
              q.toPrecision(4),
              df,
              chance(probability),
              birgeRatio.toPrecision(4),
              (100 * iSquared).toFixed(1),
            ),
          ].map((note) => numbersIn(language, note)),
  };
}

/** All groups with two standard uncertainties either way, the class's value and the published one at the foot. */
export function classForest(
  result: ClassResult,
  names: ReadonlyMap<string, string>,
  language: PageLanguage = 'en',
): ForestPlot {
  const t = classTexts[language].forest;
  const { value, published, rows, beside } = result;
  const all = [...rows, ...beside];
  return {
    title: `${t.title}: ${heading(result, language)}`,
    description: t.description(
      all.length,
      value ? figureText(roundByUncertainty(value.value, value.u)) : '–',
      all.filter(({ standsOut }) => standsOut).length,
    ),
    xLabel: heading(result, language),
    rows: all.map(({ entry, quantity, standsOut }) => ({
      name: names.get(entry.id) ?? '',
      value: quantity.value,
      half: 2 * quantity.u,
      outlying: standsOut,
    })),
    centre: value && { name: t.class, value: value.value, half: 2 * value.u },
    published: published && { name: t.published, value: published.value },
    more: t.more,
    decimal: language === 'de' ? ',' : '.',
  };
}
