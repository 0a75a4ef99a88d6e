import { isDead } from './filter-bank.ts';
import { gatedBeginning } from './gated-beginning.ts';
import type { SpeechJudge } from './speech-judge.ts';

/** A sound that may be a call: where it begins and ends in the stream. */
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

/** A sound that has ended, in steps of the stream. */
export interface EndedSound {
  /** First step of the sound. */
  readonly onset: number;
  /** First step after it. */
  readonly end: number;
  readonly clipped: boolean;
  /** There was digital silence just before: the noise is not known well, a gate may have opened before the voice. */
  readonly gated: boolean;
  /** Its steps from the onset on, log power by band. */
  readonly steps: readonly Float64Array[];
}

/** What a step of the stream is, and what judges its sound. */
export interface Hearing {
  /** Samples in a step. */
  readonly hop: number;
  readonly stepS: number;
  readonly widthsHz: readonly number[];
  readonly judge: SpeechJudge;
  /** Mean power of the noise, by band. */
  noiseMeans(): Float64Array;
}

/** Shorter sounds are clicks and drips, s; of a word in loud noise not more than a vowel may stand out. */
const shortestS = 0.075;
/** Noise known from a few moments hides as much as noise that is so much louder, dB. */
const littleKnownDb = 8;
/** So many dead steps on end are a closed gate. */
const closedSteps = 3;

/** The utterance that a sound was; null where it was too short for a word. */
export function utteranceOf(sound: EndedSound, hearing: Hearing): FoundUtterance | null {
  const { judge, stepS, hop } = hearing;
  if ((sound.end - sound.onset) * stepS < shortestS) return null;
  const { speech, overNoiseDb: overMeanDb } = judge.judge(sound.onset, sound.end, hearing.noiseMeans());
  const plain: Beginning = { onset: sound.onset, overNoiseDb: overMeanDb, uOnsetS: uncertaintyOf(overMeanDb) };
  const { onset, overNoiseDb, uOnsetS } = sound.gated ? sinceTheGate(sound, plain, hearing) : plain;
  const early = Math.round(latenessS(overNoiseDb) / stepS);
  return {
    onsetFrame: Math.max(0, onset - early) * hop,
    endFrame: sound.end * hop,
    uOnsetS,
    speech,
    overNoiseDb,
    clipped: sound.clipped,
  };
}

interface Beginning {
  readonly onset: number;
  readonly overNoiseDb: number;
  readonly uOnsetS: number;
}

/**
 * A gate may have opened before the voice began. Where that is plain the voice's own beginning counts. Where it may
 * be so the opening stays, and its uncertainty reaches over the gap: the beginning lies anywhere in it.
 */
function sinceTheGate(
  { onset: opening, end, steps }: EndedSound,
  kept: Beginning,
  { judge, stepS, widthsHz }: Hearing,
): Beginning {
  const closing = steps.findIndex((_, at) => at > 0 && steps.slice(at, at + closedSteps).every(isDead));
  const beginning = gatedBeginning(steps.slice(0, closing < 0 ? steps.length : closing), widthsHz, stepS);
  if (beginning === null || beginning.noiseFirst === 'no') return kept;
  const onset = opening + beginning.step;
  if (beginning.noiseFirst === 'yes' && (end - onset) * stepS >= shortestS) {
    const { overNoiseDb } = judge.judge(onset, end, beginning.noise);
    const weakS = (beginning.plainStep - beginning.step) * stepS;
    return {
      onset,
      overNoiseDb,
      uOnsetS: Math.hypot(uncertaintyOf(overNoiseDb - littleKnownDb), weakS / Math.sqrt(3)),
    };
  }
  let latest = onset;
  if (beginning.swelling) while (latest < end && judge.voicedShare(latest, latest + 1) === 0) latest++;
  return { ...kept, uOnsetS: Math.hypot(kept.uOnsetS, ((latest - opening) * stepS) / Math.sqrt(3)) };
}

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
