import { type StepPowers, stepS } from './step-powers.ts';

/** Where a word begins, and by how much that is uncertain. */
export interface Beginning {
  readonly step: number;
  /** Standard uncertainty, s. */
  readonly uS: number;
}

/** What sounds beside the caller: mean and spread of the log power of a step, band by band. */
export interface Background {
  readonly means: readonly number[];
  readonly spreads: readonly number[];
}

/** How far from where the ear puts it the beginning is looked for, s. */
const reachS = { before: 0.2, after: 0.1 };
/** The steps say less than their number: by so much the uncertainty is larger (`npm run bench -- room`). */
const tooSure = 1.4;
/** Beginnings vary by so much from voice to voice where nothing hides them, s (`npm run bench -- room`). */
const leastUS = 0.012;
/** Degrees of freedom of Student's distribution, by which the ear errs. */
const tails = 15;
/** The background never varies less from step to step: chance alone makes so much (natural log). */
const leastSpread = 0.6;
/** Steps follow each other too closely to count as evidence each for itself. */
const perStep = 0.3;
const mostPerStep = 1.5;
/** No number has so much silence within its first sounds, steps; a tone or a knock before it does. */
const gapSteps = 5;
const gapCost = 7;
/** First sounds may be so far under the loudest of the word, dB: above the first they all show, below the second few. */
const allShowDb = 36;
const fewShowDb = 14;
const mostHidden = 0.7;

/** Background from the steps between `from` and `to`; null where they are too few to tell. */
export function backgroundOf(powers: StepPowers, from: number, to: number): Background | null {
  const steps = to - Math.max(0, from);
  if (steps < 40) return null;
  const means: number[] = [];
  const spreads: number[] = [];
  for (let band = 0; band < powers.bands; band++) {
    let sum = 0;
    let square = 0;
    for (let step = Math.max(0, from); step < to; step++) {
      const log = powers.log(step, band);
      sum += log;
      square += log * log;
    }
    const mean = sum / steps;
    means.push(mean);
    spreads.push(Math.max(leastSpread, Math.sqrt(Math.max(0, square / steps - mean * mean))));
  }
  return { means, spreads };
}

/**
 * The first step of a word: the one from which on the sound is more than the background, near where the ear puts it.
 * Evidence is added up backwards from within the word (Page's test, as in onset.ts, with the background that there is)
 * and weighed with the distance from where the ear puts the beginning. Where the first sounds hide under other people's
 * talk, what the ear says stays, and the uncertainty grows.
 *
 * @param at where the ear puts it, in steps, and its standard uncertainty, s
 * @param notBefore the word before ends here
 */
export function beginningOf(
  powers: StepPowers,
  at: number,
  spreadS: number,
  notBefore: number,
  background: Background,
): Beginning {
  const from = Math.max(Math.round(at - reachS.before / stepS), notBefore, 0);
  const to = Math.min(Math.round(at + reachS.after / stepS), powers.steps());
  const within = Math.min(powers.steps(), to + Math.round(0.04 / stepS));
  const hidden = hiddenShare(powers, Math.round(at), within, background);
  let evidence = 0;
  let quiet = 0;
  const scores = new Array<number>(Math.max(0, to - from)).fill(0);
  for (let step = within - 1; step >= from; step--) {
    const gain = evidenceOf(powers, step, background, hidden);
    evidence += perStep * (1 - hidden) * gain;
    quiet = gain < 0 ? quiet + 1 : 0;
    if (quiet === gapSteps) evidence -= gapCost * (1 - hidden);
    const away = ((step - at) * stepS) / spreadS;
    if (step < to) scores[step - from] = evidence - ((tails + 1) / 2) * Math.log1p((away * away) / tails);
  }
  const top = Math.max(...scores);
  let total = 0;
  let mean = 0;
  let square = 0;
  for (const [index, score] of scores.entries()) {
    const p = Math.exp(score - top);
    total += p;
    mean += p * index;
    square += p * index * index;
  }
  if (!(total > 0)) return { step: Math.round(at), uS: spreadS };
  mean /= total;
  const variance = Math.max(0, square / total - mean * mean);
  return { step: from + Math.round(mean), uS: tooSure * Math.hypot(Math.sqrt(variance) * stepS, leastUS) };
}

/** Share of the first sounds of a word that its background hides, by how far the word stands over it. */
function hiddenShare(powers: StepPowers, from: number, to: number, { means, spreads }: Background): number {
  let most = 0;
  for (let step = from; step < to; step++)
    for (let band = 0; band < powers.bands; band++)
      most = Math.max(most, powers.log(step, band) - (means[band] ?? 0) - (spreads[band] ?? 0));
  const overDb = (10 / Math.LN10) * most;
  return mostHidden * Math.max(0.06, Math.min(1, (allShowDb - overDb) / (allShowDb - fewShowDb)));
}

/** Log likelihood ratio of "somebody began to speak" over "background alone" for one step, bounded. */
function evidenceOf(powers: StepPowers, step: number, { means, spreads }: Background, hidden: number): number {
  let sum = 0;
  for (let band = 0; band < powers.bands; band++) {
    const spread = spreads[band] ?? leastSpread;
    const z = Math.min(8, (powers.log(step, band) - (means[band] ?? 0)) / spread);
    // Spoken: anywhere between the background and 20 dB over it. Each band may be one that this sound leaves alone.
    const ratio =
      z < -1 ? 0 : ((spread * Math.sqrt(2 * Math.PI)) / (4.6 + 1.5 * spread)) * Math.exp((z * Math.abs(z)) / 2);
    sum += Math.log(0.5 + 0.5 * ratio);
  }
  return Math.min(mostPerStep, Math.log(hidden + (1 - hidden) * Math.exp(Math.min(20, sum))));
}
