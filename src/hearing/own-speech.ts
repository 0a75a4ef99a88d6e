import type { HeardCall, OwnSpeech } from './pairing.ts';

/**
 * What the tool itself says and sounds: which calls may be its own voice or tone, and whether its voice reaches the
 * microphone at all. Pure: each function gives the next state; time comes in as arguments (page time, ms).
 */
export interface OwnVoice {
  /** Latest last. */
  readonly speeches: readonly Speech[];
  readonly begun: number;
  /** Speeches in a row that no microphone picked up. */
  readonly unheard: number;
  readonly toneFromMs: number;
  readonly toneUntilMs: number;
}

interface Speech {
  readonly id: number;
  readonly spoken: string;
  readonly fromMs: number;
  readonly toMs: number | null;
  /** A sound began while it went on. */
  readonly heard: boolean;
}

/** The room still rings with the tool's voice, ms. */
export const tailMs = 400;
/** Words of the tool's own voice may come so long after it fell silent, ms. */
const ownWordsMs = 3000;
/** After so many speeches in a row that no microphone picked up (headphones, echo cancelled), a sound is the person's. */
const unheardSpeeches = 2;
/** Shorter speeches tell nothing of that, ms. */
const shortSpeechMs = 500;
const speechesKept = 8;

export const silentVoice: OwnVoice = {
  speeches: [],
  begun: 0,
  unheard: 0,
  toneFromMs: Number.NEGATIVE_INFINITY,
  toneUntilMs: Number.NEGATIVE_INFINITY,
};

/** The tool begins to speak; the speech has the number `begun` of the state before. */
export function beginSpeech(voice: OwnVoice, spoken: string, nowMs: number): OwnVoice {
  const speech = { id: voice.begun, spoken, fromMs: nowMs, toMs: null, heard: false };
  return { ...voice, speeches: [...voice.speeches, speech], begun: voice.begun + 1 };
}

/** @param hearsSound the microphone was open: that it picked up nothing tells something */
export function endSpeech(voice: OwnVoice, id: number, nowMs: number, hearsSound: boolean): OwnVoice {
  const ended = voice.speeches.find((speech) => speech.id === id);
  if (!ended) return voice;
  const tells = hearsSound && nowMs - ended.fromMs >= shortSpeechMs;
  const unheard = ended.heard ? 0 : voice.unheard + (tells ? 1 : 0);
  const speeches = voice.speeches.map((speech) => (speech === ended ? { ...speech, toMs: nowMs } : speech));
  return { ...voice, unheard, speeches: speeches.slice(-speechesKept) };
}

/**
 * Somebody began to sound while it speaks.
 * @returns the speeches to cut short: the person speaks, where its voice is known not to reach the microphone
 */
export function soundOverSpeech(voice: OwnVoice): { readonly voice: OwnVoice; readonly cutShort: readonly number[] } {
  const speeches = voice.speeches.map((speech) => (speech.toMs === null ? { ...speech, heard: true } : speech));
  const cutShort = voice.unheard >= unheardSpeeches ? speeches.filter(({ toMs }) => toMs === null) : [];
  return { voice: { ...voice, speeches }, cutShort: cutShort.map(({ id }) => id) };
}

export const isSpeaking = ({ speeches }: OwnVoice): boolean => speeches.some(({ toMs }) => toMs === null);

const lastMs = ({ speeches }: OwnVoice): number =>
  Math.max(Number.NEGATIVE_INFINITY, ...speeches.map(({ toMs }) => toMs ?? Number.POSITIVE_INFINITY));

/** It speaks, or the room still rings with its voice. */
export const isSounding = (voice: OwnVoice, nowMs: number): boolean => nowMs < lastMs(voice) + tailMs;

/** Of a stretch of sound: some of it may be its own voice. */
export const isOverSpeech = ({ speeches }: OwnVoice, fromMs: number, toMs: number): boolean =>
  speeches.some((speech) => speech.fromMs < toMs && (speech.toMs ?? Number.POSITIVE_INFINITY) + tailMs > fromMs);

/** What of a call may be its own voice; null: nothing. */
export function ownSpeechDuring(voice: OwnVoice, call: HeardCall, nowMs: number): OwnSpeech | null {
  const { speeches, unheard } = voice;
  const endMs = call.endMs ?? call.onsetMs;
  const said = speeches
    .filter(({ fromMs, toMs }) => endMs >= fromMs && call.onsetMs - (toMs ?? nowMs) <= ownWordsMs)
    .map(({ spoken, toMs }) => ({ spoken, sinceMs: call.onsetMs - (toMs ?? Math.max(nowMs, call.onsetMs + 1)) }));
  if (said.length === 0) return null;
  const within =
    unheard < unheardSpeeches &&
    speeches.some(({ fromMs }) => call.onsetMs >= fromMs) &&
    call.onsetMs < lastMs(voice) + tailMs &&
    endMs < lastMs(voice) + tailMs + 300;
  return { said, within };
}

/** A tone sounds from now for so long, ms. */
export const withTone = (voice: OwnVoice, nowMs: number, lengthMs: number): OwnVoice => ({
  ...voice,
  toneFromMs: nowMs > voice.toneUntilMs ? nowMs : voice.toneFromMs,
  toneUntilMs: nowMs + lengthMs,
});

/** A sound lies within its tone. */
export const isTone = ({ toneFromMs, toneUntilMs }: OwnVoice, onsetMs: number, endMs: number): boolean =>
  onsetMs >= toneFromMs - 30 && endMs <= toneUntilMs + 150;
