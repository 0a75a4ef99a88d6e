import type { Concentration } from './run-data.ts';

/** One run as the rate law sees it. */
export interface LawRow {
  readonly label: string;
  /** Any unit of rate, > 0; k comes out in it. */
  readonly rate: number;
  /** Standard uncertainty that belongs to this run alone, same unit; null: not known. */
  readonly uRate: number | null;
  readonly dfRate: number;
  /** The part of `uRate` that is not among the `effects`, when those are given; default all of it. */
  readonly uReadings?: number;
  /** Any one unit of concentration. */
  readonly concentrations: Readonly<Record<string, Concentration>>;
}
