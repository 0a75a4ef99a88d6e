/**
 * What a rate law is worth, as data: whether it fits, and why not. `results/verdict-texts.ts` has the sentences, one for
 * every code, in every page language.
 */

/** Inputs of the chain that can come without a standard uncertainty. */
export type InputWithoutUncertainty =
  | 'times and readings'
  | 'concentrations'
  | 'solids'
  | 'baseline'
  | 'ceiling'
  | 'temperature'
  | 'pressure'
  | 'scale'
  | 'solution';

/** How the rate falls as the limiting reagent is used up, x being the share used up. */
export type RateForm =
  /** (1 - x)^0: the rate does not fall. */
  | 'zero-order'
  | 'first-order'
  | 'second-order'
  /** (1 - x)^(2/3): the surface of a solid that shrinks. */
  | 'shrinking-solid'
  /** (1 - x)^n with a fitted n. */
  | 'nth-order'
  /** Michaelis form, c/(K + c). */
  | 'saturating';

export type VerdictReason =
  // Remarks: they change nothing in the standing.
  | { readonly code: 'held-back'; readonly lagS: number; readonly u: number; readonly runs: readonly string[] }
  | { readonly code: 'form'; readonly form: RateForm; readonly order: number; readonly u: number }
  /** A solid takes part: it has an amount and a surface, but no concentration, so no order. */
  | { readonly code: 'solid'; readonly species: readonly string[] }
  /** No ceiling is known, and the runs bend as if each had the same of a reagent that nobody stated. */
  | { readonly code: 'used-up-unstated' }
  | { readonly code: 'nothing-left-over'; readonly runs: number; readonly orders: number }
  | { readonly code: 'inputs-without-uncertainty'; readonly inputs: readonly InputWithoutUncertainty[] }
  // Reservations: the law stands, with a doubt.
  | { readonly code: 'unsettled'; readonly count: number; readonly runs: readonly string[] }
  | { readonly code: 'mean-rates'; readonly runs: readonly string[] }
  // The starting rates are not known: no k in the headline.
  | { readonly code: 'late-rates'; readonly runs: readonly string[] }
  /** No k in the headline: its interval tells nothing, or gas that stays dissolved leaves two whole orders in `species` open. */
  | { readonly code: 'constant-open'; readonly species: string | null }
  | { readonly code: 'set-apart'; readonly runs: readonly string[] }
  /** The runs of the law have other amounts of a solid, or other pieces: their surfaces differ. */
  | { readonly code: 'solids-differ'; readonly species: readonly string[] }
  | {
      readonly code: 'order-ambiguous';
      readonly species: string;
      readonly order: number;
      readonly others: readonly number[];
    }
  | {
      readonly code: 'order-outside';
      readonly species: string;
      readonly order: number;
      readonly value: number;
      readonly u: number;
    }
  | {
      readonly code: 'within-differs';
      readonly species: string;
      readonly within: number;
      readonly uWithin: number;
      readonly between: number;
      readonly uBetween: number;
    }
  | {
      readonly code: 'levels-off';
      readonly species: string;
      readonly order: number;
      readonly constant: number;
      readonly u: number;
      /** Whether it fits as well as the order does; else it is only not ruled out. */
      readonly asWell: boolean;
    }
  | { readonly code: 'runs-disagree'; readonly birge: number }
  | { readonly code: 'ways-differ'; readonly species: string | null }
  | { readonly code: 'pattern'; readonly runs: readonly string[]; readonly p: number }
  | { readonly code: 'open-orders'; readonly species: readonly string[] }
  // Against the law: no k in the headline.
  | { readonly code: 'misfit'; readonly runs: readonly string[]; readonly p: number }
  /** No ceiling is known, and the runs bend otherwise than their starting amounts ask for. */
  | { readonly code: 'bends-differ' }
  | { readonly code: 'no-simple-order'; readonly species: string; readonly value: number; readonly u: number }
  | { readonly code: 'saturating'; readonly species: string; readonly constant: number; readonly u: number }
  | { readonly code: 'wild-order'; readonly species: string; readonly value: number }
  // There is no law.
  | { readonly code: 'no-law'; readonly sentence: string };

export type VerdictCode = VerdictReason['code'];

/** From best to worst. */
export const standings = ['fits', 'reservations', 'does-not-fit', 'no-law'] as const;
export type Standing = (typeof standings)[number];

/** What each code does to the standing; a remark leaves it at 'fits'. */
export const standingOf: Readonly<Record<VerdictCode, Standing>> = {
  'held-back': 'fits',
  form: 'fits',
  solid: 'fits',
  'used-up-unstated': 'fits',
  'nothing-left-over': 'fits',
  'inputs-without-uncertainty': 'fits',
  unsettled: 'reservations',
  'mean-rates': 'reservations',
  'late-rates': 'reservations',
  'constant-open': 'reservations',
  'set-apart': 'reservations',
  'solids-differ': 'reservations',
  'order-ambiguous': 'reservations',
  'order-outside': 'reservations',
  'within-differs': 'reservations',
  'levels-off': 'reservations',
  'runs-disagree': 'reservations',
  'ways-differ': 'reservations',
  pattern: 'reservations',
  'open-orders': 'reservations',
  misfit: 'does-not-fit',
  'bends-differ': 'does-not-fit',
  'no-simple-order': 'does-not-fit',
  saturating: 'does-not-fit',
  'wild-order': 'does-not-fit',
  'no-law': 'no-law',
};

export interface Verdict {
  readonly standing: Standing;
  /** Worst first; remarks last. */
  readonly reasons: readonly VerdictReason[];
}

/**
 * The verdict that some reasons come to: the worst of their standings.
 * @example
 * verdictOf([{ code: 'runs-disagree', birge: 4 }]).standing // => 'reservations'
 */
export function verdictOf(reasons: readonly VerdictReason[]): Verdict {
  const rank = ({ code }: VerdictReason): number => standings.indexOf(standingOf[code]);
  const sorted = [...reasons].sort((a, b) => rank(b) - rank(a));
  const worst = sorted[0];
  return { standing: worst ? standingOf[worst.code] : 'fits', reasons: sorted };
}

/** A value with its standard uncertainty and 95 % interval. */
export interface HeadlineFigure {
  readonly value: number;
  readonly u: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

/**
 * The law to show first. 'all-readings': from the fit of all readings at once, where that can be had; 'starting-rates':
 * from the runs' starting rates; 'mean-rates': from mean rates, which are no starting rates.
 */
export interface Headline {
  readonly from: 'all-readings' | 'starting-rates' | 'mean-rates';
  readonly orders: Readonly<Record<string, HeadlineFigure & { readonly accepted: number | null }>>;
  /** Null where the law does not fit, or an order is open. Unit as `ExperimentAnalysis.unit` says. */
  readonly k:
    | (HeadlineFigure & { readonly orders: Readonly<Record<string, number>>; readonly at: 'accepted' | 'estimated' })
    | null;
}

/** Flagged readings that nobody has settled, and what settling them would change. */
export interface Unsettled {
  readonly count: number;
  readonly runs: readonly string[];
  /** The law as the readings stand, and with every flag dealt with (suggested values taken, the others set aside). */
  readonly with: Headline | null;
  readonly without: Headline | null;
  /** Whether the two differ by more than their uncertainty, or accept other orders. */
  readonly differ: boolean;
}

/** What a run's rate rests on. */
export interface RunModel {
  readonly form: RateForm;
  /** Exponent of the share left, for all forms but 'saturating'. */
  readonly order: number;
  /** Gas held back at first: time constant of its release, s; null where none shows. */
  readonly lag: { readonly seconds: number; readonly u: number } | null;
  /** Moment of mixing on the run's own clock as the fit has it, s: what is held back is counted from there. */
  readonly mixedS: number;
  /** Share of the Akaike weight that this form (with or without lag) has among those tried, 0..1. */
  readonly weight: number;
  readonly ceiling: 'given' | 'tied' | 'fitted' | 'none';
}
