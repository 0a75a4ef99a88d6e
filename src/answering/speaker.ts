import type { Listening } from '../hearing/listening.ts';
import { type Clock, pageClock } from '../hearing/recogniser.ts';

/**
 * Speaks short answers with the browser's voices, half duplex: the ears are hushed before a word is said and released
 * when it is over. Speech in browsers is unreliable in known ways (the end is never told, a long text stops in the
 * middle, a voice of the network hangs); so there is a watchdog, texts are kept short, voices on the device come first,
 * and what is said is on the screen anyway. It falls silent when the person begins to speak over it, as far as the ears
 * can tell the two apart.
 */
export interface Speaker {
  /**
   * Says a text; a later one cuts an earlier one short.
   * @returns 'said'; 'silent' when speech is switched off; 'failed' when the browser has no voice or did not speak
   */
  say(text: string): Promise<Spoken>;
  cancel(): void;
  /** Unlocks speech: call it in the tap that opens the microphone. */
  prime(): void;
  setVolume(volume: number): void;
  setSilent(silent: boolean): void;
  /** Whether there is a voice for the language. */
  available(): boolean;
  dispose(): void;
}

export type Spoken = 'said' | 'silent' | 'failed' | 'cut-short';

/** The part of the browser's speech synthesis that is used here. */
export interface Synthesis {
  speak(utterance: SpeechSynthesisUtterance): void;
  cancel(): void;
  getVoices(): readonly SpeechSynthesisVoice[];
  addEventListener?(type: 'voiceschanged', listener: () => void): void;
  removeEventListener?(type: 'voiceschanged', listener: () => void): void;
}

export interface SpeakerOptions {
  /** The ears to hush before speaking. */
  readonly listening?: Pick<Listening, 'hush'>;
  /** BCP-47; default en-US. */
  readonly language?: string;
  /** 0..1; default 1. */
  readonly volume?: number;
  readonly silent?: boolean;
  readonly synthesis?: Synthesis | null;
  readonly makeUtterance?: (text: string) => SpeechSynthesisUtterance;
  readonly clock?: Clock;
}

/** Some voices stop after 14 s without a word of it: longer texts are said in parts (characters). */
const longestPart = 110;
/** A text takes at most so long, ms: 90 for each character and 2 s (from the facts on half duplex). */
const watchdogMs = (text: string): number => 2000 + 90 * text.length;

const synthesisOfPage = (): Synthesis | null => (typeof speechSynthesis === 'undefined' ? null : speechSynthesis);

export function makeSpeaker(options: SpeakerOptions = {}): Speaker {
  const { clock = pageClock, language = 'en-US', synthesis = synthesisOfPage() } = options;
  const makeUtterance = options.makeUtterance ?? ((text) => new SpeechSynthesisUtterance(text));
  let volume = options.volume ?? 1;
  let silent = options.silent ?? false;
  let voice: SpeechSynthesisVoice | null = null;
  let turn = 0;
  let cutShort: (() => void) | null = null;

  const chooseVoice = (): void => {
    voice = bestVoice(synthesis?.getVoices() ?? [], language);
  };
  chooseVoice();
  // Empty until the browser has looked for them.
  synthesis?.addEventListener?.('voiceschanged', chooseVoice);

  const sayPart = (text: string): Promise<Spoken> =>
    new Promise((resolve) => {
      if (!synthesis) {
        resolve('failed');
        return;
      }
      const utterance = makeUtterance(text);
      utterance.lang = voice?.lang ?? language;
      if (voice) utterance.voice = voice;
      utterance.volume = volume;
      let over = false;
      const end = (spoken: Spoken): void => {
        if (over) return;
        over = true;
        cancelWatch();
        cutShort = null;
        utterance.onend = null;
        utterance.onerror = null;
        resolve(spoken);
      };
      const cancelWatch = clock.after(watchdogMs(text), () => {
        synthesis.cancel();
        end('failed');
      });
      utterance.onend = () => end('said');
      utterance.onerror = () => end('failed');
      cutShort = () => {
        synthesis.cancel();
        end('cut-short');
      };
      // What hangs from before would keep this one waiting for ever.
      synthesis.cancel();
      synthesis.speak(utterance);
    });

  return {
    async say(text) {
      if (silent || volume === 0) return 'silent';
      if (!synthesis) return 'failed';
      const mine = ++turn;
      cutShort?.();
      const bargeIn = (): void => {
        if (mine === turn) this.cancel();
      };
      const release = options.listening ? await options.listening.hush(text, bargeIn) : null;
      let outcome: Spoken = 'cut-short';
      try {
        for (const part of partsOf(text)) {
          if (mine !== turn) return 'cut-short';
          outcome = await sayPart(part);
          if (outcome !== 'said') break;
        }
      } finally {
        release?.();
      }
      return outcome;
    },
    cancel() {
      turn++;
      cutShort?.();
    },
    prime() {
      if (!synthesis) return;
      chooseVoice();
      const empty = makeUtterance(' ');
      empty.volume = 0;
      synthesis.speak(empty);
    },
    setVolume(next) {
      volume = Math.max(0, Math.min(1, next));
    },
    setSilent(next) {
      silent = next;
      if (silent) this.cancel();
    },
    available: () => synthesis !== null && (voice !== null || synthesis.getVoices().length === 0),
    dispose() {
      this.cancel();
      synthesis?.removeEventListener?.('voiceschanged', chooseVoice);
    },
  };
}

/** A voice of the language that lives on the device, rather than one of the network; the exact tag before the rest. */
export function bestVoice(voices: readonly SpeechSynthesisVoice[], language: string): SpeechSynthesisVoice | null {
  const wanted = language.toLowerCase();
  const base = wanted.split('-')[0] ?? wanted;
  const rank = (voice: SpeechSynthesisVoice): number => {
    const tag = voice.lang.toLowerCase().replace('_', '-');
    if (tag !== wanted && tag.split('-')[0] !== base) return -1;
    return (voice.localService ? 4 : 0) + (tag === wanted ? 2 : 0) + (voice.default ? 1 : 0);
  };
  let best: SpeechSynthesisVoice | null = null;
  for (const voice of voices) if (rank(voice) >= 0 && (!best || rank(voice) > rank(best))) best = voice;
  return best;
}

/** Splits at sentence ends, then at commas, then at spaces. */
export function partsOf(text: string): string[] {
  const parts: string[] = [];
  let rest = text.trim();
  while (rest.length > longestPart) {
    const head = rest.slice(0, longestPart);
    const at =
      Math.max(head.lastIndexOf('. ') + 1, 0) || Math.max(head.lastIndexOf(', ') + 1, 0) || head.lastIndexOf(' ');
    const cut = at > 0 ? at : longestPart;
    parts.push(rest.slice(0, cut).trim());
    rest = rest.slice(cut).trim();
  }
  if (rest !== '') parts.push(rest);
  return parts;
}
