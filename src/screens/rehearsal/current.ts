import { createSignal } from 'solid-js';
import type { Rehearsal } from '../../rehearsal/rehearsal.ts';

/** A rehearsal that is going on in this page. It lives as long as the page: it is practice, not data. */
export interface Practice extends Rehearsal {
  /** The notebook that was open before, to which its result may be carried. */
  readonly cameFrom: string | null;
}

/** One for the page: a rehearsal speaks and records, and two would talk over each other. */
const [practice, setPractice] = createSignal<Practice | null>(null);

export const currentPractice = practice;

export const beginPractice = (next: Practice): void => {
  setPractice(next);
};

export const endPractice = (): void => {
  setPractice(null);
};
