import { last } from '../numerics/nth.ts';
import { isDead } from './filter-bank.ts';
import { type FoundUtterance, type Hearing, utteranceOf } from './found-utterance.ts';
import type { Noise } from './noise.ts';
import { makeWeakBeginnings, type WeakBeginnings } from './weak-beginnings.ts';

export type OnsetEvent =
  /** A sound has begun; an utterance may follow. */
  | { readonly kind: 'onset'; readonly onsetFrame: number }
  | { readonly kind: 'utterance'; readonly utterance: FoundUtterance }
  /** What began was too short to be a word. */
  | { readonly kind: 'nothing' };

/** What is known after a step; the functions of this file carry it on. */
export interface OnsetState {
  readonly hearing: Hearing;
  readonly noise: Noise;
  readonly bands: number;
  weak: WeakBeginnings;
  step: number;
  /** Steps without an alarm that are not noise yet; while something sounds: its steps. */
  waiting: Float64Array[];
  /** The first moments are over: there is a noise to compare with. */
  opened: boolean;
  evidence: number;
  zeroStep: number;
  lastDeadStep: number;
  lastLiveStep: number;
  /** The noise is that of a closed gate. */
  closed: boolean;
  /** The step that is taken ran into the limits of the converter. */
  clipped: boolean;
  sounding: Sounding | null;
}

interface Sounding {
  readonly onset: number;
  lastActive: number;
  clipped: boolean;
  nextCheck: number;
  /** See `EndedSound`. */
  readonly gated: boolean;
  /** It rose out of digital silence, of which no noise is known. */
  readonly outOfSilence: boolean;
}

/** Learned from before anything is decided, s. */
const learnFirstS = 0.6;
/** Of these first moments a microphone that opens is dead for no more than so much; else a gate is closed. */
const openingShare = 1 / 3;
/** Evidence (natural log) that makes an alarm. */
const alarmAt = 24;
/** Silence that ends an utterance, s: longer than the closure in "eight" or the pause in "twenty | five". */
const hangS = 0.34;
const longestS = 8;
/** Digital silence so shortly before a sound means that the sound rose out of it, s. */
const outOfSilenceS = 0.1;
/** So long after digital silence the noise is not known well, s: what of it is remembered. */
const unknownS = 1.5;
/** Steps join the noise only after this long without an alarm, so that a beginning is not learned as noise. */
const quarantineS = 0.3;
/** After so long without voice, or without change, what sounds is a new noise of the room, s. */
const absorbS = 0.9;

export const beforeTheFirst = (hearing: Hearing, noise: Noise, bands: number): OnsetState => ({
  hearing,
  noise,
  bands,
  weak: makeWeakBeginnings(noise, bands, hearing.stepS),
  step: 0,
  waiting: [],
  opened: false,
  evidence: 0,
  zeroStep: 0,
  lastDeadStep: Number.NEGATIVE_INFINITY,
  lastLiveStep: 0,
  closed: false,
  clipped: false,
  sounding: null,
});

const stepsIn = (state: OnsetState, seconds: number): number => Math.round(seconds / state.hearing.stepS);

/** The next step of the stream: its log power by band. */
export function takeStep(state: OnsetState, logs: Float64Array, clipped: boolean): OnsetEvent[] {
  state.waiting.push(logs);
  state.clipped = clipped;
  if (state.opened) return decide(state, logs);
  return state.waiting.length >= stepsIn(state, learnFirstS) ? open(state) : [];
}

/** The stream is over: what is still sounding ends here. */
export function takeEnd(state: OnsetState): OnsetEvent[] {
  const events = !state.opened && state.waiting.length > 0 ? open(state) : [];
  return state.sounding ? [...events, end(state, state.sounding, state.sounding.lastActive + 1)] : events;
}

/**
 * The noise at the very start is the quieter part of the first moments: speech may already be there. A microphone
 * that opens gives nothing for some hundredths of a second: that is no part of the noise, and like lost sound it
 * passes for it.
 */
function open(state: OnsetState): OnsetEvent[] {
  const { waiting, noise, bands } = state;
  state.opened = true;
  const live = waiting.filter((logs) => !isDead(logs));
  const late = waiting.length - live.length <= openingShare * waiting.length;
  noise.guess(late ? live : waiting);
  const means = Float64Array.from({ length: bands }, (_, band) => noise.meanLog(band));
  return waiting.splice(0).flatMap((logs) => {
    const known = late && isDead(logs) ? means : logs;
    state.waiting.push(known);
    return decide(state, known);
  });
}

function decide(state: OnsetState, logs: Float64Array): OnsetEvent[] {
  const gain = state.noise.evidence(logs);
  state.weak.take(logs);
  const dead = isDead(logs);
  if (dead) state.lastDeadStep = state.step;
  else state.lastLiveStep = state.step;
  const events = state.sounding ? goOn(state, state.sounding, gain, dead) : watch(state, gain);
  state.step++;
  return events;
}

function watch(state: OnsetState, gain: number): OnsetEvent[] {
  const { step, waiting, noise } = state;
  if (state.evidence <= 0) state.zeroStep = step;
  state.evidence = Math.max(0, state.evidence + gain);
  if (state.evidence >= alarmAt) return [begin(state)];
  state.closed &&= state.lastDeadStep === step;
  const quarantineSteps = stepsIn(state, quarantineS);
  if (!state.closed && step - state.lastLiveStep >= quarantineSteps) {
    // A gate has closed: what it lets in next rises out of silence, not out of a mixture of silence and the room.
    state.closed = true;
    noise.replace(Array.from({ length: quarantineSteps }, () => last(waiting)));
  }
  const learnt = waiting.length > quarantineSteps ? waiting.shift() : undefined;
  if (learnt) noise.learn(learnt);
  return [];
}

function begin(state: OnsetState): OnsetEvent {
  const { step, waiting, noise, zeroStep, lastDeadStep, clipped } = state;
  const { stepS, hop } = state.hearing;
  // Where there was digital silence just now the noise is not known well enough for weak beginnings.
  const gated = (zeroStep - lastDeadStep) * stepS < unknownS;
  const onset = gated ? zeroStep : state.weak.before(zeroStep);
  const before = Math.max(0, waiting.length - (step - onset + 1));
  const outOfSilence = (onset - lastDeadStep) * stepS <= outOfSilenceS;
  const nextCheck = onset + stepsIn(state, absorbS);
  state.sounding = { onset, lastActive: step, clipped, nextCheck, gated, outOfSilence };
  // What lies before the onset is noise.
  for (const old of waiting.splice(0, before)) noise.learn(old);
  return { kind: 'onset', onsetFrame: onset * hop };
}

function goOn(state: OnsetState, sound: Sounding, gain: number, dead: boolean): OnsetEvent[] {
  const { step, noise } = state;
  const { judge, stepS } = state.hearing;
  state.evidence = Math.max(0, Math.min(alarmAt, state.evidence + gain));
  if (gain > 0.5 && state.evidence > alarmAt / 3) sound.lastActive = step;
  if (state.clipped) sound.clipped = true;
  if ((step - sound.lastActive) * stepS >= hangS || (step - sound.onset) * stepS >= longestS) {
    const ended = end(state, sound, sound.lastActive + 1);
    state.waiting = [];
    return [ended];
  }
  // Where nothing sounds any more there is no noise to be taken for the room's: the sound ends by itself.
  if (step < sound.nextCheck || dead) return [];
  sound.nextCheck = step + stepsIn(state, 0.1);
  const absorbSteps = stepsIn(state, absorbS);
  const from = step - absorbSteps + 1;
  const steady = judge.voicedShare(from, step + 1) < 0.08 || judge.movementDb(from, step + 1, noise.means()) < 0.8;
  if (!steady) return [];
  if (sound.outOfSilence) return lookAgain(state, sound);
  // Speech may have come before the noise: it ends with its last voice.
  const voice = judge.lastVoiced(sound.onset, from);
  const ended = end(state, sound, voice < 0 ? from : voice + 1);
  noise.replace(state.waiting.slice(-absorbSteps));
  state.waiting = [];
  return [ended];
}

/**
 * The noise of the room began at once, out of digital silence (a gated microphone, a padded file): it was the sound,
 * and a word in it would be taken for more of it. As at the very start of the stream the noise is the quieter part
 * of these moments, and what stands over it is looked for from their beginning.
 */
function lookAgain(state: OnsetState, sound: Sounding): OnsetEvent[] {
  const { waiting, noise, bands, hearing, step: now } = state;
  state.sounding = null;
  state.evidence = 0;
  state.step = now - waiting.length + 1;
  state.clipped = sound.clipped;
  state.lastDeadStep = Number.NEGATIVE_INFINITY;
  noise.guess(waiting.filter((logs) => !isDead(logs)));
  state.weak = makeWeakBeginnings(noise, bands, hearing.stepS, state.step);
  const events = waiting.splice(0).flatMap((logs) => {
    state.waiting.push(logs);
    return decide(state, logs);
  });
  state.step = now;
  return [{ kind: 'nothing' }, ...events];
}

function end(state: OnsetState, { onset, clipped, gated }: Sounding, endStep: number): OnsetEvent {
  state.sounding = null;
  state.evidence = 0;
  state.zeroStep = state.step + 1;
  const sound = { onset, end: endStep, clipped, gated, steps: state.waiting };
  const utterance = utteranceOf(sound, state.hearing);
  return utterance ? { kind: 'utterance', utterance } : { kind: 'nothing' };
}
