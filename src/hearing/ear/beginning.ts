import { vowelSound } from './first-sounds.ts';
import { type StepPowers, stepS } from './step-powers.ts';

/** Where a word begins, and by how much that is uncertain. */
export interface Beginning {
  readonly step: number;
  /** Standard uncertainty, s. */
  readonly uS: number;
}

/** What sounds beside the caller: median and upward spread of the log power of a step, band by band. */
export interface Background {
  readonly means: readonly number[];
  readonly spreads: readonly number[];
  /** Share of the time in which something stands out of it: the words of others, knocks, drips. */
  readonly bursts: number;
}

/** How far from where the ear puts it the beginning is looked for, s. */
const reachS = { before: 0.2, after: 0.1 };
/** The steps say less than their number: by so much the uncertainty is larger (`npm run bench -- room`). */
const tooSure = 1.2;
/** Beginnings vary by so much from voice to voice where nothing hides them, s (`npm run bench -- room`). */
const leastUS = 0.012;
/** Degrees of freedom of Student's distribution, by which the ear errs. */
const tails = 15;
/** One standard deviation over the median; what sounds more seldom (an "er", a knock) is no background. */
const upperShare = 0.84;
/** Fewer steps do not say what the background is. */
const fewestSteps = 10;
/** The background never varies less from step to step: chance alone makes so much (natural log). */
const leastSpread = 0.6;
/** Lost sound is quieter than any background: as if it were so many spreads below it, lest it pass for a word. */
const quietest = 3;
/** Steps follow each other too closely to count as evidence each for itself. */
const perStep = 0.3;
const mostPerStep = 1.5;
const mostAgainst = 0.4;
/** No number has so much silence within its first sounds, steps; a tone or a knock before it does. */
const gapSteps = 5;
/** Silence is a step in which the word would be heard, and is not; not one in which it may hide. */
const plainlyAgainst = 0.25;
const gapCost = 3;
/**
 * Something else sounds right before a word now and then: an "er", a tone (natural log, common practice). Where others
 * talk it does so in a known share of the time, of which no more than half is believed. Less than a quarter of the time
 * is a tone, the tool's own cue, or drips, and says nothing of what sounds before the word (reasoned).
 */
const otherSoundCost = { most: 5, least: Math.LN2 };
const othersTalkFrom = 0.25;
/** A step stands out of the background whose bands are so much louder, natural log of power: some 5 dB. */
const standsOut = 1.2;
/** It fits the levels that are expected of the word's own first sound less well: share of the evidence. */
const otherFits = 0.8;
/** First sounds vary by so much from voice to voice and room to room, dB. */
const firstVariesDb = 8;
/** A band may be one that this voice, this microphone or this telephone leaves alone. */
const leftAlone = 0.4;
/** A step from the beginning on may be the vowel's already, with this weight. */
const vowelShare = 0.2;
/** The loudest of a word lies so soon after where the ear puts its beginning, s. */
const peakWithinS = 0.35;

/** Background from some steps; null where they are too few to tell. */
export function backgroundOf(powers: StepPowers, steps: readonly number[]): Background | null {
  if (steps.length < fewestSteps) return null;
  const means: number[] = [];
  const spreads: number[] = [];
  for (let band = 0; band < powers.bands; band++) {
    const logs = Float64Array.from(steps, (step) => powers.log(step, band)).sort();
    const middle = logs[logs.length >> 1] ?? 0;
    means.push(middle);
    spreads.push(Math.max(leastSpread, (logs[Math.floor(upperShare * logs.length)] ?? 0) - middle));
  }
  const bursts = steps.filter((step) => overBackground(powers, step, means) > standsOut).length / steps.length;
  return { means, spreads, bursts };
}

function overBackground(powers: StepPowers, step: number, means: readonly number[]): number {
  let sum = 0;
  for (const [band, mean] of means.entries()) sum += powers.log(step, band) - mean;
  return sum / means.length;
}

/**
 * The first step of a word: the one from which on the sound is more than the background, near where the ear puts it.
 * Evidence is added up backwards from within the word (Page's test, as in onset.ts, with the background that there is)
 * and weighed with the distance from where the ear puts the beginning. A first sound that is expected to hide under
 * other people's talk says nothing by its absence: there what the ear says stays, and the uncertainty grows.
 *
 * @param at where the ear puts it, in steps, and its standard uncertainty, s
 * @param notBefore the word before ends here
 * @param first how loud its first sound is expected to be, from `firstSound`
 */
export function beginningOf(
  powers: StepPowers,
  at: number,
  spreadS: number,
  notBefore: number,
  background: Background,
  first: readonly number[],
): Beginning {
  const from = Math.max(Math.round(at - reachS.before / stepS), notBefore, 0);
  const to = Math.min(Math.round(at + reachS.after / stepS), powers.steps());
  const within = Math.min(powers.steps(), to + Math.round(0.04 / stepS));
  const peak = loudest(powers, Math.round(at), Math.round(at + peakWithinS / stepS));
  const gains = Array.from(
    { length: Math.max(0, within - from) },
    (_, k) => perStep * evidenceOf(powers, from + k, background, first, peak),
  );
  const before = otherwise(gains, background.bursts);
  let word = 0;
  let quiet = 0;
  const scores = new Array<number>(Math.max(0, to - from)).fill(0);
  for (let index = gains.length - 1; index >= 0; index--) {
    const gain = gains[index] ?? 0;
    word += gain;
    quiet = gain < -perStep * plainlyAgainst ? quiet + 1 : 0;
    if (quiet === gapSteps) word -= gapCost;
    const away = ((from + index - at) * stepS) / spreadS;
    if (index < scores.length)
      scores[index] = (before[index] ?? 0) + word - ((tails + 1) / 2) * Math.log1p((away * away) / tails);
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

/**
 * How well the steps before each one are explained without the word: by the background alone, or by some other sound that
 * begins and ends among them. So a sound before the word draws its beginning no farther than what it costs that
 * another sound was there.
 */
function otherwise(gains: readonly number[], bursts: number): number[] {
  const cost = bursts < othersTalkFrom ? otherSoundCost.most : Math.max(otherSoundCost.least, -Math.log(bursts));
  let alone = 0;
  let other = -cost;
  return gains.map((gain) => {
    const best = Math.max(alone, other);
    other = Math.max(other, alone - cost) + Math.min(gain, otherFits * gain);
    alone = best;
    return best;
  });
}

/** Natural log of the power of the loudest 20 ms. */
function loudest(powers: StepPowers, from: number, to: number): number {
  let most = 0;
  for (let step = from; step + 5 <= to; step++) most = Math.max(most, powers.meanPower(step, step + 5));
  return Math.log(most + 1e-12);
}

/** Log likelihood ratio of "the word has begun" over "background alone" for one step, bounded. */
function evidenceOf(
  powers: StepPowers,
  step: number,
  background: Background,
  first: readonly number[],
  peak: number,
): number {
  const begun = spoken(powers, step, background, first, peak);
  const vowel = spoken(powers, step, background, vowelSound, peak);
  const ratio = Math.exp(begun) + vowelShare * Math.exp(vowel);
  return Math.max(-mostAgainst, Math.min(mostPerStep, Math.log(ratio)));
}

/**
 * The same for a sound of an expected level in each band, natural log. The power of a band is that of the louder of
 * background and sound, each normal in its log, so the ratio is F + f G / g: density f and distribution F of the sound,
 * g and G of the background.
 */
function spoken(
  powers: StepPowers,
  step: number,
  { means, spreads }: Background,
  belowPeakDb: readonly number[],
  peak: number,
): number {
  const varies = firstVariesDb * nepers;
  let sum = 0;
  for (let band = 0; band < powers.bands; band++) {
    const spread = spreads[band] ?? leastSpread;
    const log = powers.log(step, band);
    const noise = Math.max(-quietest, Math.min(8, (log - (means[band] ?? 0)) / spread));
    const sound = (log - peak - (belowPeakDb[band] ?? 0) * nepers) / varies;
    const ratio = below(sound) + (density(sound) / varies) * below(noise) * (spread / density(noise));
    sum += Math.log(leftAlone + (1 - leftAlone) * ratio);
  }
  return Math.min(20, sum);
}

/** Natural log of a power ratio in dB. */
const nepers = Math.LN10 / 10;
const density = (z: number): number => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
/** The normal distribution, by the logistic one: within 0.01. */
const below = (z: number): number => 1 / (1 + Math.exp(-1.702 * z));
