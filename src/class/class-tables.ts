import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { figureText, roundByUncertainty } from '../results/round-by-uncertainty.ts';
import { type Cell, type Column, plainFigure, type Table, tableOf, textCell } from '../results/table.ts';
import { classColumns, groupLines, headingOf } from './class-columns.ts';
import type { ClassResult } from './class-result.ts';
import { chance, classSentence, classTexts, valueText, whyText } from './class-texts.ts';

import type { ForestPlot } from './forest-svg.ts';

/** The groups as a table to copy, print or show. */
export function classTable(
  result: ClassResult,
  names: ReadonlyMap<string, string>,
  language: PageLanguage = 'en',
): Table {
  const t = classTexts[language];
  const notes = [
    ...(result.value
      ? [`${classSentence(result, names, language)} ${headingOf(result, language)}: ${valueText(result, language)}.`]
      : []),
    ...result.apart.map(
      ({ entry, why }) => `${names.get(entry.id) ?? ''}: ${t.standings.out}. ${whyText(why, language)}`,
    ),
  ];
  const columns = classColumns(result, names, 'copies', language);
  const combined = groupLines(result).filter(({ standing }) => standing !== 'out');
  return tableOf(`${t.forest.title}: ${headingOf(result, language)}`, columns, combined, notes);
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
    title: `${t.title}: ${headingOf(result, language)}`,
    description: t.description(
      all.length,
      value ? figureText(roundByUncertainty(value.value, value.u)) : '–',
      all.filter(({ standsOut }) => standsOut).length,
    ),
    xLabel: headingOf(result, language),
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
