import type { WholeFit } from './whole-fit.ts';

/** The whole-notebook fit with the uncertainty of everything, not of the readings alone. */
export interface WholeResult {
  readonly ok: true;
  readonly free: WholeFit;
  readonly k: number;
  readonly u: number;
  readonly df: number;
  readonly low95: number;
  readonly high95: number;
  readonly orders: Readonly<
    Record<string, { readonly value: number; readonly u: number; readonly low95: number; readonly high95: number }>
  >;
  /** At the accepted orders, when there are such. */
  readonly accepted: {
    readonly orders: Readonly<Record<string, number>>;
    readonly fit: WholeFit;
    readonly k: number;
    readonly u: number;
    readonly df: number;
    readonly low95: number;
    readonly high95: number;
    /** What each source contributes to u(k)/k. */
    readonly budget: readonly BudgetLine[];
  } | null;
}

export interface BudgetLine {
  readonly source: string;
  /** Contribution to the relative standard uncertainty of k. */
  readonly u: number;
  /** Share of the variance, 0..1; the shares of a budget add up to 1. */
  readonly share: number;
}
