import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { type ColumnOf, noFigure, plainFigure, textCell } from '../results/table.ts';
import type { Difference } from './class-differences.ts';
import type { ClassEntry, Quantity } from './class-entry.ts';
import type { ClassResult, Why } from './class-result.ts';
import { classTexts, differenceText, whyText } from './class-texts.ts';

/** A group as the class shows it. */
export interface GroupLine {
  readonly entry: ClassEntry;
  /** Its value, at the class's law and temperature where it has these; null where it has none. */
  readonly quantity: Quantity | null;
  readonly standing: 'in' | 'apart' | 'out';
  /** Distance from the mean of the others in units of what that distance may be; null where it is not combined. */
  readonly z: number | null;
  readonly differences: readonly Difference[];
  /** Why it is not combined. */
  readonly why: Why | null;
}

/** Where a column stands: in the list on the screen, in the table that is copied and printed, in the grade book. */
export type ClassPlace = 'screen' | 'copies' | 'grades';

export interface ClassColumn extends ColumnOf<GroupLine> {
  readonly in: readonly ClassPlace[];
  /** Name of the grade book's column for the standard uncertainty of a figure; absent: none is given. */
  readonly uKey?: string;
}

const everywhere: readonly ClassPlace[] = ['screen', 'copies', 'grades'];

/**
 * The columns of a class's groups from left to right: the one list of them. A column added here is in every place that its
 * `in` names. Its label stands in `class-texts.ts`, under `columns`, in both languages.
 */
export function classColumns(
  result: ClassResult,
  names: ReadonlyMap<string, string>,
  place: ClassPlace,
  language: PageLanguage = 'en',
): ClassColumn[] {
  const t = classTexts[language];
  const count = (entry: ClassEntry, of: (run: ClassEntry['did'][number]) => number) =>
    textCell(entry.did.length === 0 ? '' : String(entry.did.reduce((sum, run) => sum + of(run), 0)));
  const columns: ClassColumn[] = [
    {
      key: 'group',
      label: t.columns.group,
      kind: 'text',
      in: everywhere,
      cell: ({ entry }) => textCell(names.get(entry.id) ?? entry.name),
    },
    {
      key: 'members',
      label: t.columns.members,
      kind: 'text',
      in: ['grades'],
      cell: ({ entry }) => textCell(entry.members),
    },
    { key: 'date', label: t.columns.date, kind: 'text', in: ['grades'], cell: ({ entry }) => textCell(dayOf(entry)) },
    {
      key: 'quantity',
      label: t.columns.quantity,
      kind: 'text',
      in: ['grades'],
      cell: () => textCell(result.quantity),
    },
    {
      key: 'unit',
      label: t.columns.unit,
      kind: 'text',
      in: ['grades'],
      cell: ({ quantity }) => textCell(quantity?.unit || result.unit),
    },
    {
      key: 'value',
      label: headingOf(result, language),
      kind: 'figure',
      in: everywhere,
      uKey: 'u',
      cell: ({ quantity }) => (quantity ? plainFigure(quantity.value, quantity.u) : noFigure('')),
    },
    {
      key: 'percent_from_class',
      label: t.columns.percent,
      kind: 'figure',
      in: ['grades'],
      cell: ({ quantity }) =>
        result.value && quantity
          ? plainFigure((100 * (quantity.value - result.value.value)) / result.value.value, undefined)
          : noFigure(''),
    },
    {
      key: 'in_class_value',
      label: t.columns.standing,
      kind: 'text',
      in: everywhere,
      cell: ({ standing }) => textCell(t.standings[standing]),
    },
    {
      key: 'distance',
      label: t.columns.distance,
      kind: 'text',
      in: ['copies'],
      cell: ({ z }) => textCell(z === null ? '' : numbersIn(language, z.toFixed(1).replace('-', '−'))),
    },
    {
      key: 'law',
      label: t.columns.law,
      kind: 'text',
      in: everywhere,
      cell: ({ entry }) => textCell(t.law(entry.law)),
    },
    { key: 'runs', label: t.columns.runs, kind: 'text', in: ['grades'], cell: ({ entry }) => count(entry, () => 1) },
    {
      key: 'readings',
      label: t.columns.readings,
      kind: 'text',
      in: ['grades'],
      cell: ({ entry }) => count(entry, ({ used }) => used),
    },
    {
      key: 'set_aside',
      label: t.columns.setAside,
      kind: 'text',
      in: ['copies', 'grades'],
      cell: ({ entry }) => count(entry, ({ setAside }) => setAside),
    },
    {
      key: 'differences',
      label: t.columns.differences,
      kind: 'text',
      in: everywhere,
      cell: ({ differences, why }) =>
        textCell(why ? whyText(why, language) : differences.map((one) => differenceText(one, language)).join('; ')),
    },
  ];
  return columns.filter((column) => column.in.includes(place));
}

/** The quantity and its unit, as a heading. */
export function headingOf({ quantity, unit }: ClassResult, language: PageLanguage): string {
  const name = classTexts[language].quantity(quantity);
  return unit === '' ? name : `${name} (${unit})`;
}

/** The combined groups, then those that are drawn beside them, then the others. */
export function groupLines({ rows, beside, apart, quantity }: ClassResult): GroupLine[] {
  const besides = new Map(beside.map((row) => [row.entry, row]));
  return [
    ...rows.map((row): GroupLine => ({ ...row, standing: row.standsOut ? 'apart' : 'in', why: null })),
    ...apart.map(({ entry, why }): GroupLine => {
      const row = besides.get(entry);
      return {
        entry,
        quantity: row?.quantity ?? entry.quantities[quantity] ?? null,
        standing: 'out',
        z: null,
        differences: row?.differences ?? [],
        why,
      };
    }),
  ];
}

/** The day on which the group began, "2023-11-14"; empty where it is not known. */
const dayOf = ({ begunWallMs }: ClassEntry): string =>
  begunWallMs === null ? '' : new Date(begunWallMs).toISOString().slice(0, 10);
