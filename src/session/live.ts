import type { Setup } from '../notebook/setup.ts';
import type { Run } from '../notebook/state.ts';

/** The rate while the run goes on, from the third reading. */
export interface LiveRate {
  readonly rateMlPerS: number;
  readonly uMlPerS: number;
  /** "0.0832 ± 0.0011". */
  readonly text: string;
  /** Notebook time at which the next mark is due, ms; null when it cannot be said. */
  readonly nextMarkMs: number | null;
  /** Notebook time at which the span will be reached, ms. */
  readonly spanMs: number | null;
}

/** Said once per run and kind. */
export interface Warning {
  readonly kind: 'no-reading' | 'slower' | 'surge';
  readonly text: string;
}

export function liveRate(_run: Run, _setup: Setup): LiveRate | null {
  return null;
}
export function warningsOf(_run: Run, _setup: Setup, _nowMs: number): readonly Warning[] {
  return [];
}
