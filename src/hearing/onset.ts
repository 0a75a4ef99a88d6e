import { last, real } from '../numerics/nth.ts';
import { makeFilterBank } from './filter-bank.ts';
import { gatedBeginning } from './gated-beginning.ts';
import { makeNoise } from './noise.ts';
import { makeSpeechJudge } from './speech-judge.ts';
import { makeWeakBeginnings } from './weak-beginnings.ts';

/**
 * Finds utterances in a stream of sound: where each begins, where it ends. Pure code over samples; the audio worklet,
 * `hear` and the tests run the very same.
 *
 * Each step of 4 ms and each band gives the likelihood that sound stands over the noise there: the power of noise in a
 * step follows a gamma distribution, whose mean and shape are tracked per band. Their sum over the bands goes into
 * Page's cumulative test (E. S. Page, Biometrika 41 (1954) 100): it alarms when the evidence passes a threshold, and
 * the moment at which the evidence began to grow is the estimate of the onset. So detection and the way back to the
 * true edge are one computation.
 */
export interface FoundUtterance {
  /** First sample of sound, counted from the start of the stream. */
  readonly onsetFrame: number;
  /** First sample after the sound. */
  readonly endFrame: number;
  /** Standard uncertainty of the onset, s: grows as the sound stands less over the noise. */
  readonly uOnsetS: number;
  /** 0..1: how much it sounds like a person: voiced, and moving (see speech-judge.ts). */
  readonly speech: number;
  /** Level of the sound over the noise, dB. */
  readonly overNoiseDb: number;
  /** true when the sound ran into the limits of the converter. */
  readonly clipped: boolean;
}

export type OnsetEvent =
  /** A sound has begun; an utterance may follow. */
  | { readonly kind: 'onset'; readonly onsetFrame: number }
  | { readonly kind: 'utterance'; readonly utterance: FoundUtterance }
  /** What began was too short to be a word. */
  | { readonly kind: 'nothing' };

export interface OnsetFinder {
  /**
   * Takes the next samples. `frame` is the number of the first one; where it lies beyond the last one taken, the
   * samples between were lost and are taken as noise. Any length.
   */
  push(samples: Float32Array, frame?: number): OnsetEvent[];
  /** The stream is over: what is still sounding ends here. */
  finish(): OnsetEvent[];
  /** Mean level of the noise, dB of full scale; null before any is known. */
  noiseDb(): number | null;
}

/** Sounds with less are no speech, unless a recogniser heard words in them. */
export const likelySpeech = 0.5;

const hopS = 0.004;
/** Learned from before anything is decided, s. */
const learnFirstS = 0.6;
/** Of these first moments a microphone that opens is dead for no more than so much; else a gate is closed. */
const openingShare = 1 / 3;
/** Evidence (natural log) that makes an alarm. */
const alarmAt = 24;
/** Silence that ends an utterance, s: longer than the closure in "eight" or the pause in "twenty | five". */
const hangS = 0.34;
/** Shorter sounds are clicks and drips, s; of a word in loud noise not more than a vowel may stand out. */
const shortestS = 0.075;
const longestS = 8;
/** Power added to each band so that digital silence is not infinitely quiet: -86 dB of full scale. */
const dither = 10 ** -8.6;
/** A band with less over the dither holds nothing: no room and no converter is so quiet (natural log). */
const deadBelow = Math.log(dither) + 0.1;
/** Digital silence so shortly before a sound means that the sound rose out of it, s. */
const outOfSilenceS = 0.1;
/** So long after digital silence the noise is not known well, s: what of it is remembered. */
const unknownS = 1.5;
/** Noise known from a few moments hides as much as noise that is so much louder, dB. */
const littleKnownDb = 8;
/** So many dead steps on end are a closed gate. */
const closedSteps = 3;
/** Steps join the noise only after this long without an alarm, so that a beginning is not learned as noise. */
const quarantineS = 0.3;
/** After so long without voice, or without change, what sounds is a new noise of the room, s. */
const absorbS = 0.9;

export function makeOnsetFinder(sampleRate: number): OnsetFinder {
  const bank = makeFilterBank(sampleRate, hopS);
  const { bands, hop } = bank;
  const stepS = hop / sampleRate;
  const judge = makeSpeechJudge(sampleRate, bands, stepS);
  const noise = makeNoise(bands, stepS);
  let weak = makeWeakBeginnings(noise, bands, stepS);
  const learnSteps = Math.round(learnFirstS / stepS);
  const absorbSteps = Math.round(absorbS / stepS);
  const quarantineSteps = Math.round(quarantineS / stepS);

  let nextFrame = 0;
  let step = 0;
  /** Steps without an alarm that are not noise yet; while something sounds: its steps. */
  let waiting: Float64Array[] = [];
  let opened = false;

  let evidence = 0;
  let zeroStep = 0;
  let lastDeadStep = Number.NEGATIVE_INFINITY;
  let lastLiveStep = 0;
  /** The noise is that of a closed gate. */
  let closed = false;
  let sounding: {
    readonly onset: number;
    lastActive: number;
    clipped: boolean;
    nextCheck: number;
    /** There was digital silence just now: the noise is not known well, a gate may have opened before the voice. */
    readonly gated: boolean;
    /** It rose out of digital silence, of which no noise is known. */
    readonly outOfSilence: boolean;
  } | null = null;
  let clippedStep = false;
  let lostStep = false;

  const takeStep = (logs: Float64Array, events: OnsetEvent[]): void => {
    waiting.push(logs);
    if (opened) decide(logs, events);
    else if (waiting.length >= learnSteps) open(events);
  };

  /**
   * The noise at the very start is the quieter part of the first moments: speech may already be there. A microphone
   * that opens gives nothing for some hundredths of a second: that is no part of the noise, and like lost sound it
   * passes for it.
   */
  const open = (events: OnsetEvent[]): void => {
    opened = true;
    const live = waiting.filter((logs) => !isDead(logs));
    const late = waiting.length - live.length <= openingShare * waiting.length;
    noise.guess(late ? live : waiting);
    const means = Float64Array.from({ length: bands }, (_, band) => noise.meanLog(band));
    for (const logs of waiting.splice(0)) {
      const known = late && isDead(logs) ? means : logs;
      waiting.push(known);
      decide(known, events);
    }
  };

  const decide = (logs: Float64Array, events: OnsetEvent[]): void => {
    const gain = noise.evidence(logs);
    weak.take(logs);
    const dead = isDead(logs);
    if (dead) lastDeadStep = step;
    else lastLiveStep = step;
    if (sounding) goOn(sounding, gain, dead, events);
    else watch(gain, events);
    step++;
  };

  const watch = (gain: number, events: OnsetEvent[]): void => {
    if (evidence <= 0) zeroStep = step;
    evidence = Math.max(0, evidence + gain);
    if (evidence >= alarmAt) {
      // Where there was digital silence just now the noise is not known well enough for weak beginnings.
      const gated = (zeroStep - lastDeadStep) * stepS < unknownS;
      const onset = gated ? zeroStep : weak.before(zeroStep);
      const before = Math.max(0, waiting.length - (step - onset + 1));
      const outOfSilence = (onset - lastDeadStep) * stepS <= outOfSilenceS;
      sounding = { onset, lastActive: step, clipped: clippedStep, nextCheck: onset + absorbSteps, gated, outOfSilence };
      // What lies before the onset is noise.
      for (const old of waiting.splice(0, before)) noise.learn(old);
      events.push({ kind: 'onset', onsetFrame: onset * hop });
      return;
    }
    closed &&= lastDeadStep === step;
    if (!closed && step - lastLiveStep >= quarantineSteps) {
      // A gate has closed: what it lets in next rises out of silence, not out of a mixture of silence and the room.
      closed = true;
      noise.replace(Array.from({ length: quarantineSteps }, () => last(waiting)));
    }
    const learnt = waiting.length > quarantineSteps ? waiting.shift() : undefined;
    if (learnt) noise.learn(learnt);
  };

  const goOn = (sound: NonNullable<typeof sounding>, gain: number, dead: boolean, events: OnsetEvent[]): void => {
    evidence = Math.max(0, Math.min(alarmAt, evidence + gain));
    if (gain > 0.5 && evidence > alarmAt / 3) sound.lastActive = step;
    if (clippedStep) sound.clipped = true;
    if ((step - sound.lastActive) * stepS >= hangS || (step - sound.onset) * stepS >= longestS) {
      end(sound, sound.lastActive + 1, events);
      waiting = [];
      return;
    }
    // Where nothing sounds any more there is no noise to be taken for the room's: the sound ends by itself.
    if (step < sound.nextCheck || dead) return;
    sound.nextCheck = step + Math.round(0.1 / stepS);
    const from = step - absorbSteps + 1;
    const steady = judge.voicedShare(from, step + 1) < 0.08 || judge.movementDb(from, step + 1, noise.means()) < 0.8;
    if (!steady) return;
    if (sound.outOfSilence) {
      lookAgain(sound, events);
      return;
    }
    // Speech may have come before the noise: it ends with its last voice.
    const voice = judge.lastVoiced(sound.onset, from);
    end(sound, voice < 0 ? from : voice + 1, events);
    noise.replace(waiting.slice(-absorbSteps));
    waiting = [];
  };

  /**
   * The noise of the room began at once, out of digital silence (a gated microphone, a padded file): it was the sound,
   * and a word in it would be taken for more of it. As at the very start of the stream the noise is the quieter part
   * of these moments, and what stands over it is looked for from their beginning.
   */
  const lookAgain = (sound: NonNullable<typeof sounding>, events: OnsetEvent[]): void => {
    const now = step;
    events.push({ kind: 'nothing' });
    sounding = null;
    evidence = 0;
    step = now - waiting.length + 1;
    clippedStep = sound.clipped;
    lastDeadStep = Number.NEGATIVE_INFINITY;
    noise.guess(waiting.filter((logs) => !isDead(logs)));
    weak = makeWeakBeginnings(noise, bands, stepS, step);
    for (const logs of waiting.splice(0)) {
      waiting.push(logs);
      decide(logs, events);
    }
    step = now;
  };

  const end = (sound: NonNullable<typeof sounding>, endStep: number, events: OnsetEvent[]): void => {
    sounding = null;
    evidence = 0;
    zeroStep = step + 1;
    if ((endStep - sound.onset) * stepS < shortestS) {
      events.push({ kind: 'nothing' });
      return;
    }
    const verdict = judge.judge(sound.onset, endStep, noise.means());
    const { onset, overNoiseDb, uOnsetS } = sound.gated
      ? sinceTheGate(sound.onset, endStep, verdict.overNoiseDb)
      : { onset: sound.onset, overNoiseDb: verdict.overNoiseDb, uOnsetS: uncertaintyOf(verdict.overNoiseDb) };
    const early = Math.round(latenessS(overNoiseDb) / stepS);
    events.push({
      kind: 'utterance',
      utterance: {
        onsetFrame: Math.max(0, onset - early) * hop,
        endFrame: endStep * hop,
        uOnsetS,
        speech: verdict.speech,
        overNoiseDb,
        clipped: sound.clipped,
      },
    });
  };

  /**
   * A gate may have opened before the voice began. Where that is plain the voice's own beginning counts. Where it may
   * be so the opening stays, and its uncertainty reaches over the gap: the beginning lies anywhere in it.
   */
  const sinceTheGate = (
    opening: number,
    endStep: number,
    overSilenceDb: number,
  ): { onset: number; overNoiseDb: number; uOnsetS: number } => {
    const closing = waiting.findIndex((_, at) => at > 0 && waiting.slice(at, at + closedSteps).every(isDead));
    const kept = { onset: opening, overNoiseDb: overSilenceDb, uOnsetS: uncertaintyOf(overSilenceDb) };
    const beginning = gatedBeginning(waiting.slice(0, closing < 0 ? waiting.length : closing), bank.widthsHz, stepS);
    if (beginning === null || beginning.noiseFirst === 'no') return kept;
    const onset = opening + beginning.step;
    if (beginning.noiseFirst === 'yes' && (endStep - onset) * stepS >= shortestS) {
      const { overNoiseDb } = judge.judge(onset, endStep, beginning.noise);
      const weakS = (beginning.plainStep - beginning.step) * stepS;
      return {
        onset,
        overNoiseDb,
        uOnsetS: Math.hypot(uncertaintyOf(overNoiseDb - littleKnownDb), weakS / Math.sqrt(3)),
      };
    }
    let latest = onset;
    if (beginning.swelling) while (latest < endStep && judge.voicedShare(latest, latest + 1) === 0) latest++;
    return { ...kept, uOnsetS: Math.hypot(kept.uOnsetS, ((latest - opening) * stepS) / Math.sqrt(3)) };
  };

  const takeSample = (sample: number, events: OnsetEvent[]): void => {
    if (Math.abs(sample) >= 0.999) clippedStep = true;
    judge.push(sample);
    if (!bank.push(sample)) return;
    const logs = new Float64Array(bands);
    for (let band = 0; band < bands; band++)
      logs[band] = lostStep && opened ? noise.meanLog(band) : Math.log(real(bank.powers, band) + dither);
    judge.step(logs);
    takeStep(logs, events);
    clippedStep = false;
    lostStep = false;
  };

  return {
    push(samples, frame = nextFrame) {
      const events: OnsetEvent[] = [];
      // Lost sound: its place is kept; its steps pass for noise.
      const lost = Math.min(frame - nextFrame, sampleRate * 60);
      for (let missing = 0; missing < lost; missing++) {
        lostStep = true;
        takeSample(0, events);
      }
      for (const sample of samples.subarray(Math.max(0, nextFrame - frame))) takeSample(sample, events);
      nextFrame = Math.max(nextFrame, frame + samples.length);
      return events;
    },
    finish() {
      const events: OnsetEvent[] = [];
      if (!opened && waiting.length > 0) open(events);
      if (sounding) end(sounding, sounding.lastActive + 1, events);
      return events;
    },
    noiseDb: () => (opened ? 10 * Math.log10(noise.means().reduce((sum, power) => sum + power, 0)) : null),
  };
}

const isDead = (logs: Float64Array): boolean => logs.every((log) => log < deadBelow);

/**
 * In noise the first sound of a word is heard late by so much, in the median of the benchmark of onsets (28 and 20 ms
 * for sounds 12 and 20 dB over the noise): most of it is taken off.
 */
function latenessS(overNoiseDb: number): number {
  if (overNoiseDb >= 28) return 0;
  if (overNoiseDb >= 22) return 0.004;
  return 0.018;
}

/** From the same benchmark, what is left: about half the 95th percentile of the error. */
function uncertaintyOf(overNoiseDb: number): number {
  if (overNoiseDb >= 28) return 0.008;
  if (overNoiseDb >= 22) return 0.016;
  if (overNoiseDb >= 12) return 0.035;
  return 0.055;
}
