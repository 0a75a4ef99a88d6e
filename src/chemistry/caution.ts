/** When a caution matters. */
export type CautionMoment = 'always' | 'pouring' | 'running' | 'cleaning';

export interface Caution {
  readonly when: CautionMoment;
  readonly sentence: string;
  /** The same in German. */
  readonly german: string;
}
