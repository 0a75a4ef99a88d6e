import { nth, real } from '../numerics/nth.ts';
import { makeNoise, type Noise } from './noise.ts';
import { makeWeakBeginnings } from './weak-beginnings.ts';

/**
 * Where a voice begins in a sound that rose out of digital silence. A gated microphone lets the room in some tenths of
 * a second before the word: the sound begins with the gate, the call does not. The first moments are taken for the
 * noise of the room and what stands over them is looked for, as at any onset. Whether they were noise or the weak
 * first sound of the word itself ("f", "th") shows in two ways: noise is steady, and it goes on under the word, so
 * that no band ever falls below it, while the closures and the end of a word without noise are far quieter than its
 * first sound.
 */
export interface GatedBeginning {
  /** The step at which something rises over the first moments. */
  readonly step: number;
  /** The step at which it does so plainly: `step` may owe to a weak beginning, seen in noise that is little known. */
  readonly plainStep: number;
  readonly noiseFirst: 'yes' | 'perhaps' | 'no';
  /** What rises there is all of the noise alike (an automatic gain): the voice begins later. */
  readonly swelling: boolean;
  /** Mean power of the first moments, per band. */
  readonly noise: Float64Array;
}

/** The first steps hold the opening of the gate. */
const opening = 2;
/** The last steps hold its closing, and what rings on in the bands. */
const closing = 4;
/** Noise is known from at least so many steps. */
const fewest = 8;
/** The last steps before a beginning may hold some of it. */
const spared = 2;
/** Steps join the noise after so many more, so that a beginning is not learned. */
const quarantine = 12;
/** Evidence (natural log) that makes an alarm. */
const alarmAt = 24;
/** The quietest moments are means over so many steps. */
const quietSteps = 6;
/** So many standard deviations of the noise below it lie the quietest of some hundred moments of noise, at most. */
const noiseReach = 3.5;
/** Noise spreads from step to step by so much more than chance wants, at most. */
const steadyWithin = 1.4;
/** A band so far below the first moments, before a gate may begin to close softly, was no noise: log power, s. */
const farBelow = -2.3;
const softCloseS = 0.1;
/** What rises is looked at so many steps later: a voice is there by then. */
const risenAfter = 6;
const risenBefore = 18;
/** An automatic gain raises the noise by no more than this within some 50 ms (natural log of the power). */
const mostSwelling = 3.2;
/** The weak first sound of a word is no longer, s. */
const firstSoundS = 0.22;

/**
 * @param steps log power per band of the steps from the opening to the closing of the gate
 * @param widthsHz width of each band
 * @returns null where nothing rises over the first moments: they are the word
 * Cost: some hundred likelihoods a step, once a sound.
 */
export function gatedBeginning(
  steps: readonly Float64Array[],
  widthsHz: readonly number[],
  stepS: number,
): GatedBeginning | null {
  const bands = widthsHz.length;
  const noise = makeNoise(bands, stepS);
  let known = opening + fewest;
  let found = known;
  let plainStep = known;
  // Each time the noise is known from all that came before the last finding.
  for (let pass = 0; pass < 3; pass++) {
    const first = steps.slice(opening, known);
    if (first.length < fewest) return null;
    noise.guess(first);
    noise.replace(first);
    const rise = riseOver(noise, steps, known, bands, stepS);
    if (rise === null) return null;
    found = rise.step;
    plainStep = rise.plainStep;
    if (found - spared <= known) break;
    known = found - spared;
  }
  const first = steps.slice(opening, Math.max(opening + fewest, found - spared));
  const later = steps.slice(found, -closing);
  const beforeClosing = steps.slice(found, -Math.round(softCloseS / stepS));
  const risen = steps.slice(Math.min(found + risenAfter, steps.length - 1), found + risenBefore);
  let steady = true;
  let below = false;
  let farBelowBefore = false;
  let belowBefore = false;
  let heardAgain = true;
  let leastRise = Number.POSITIVE_INFINITY;
  let mostRise = Number.NEGATIVE_INFINITY;
  for (const [band, widthHz] of widthsHz.entries()) {
    const mean = meanOf(first, band);
    const spread = Math.sqrt(first.reduce((sum, logs) => sum + (real(logs, band) - mean) ** 2, 0) / first.length);
    // The power of noise in a step follows a gamma distribution of this shape; the spread of its log as in noise.ts.
    const shape = widthHz * stepS;
    const chance = Math.sqrt(1 / shape + 1 / (2 * shape * shape));
    const reach = noiseReach * chance * Math.sqrt(1 / quietSteps + 1 / first.length);
    const before = quietest(beforeClosing, band);
    if (spread > steadyWithin * chance) steady = false;
    if (quietest(later, band) < mean - reach) below = true;
    if (before < mean - reach) belowBefore = true;
    if (before < mean + farBelow - reach) farBelowBefore = true;
    if (before > mean + reach) heardAgain = false;
    leastRise = Math.min(leastRise, meanOf(risen, band) - mean);
    mostRise = Math.max(mostRise, meanOf(risen, band) - mean);
  }
  const swelling = leastRise > mostRise / 2 && mostRise < mostSwelling;
  // What is longer than any first sound was noise, steady or not.
  const noFirstSound = found * stepS > firstSoundS;
  const plain = steady && !swelling && !belowBefore && (!below || heardAgain || noFirstSound);
  const noiseFirst = plain ? 'yes' : farBelowBefore && !noFirstSound && !swelling ? 'no' : 'perhaps';
  return { step: found, plainStep, noiseFirst, swelling, noise: noise.means() };
}

function meanOf(steps: readonly Float64Array[], band: number): number {
  return steps.reduce((sum, logs) => sum + real(logs, band), 0) / steps.length;
}

/** The step from which on the sound stands over the noise, which is learned on. */
function riseOver(
  noise: Noise,
  steps: readonly Float64Array[],
  known: number,
  bands: number,
  stepS: number,
): { step: number; plainStep: number } | null {
  const weak = makeWeakBeginnings(noise, bands, stepS);
  let evidence = 0;
  let zero = 0;
  for (const [step, logs] of steps.entries()) {
    const gain = noise.evidence(logs);
    weak.take(logs);
    if (step < opening) continue;
    if (evidence <= 0) zero = step;
    evidence = Math.max(0, evidence + gain);
    if (evidence >= alarmAt) return { step: weak.before(zero), plainStep: zero };
    if (step - quarantine >= known) noise.learn(nth(steps, step - quarantine));
  }
  return null;
}

/** The least mean log power of a band over `quietSteps`. */
function quietest(steps: readonly Float64Array[], band: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let at = 0; at + quietSteps <= steps.length; at++) {
    let sum = 0;
    for (let step = at; step < at + quietSteps; step++) sum += real(nth(steps, step), band);
    least = Math.min(least, sum / quietSteps);
  }
  return least;
}
