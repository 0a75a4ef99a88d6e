import type { HeardCall, OwnSpeech } from './pairing.ts';

/**
 * What the tool itself says and sounds: which calls may be its own voice or tone, and whether its voice reaches the
 * microphone at all. Pure; time comes in as arguments (page time, ms).
 */
export interface OwnVoice {
  begin(spoken: string, nowMs: number, bargeIn: (() => void) | null): Speech;
  /** @param hearsSound the microphone was open: that it picked up nothing tells something */
  end(speech: Speech, nowMs: number, hearsSound: boolean): void;
  /** Somebody began to sound while it speaks: the person, where its voice is known not to reach the microphone. */
  soundBegan(): void;
  speaking(): boolean;
  /** It speaks, or the room still rings with its voice. */
  sounding(nowMs: number): boolean;
  /** Of a stretch of sound: some of it may be its own voice. */
  within(fromMs: number, toMs: number): boolean;
  /** What of a call may be its own voice; null: nothing. */
  during(call: HeardCall, nowMs: number): OwnSpeech | null;
  /** A tone sounds from now for so long, ms. */
  tone(nowMs: number, lengthMs: number): void;
  /** A sound lies within its tone. */
  isTone(onsetMs: number, endMs: number): boolean;
  clear(): void;
}

export interface Speech {
  readonly spoken: string;
  readonly fromMs: number;
  toMs: number | null;
  /** A sound began while it went on. */
  heard: boolean;
  readonly bargeIn: (() => void) | null;
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

export function makeOwnVoice(): OwnVoice {
  const speeches: Speech[] = [];
  let unheard = 0;
  let toneFromMs = Number.NEGATIVE_INFINITY;
  let toneUntilMs = Number.NEGATIVE_INFINITY;
  const lastMs = (): number =>
    Math.max(Number.NEGATIVE_INFINITY, ...speeches.map(({ toMs }) => toMs ?? Number.POSITIVE_INFINITY));
  return {
    begin(spoken, nowMs, bargeIn) {
      const speech: Speech = { spoken, fromMs: nowMs, toMs: null, heard: false, bargeIn };
      speeches.push(speech);
      return speech;
    },
    end(speech, nowMs, hearsSound) {
      speech.toMs = nowMs;
      if (speech.heard) unheard = 0;
      else if (hearsSound && nowMs - speech.fromMs >= shortSpeechMs) unheard++;
      if (speeches.length > speechesKept) speeches.shift();
    },
    soundBegan() {
      for (const speech of speeches) {
        if (speech.toMs !== null) continue;
        speech.heard = true;
        if (unheard >= unheardSpeeches) speech.bargeIn?.();
      }
    },
    speaking: () => speeches.some(({ toMs }) => toMs === null),
    sounding: (nowMs) => nowMs < lastMs() + tailMs,
    within: (fromMs, toMs) =>
      speeches.some((speech) => speech.fromMs < toMs && (speech.toMs ?? Number.POSITIVE_INFINITY) + tailMs > fromMs),
    during(call, nowMs) {
      const endMs = call.endMs ?? call.onsetMs;
      const said = speeches
        .filter(({ fromMs, toMs }) => endMs >= fromMs && call.onsetMs - (toMs ?? nowMs) <= ownWordsMs)
        .map(({ spoken, toMs }) => ({ spoken, sinceMs: call.onsetMs - (toMs ?? Math.max(nowMs, call.onsetMs + 1)) }));
      if (said.length === 0) return null;
      const within =
        unheard < unheardSpeeches &&
        speeches.some(({ fromMs }) => call.onsetMs >= fromMs) &&
        call.onsetMs < lastMs() + tailMs &&
        endMs < lastMs() + tailMs + 300;
      return { said, within };
    },
    tone(nowMs, lengthMs) {
      if (nowMs > toneUntilMs) toneFromMs = nowMs;
      toneUntilMs = nowMs + lengthMs;
    },
    isTone: (onsetMs, endMs) => onsetMs >= toneFromMs - 30 && endMs <= toneUntilMs + 150,
    clear() {
      speeches.length = 0;
    },
  };
}
