/**
 * The part of the browser's speech recognition interface that is used here, so that the supervisor can be given any
 * object of that shape: the browser's own or a scripted one. Interface after the Web Speech API draft (WebAudio
 * community group, 2026).
 */
export interface RecogniserResult {
  readonly isFinal: boolean;
  readonly length: number;
  readonly [index: number]: { readonly transcript: string; readonly confidence: number };
}

export interface RecogniserResultEvent {
  readonly resultIndex: number;
  /** Null in a `nomatch` of some engines. */
  readonly results: { readonly length: number; readonly [index: number]: RecogniserResult } | null;
}

export interface RecogniserErrorEvent {
  readonly error: string;
  readonly message?: string;
}

export interface Recogniser {
  lang: string;
  continuous: boolean;
  interimResults: boolean;
  maxAlternatives: number;
  /** Only engines that can stay on the device have it. */
  processLocally?: boolean;
  phrases?: unknown;
  onstart: ((event: unknown) => void) | null;
  onaudiostart: ((event: unknown) => void) | null;
  onaudioend: ((event: unknown) => void) | null;
  onresult: ((event: RecogniserResultEvent) => void) | null;
  onnomatch: ((event: RecogniserResultEvent) => void) | null;
  onerror: ((event: RecogniserErrorEvent) => void) | null;
  onend: ((event: unknown) => void) | null;
  start(): void;
  stop(): void;
  abort(): void;
}

export interface RecogniserConstructor {
  new (): Recogniser;
  available?(options: { langs: string[]; processLocally: boolean }): Promise<string>;
  install?(options: { langs: string[]; processLocally: boolean }): Promise<boolean>;
}

/** Time as the supervisor sees it; tests put a clock of their own in. */
export interface Clock {
  /** Page time, ms. */
  now(): number;
  /** Runs `action` once after `ms`; gives the way to call it off. */
  after(ms: number, action: () => void): () => void;
}

export const pageClock: Clock = {
  now: () => performance.now(),
  after(ms, action) {
    const timer = setTimeout(action, ms);
    return () => clearTimeout(timer);
  },
};
