/**
 * The contracts of hearing. Page time is `performance.now()` in milliseconds; `bench/` turns it into notebook
 * time. Nothing here knows about numbers or readings.
 */

/** A stretch of sound that may be speech, cut out by the onset finder. */
export interface Utterance {
  /** Unique in the page. */
  readonly id: string;
  /** Page time of the first sound, ms. */
  readonly onsetMs: number;
  /** Page time of the end of sound, ms. */
  readonly endMs: number;
  /** Standard uncertainty of `onsetMs`, ms. */
  readonly uOnsetMs: number;
  /** Mono sound from some 250 ms before the onset to 200 ms after the end, range -1..1. */
  readonly samples: Float32Array;
  readonly sampleRate: number;
  /** Index in `samples` of the onset. */
  readonly onsetIndex: number;
  /** true when the sound ran into the limits of the converter. */
  readonly clipped: boolean;
}

export interface Alternative {
  readonly text: string;
  /** 0..1 where the engine gives a meaningful one, else null (never a gate: see the facts on confidence). */
  readonly confidence: number | null;
  /** Where it begins, if not with the sound of the call: of "er thirty four" the number's own first sound. */
  readonly begins?: Begins;
}

/** Where a sentence begins within a call. */
export interface Begins {
  /** After the onset of the call; negative: before it, ms. */
  readonly laterMs: number;
  /** Standard uncertainty of the moment, ms. */
  readonly uMs: number;
}

/** A beginning that may as well be the true one lies so many standard uncertainties away, for 2 to reach it (reasoned). */
export const otherBeginningU = 1.8;

/** One answer of an ear about one phrase. Best alternative first. */
export interface Heard {
  readonly ear: EarName;
  /** Counts the sessions of the ear; answers of a session that is over are dropped by the supervisor. */
  readonly generation: number;
  /** Identifies the phrase within the page: interim answers and their final one share it. */
  readonly phrase: string;
  readonly alternatives: readonly Alternative[];
  readonly final: boolean;
  /** true when the session ended and only interim words were ever had ("orphan"): needs confirming. */
  readonly tentative: boolean;
  /** Page time at which the first words of this phrase arrived, ms. */
  readonly firstWordsMs: number;
  /** Page time of this answer, ms. */
  readonly atMs: number;
  /** The utterance it belongs to, when the ear was given one to listen to. */
  readonly utterance?: string;
  /** Set where it was softer than the caller's calls: what was heard counts for so much, of 1 (`EarCall`). */
  readonly nearness?: number;
}

/** 'browser': the browser's own recogniser. 'own': the embedded one. 'sound': no words at all. 'rehearsal': simulated. */
export type EarName = 'browser' | 'own' | 'sound' | 'rehearsal';

/** What the person must be told about an ear; one sentence each is in `hearing/trouble.ts`. */
export type TroubleKind =
  | 'microphone-refused'
  /** The page came unencrypted: no permission helps. */
  | 'microphone-insecure'
  | 'microphone-missing'
  | 'microphone-lost'
  | 'microphone-muted'
  | 'recogniser-missing'
  | 'recogniser-refused'
  | 'recogniser-silent'
  | 'recogniser-network'
  | 'recogniser-language'
  | 'recogniser-busy'
  | 'ear-restarting'
  | 'page-hidden'
  | 'needs-tap'
  | 'cannot-hear-you';

export interface Trouble {
  readonly kind: TroubleKind;
  /** false: listening for words goes on or will be tried again by itself; true: it stopped until the person acts. */
  readonly stopped: boolean;
  /** For the developer: error code and message of the engine. */
  readonly cause?: string;
}

/** An ear that runs along with the sound and says which calls are in it (the embedded recogniser). */
export interface FollowingEar {
  readonly name: EarName;
  /** Loads weights; progress 0..1. */
  load(progress?: (part: number) => void): Promise<void>;
  /** Takes the next stretch of sound. Answers come in the order of the stretches. */
  follow(sound: EarSound): Promise<Followed>;
  dispose(): void;
}

/** The next stretch of sound for an ear, some tens of milliseconds long, mono, range -1..1. */
export interface EarSound {
  /** For the ear alone, which may hand them on: they may be empty here afterwards. */
  readonly samples: Float32Array<ArrayBuffer>;
  readonly sampleRate: number;
  /** The tool itself spoke meanwhile: nothing is learnt of how loud the caller is. */
  readonly own: boolean;
  /** A stream begins with it: what came before is forgotten. */
  readonly first: boolean;
}

/** What an ear has found since its last answer. Times are in seconds from the start of the stream. */
export interface Followed {
  readonly calls: readonly EarCall[];
  /** Before this nothing more will be found, s. */
  readonly settledS: number;
  /** When the words began that are being said now, s; null: none are. */
  readonly hearingS: number | null;
  readonly room: RoomLevel;
}

export interface EarCall {
  /** Unique in the page. */
  readonly id: string;
  /** The first sound of its first word, s. */
  readonly onsetS: number;
  readonly endS: number;
  /** Standard uncertainty of the onset, s. */
  readonly uOnsetS: number;
  readonly answer: EarAnswer;
  /** By its sound it may be a person; false: a tone or a thud in which words were found all the same. */
  readonly voice: boolean;
  /**
   * null for a voice as loud as the caller's calls. A softer one may be somebody else, or a caller who turned away: the
   * probabilities of the answer are the ear's own times this, 0 to 1.
   */
  readonly nearness: number | null;
  readonly clipped: boolean;
  /** Mono sound from some 250 ms before the onset to 200 ms after the end, range -1..1. */
  readonly samples: Float32Array;
  readonly sampleRate: number;
  /** Index in `samples` of the onset. */
  readonly onsetIndex: number;
}

/** How loud the caller is, and the room beside: dB of full scale; null before it is known. */
export interface RoomLevel {
  readonly callerDb: number | null;
  readonly othersDb: number | null;
}

export interface EarAnswer {
  /** Best first, with posterior probabilities (they sum to at most 1; the rest is "something else"). */
  readonly best: readonly { text: string; p: number; begins?: Begins }[];
  /** Probability that the sound is speech at all. */
  readonly speech: number;
}

/** A thud always resembles some word; what does not sound like speech needs a sure answer to be a call. */
export function isSure({ speech, best }: EarAnswer): boolean {
  return speech > 0.8 && (best[0]?.p ?? 0) > 0.6;
}
