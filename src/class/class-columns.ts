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
  const count = (entry: ClassEntry, of: (run: ClassEntry['did'][number]) => number): string =>
    entry.did.length === 0 ? '' : String(entry.did.reduce((sum, run) => sum + of(run), 0));
  const text = (
    key: string,
    label: string,
    places: readonly ClassPlace[],
    words: (line: GroupLine) => string,
  ): ClassColumn => ({ key, label, kind: 'text', in: places, cell: (line) => textCell(words(line)) });
  const { columns: labels } = t;
  const columns: ClassColumn[] = [
    text('group', labels.group, everywhere, ({ entry }) => names.get(entry.id) ?? entry.name),
    text('members', labels.members, ['grades'], ({ entry }) => entry.members),
    text('date', labels.date, ['grades'], ({ entry }) => dayOf(entry)),
    text('quantity', labels.quantity, ['grades'], () => result.quantity),
    text('unit', labels.unit, ['grades'], ({ quantity }) => quantity?.unit || result.unit),
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
      label: labels.percent,
      kind: 'figure',
      in: ['grades'],
      cell: ({ quantity }) =>
        result.value && quantity
          ? plainFigure((100 * (quantity.value - result.value.value)) / result.value.value, undefined)
          : noFigure(''),
    },
    text('in_class_value', labels.standing, everywhere, ({ standing }) => t.standings[standing]),
    text('distance', labels.distance, ['copies'], ({ z }) =>
      z === null ? '' : numbersIn(language, z.toFixed(1).replace('-', '−')),
    ),
    text('law', labels.law, everywhere, ({ entry }) => t.law(entry.law)),
    text('runs', labels.runs, ['grades'], ({ entry }) => count(entry, () => 1)),
    text('readings', labels.readings, ['grades'], ({ entry }) => count(entry, ({ used }) => used)),
    text('set_aside', labels.setAside, ['copies', 'grades'], ({ entry }) => count(entry, ({ setAside }) => setAside)),
    text('differences', labels.differences, everywhere, ({ differences, why }) =>
      why ? whyText(why, language) : differences.map((one) => differenceText(one, language)).join('; '),
    ),
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
