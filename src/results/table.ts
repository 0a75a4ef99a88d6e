import type { Measured } from '../analysis/run-data.ts';
import { type RoundedFigure, roundByUncertainty, roundToFigures } from './round-by-uncertainty.ts';
import type { Unit } from './unit.ts';

/**
 * A table as data, before it becomes a screen, a spreadsheet or a page. Text and figures only; every figure carries
 * its own unrounded numbers and the rounding that all forms print.
 */
export interface Table {
  readonly title: string;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Cell[])[];
  /** Sentences below the table: what was left out, what the figures mean. */
  readonly notes: readonly string[];
}

export interface Column {
  /** Stands for the column in file headers: letters, digits and underscores. */
  readonly key: string;
  readonly label: string;
  /** For math; without it the label is set as text. */
  readonly latex?: string;
  readonly unit?: Unit;
  readonly kind: 'text' | 'figure';
}

/**
 * A column together with what stands in it: a list of these is the one place where a table's columns are named. Screen,
 * report, text, CSV, LaTeX, JSON and class all take the table made from it.
 */
export interface ColumnOf<Row> extends Column {
  readonly cell: (row: Row) => Cell;
}

/**
 * The table of a list of columns, a row for each of `rows`.
 * @example
 * tableOf('Ages', [{ key: 'age', label: 'age', kind: 'text', cell: (years: number) => textCell(`${years}`) }], [7]).rows // => [[{ kind: 'text', text: '7' }]]
 */
export function tableOf<Row>(
  title: string,
  columns: readonly ColumnOf<Row>[],
  rows: readonly Row[],
  notes: readonly string[] = [],
): Table {
  return {
    title,
    columns: columns.map(({ cell: _, ...column }) => column),
    rows: rows.map((row) => columns.map(({ cell }) => cell(row))),
    notes,
  };
}

export type Cell =
  /** `latex`: as LaTeX sets it, where that is not the text itself. */
  | { readonly kind: 'text'; readonly text: string; readonly latex?: string }
  | {
      readonly kind: 'figure';
      readonly value: number | null;
      /** Undefined: not known. */
      readonly u: number | undefined;
      /** Null: there is no figure, `why` says why. */
      readonly rounded: RoundedFigure | null;
      readonly why?: string;
    };

export const textCell = (text: string, latex?: string): Cell => ({
  kind: 'text',
  text,
  ...(latex === undefined ? {} : { latex }),
});
export const figureCell = (measured: Measured): Cell => plainFigure(measured.value, measured.u);
export const plainFigure = (value: number, u: number | undefined): Cell => ({
  kind: 'figure',
  value: Number.isFinite(value) ? value : null,
  u,
  rounded: roundByUncertainty(value, u),
});
/** A place where a figure would stand if it could be computed. */
export const noFigure = (why: string): Cell => ({ kind: 'figure', value: null, u: undefined, rounded: null, why });

/** The table with every measured figure to `figures` digits; null keeps what the uncertainty allows. Temperatures stay. */
export function withFigures(table: Table, figures: number | null): Table {
  if (figures === null) return table;
  const round = (cell: Cell, column: Column | undefined): Cell =>
    cell.kind === 'figure' && cell.value !== null && column?.key !== 'temperature'
      ? { ...cell, rounded: roundToFigures(cell.value, cell.u, figures) }
      : cell;
  return { ...table, rows: table.rows.map((row) => row.map((cell, i) => round(cell, table.columns[i]))) };
}

/** The table with some of its columns only. */
export function withColumns(table: Table, wanted: (key: string) => boolean): Table {
  const kept = table.columns.map(({ key }) => wanted(key));
  return {
    ...table,
    columns: table.columns.filter((_, i) => kept[i]),
    rows: table.rows.map((row) => row.filter((_, i) => kept[i])),
  };
}
