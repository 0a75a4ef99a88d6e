import { typedFigure } from '../../files/typed-figure.ts';
import type { EnteredReading } from '../../log/event.ts';

/** One row of the table, as typed. */
export interface TypedRow {
  readonly time: string;
  readonly volume: string;
}

/** What a new row starts with: the step of the last two volumes carried on, '' where they show none. */
export function volumeAfter(rows: readonly TypedRow[]): string {
  const [a = Number.NaN, b = Number.NaN] = rows.slice(-2).map((row) => Number(row.volume.replace(',', '.')));
  const next = 2 * b - a;
  return Number.isFinite(next) ? String(Number(next.toFixed(6))) : '';
}

/** The readings of a typed table, or what is wrong with it: a row, counted from 1, or fewer than two readings. */
export type TypedReadings =
  | { readonly ok: true; readonly readings: readonly EnteredReading[] }
  | { readonly ok: false; readonly wrong: 'time' | 'volume'; readonly row: number }
  | { readonly ok: false; readonly wrong: 'too-few' };

/**
 * Rows without a time are left out.
 * @param goodTo standard uncertainty of each time as typed, s; 0.5 where it is not between 0 and 60
 */
export function typedReadings(rows: readonly TypedRow[], goodTo: string): TypedReadings {
  const u = Number(goodTo.replace(',', '.'));
  const uTimeMs = u >= 0 && u <= 60 ? 1000 * u : 500;
  const readings: EnteredReading[] = [];
  for (const [i, row] of rows.entries()) {
    if (row.time.trim() === '') continue;
    const time = typedFigure(row.time);
    const value = row.volume.includes(':') ? null : typedFigure(row.volume);
    if (time === null) return { ok: false, wrong: 'time', row: i + 1 };
    if (value === null) return { ok: false, wrong: 'volume', row: i + 1 };
    readings.push({ time, value, uTimeMs });
  }
  return readings.length < 2 ? { ok: false, wrong: 'too-few' } : { ok: true, readings };
}
