/**
 * A scripted speech recogniser for real browsers, put in place before any code of the page runs. It behaves as the real
 * ones do where it hurts: events come later and never inside a call, a second start throws, only one session of the page
 * lives at a time, what is said between two sessions is lost, a session may end without a word of it.
 */
export interface FakePhrase {
  /** What the engine makes of it, best first; or one text. */
  readonly text: string | readonly string[];
  /**
   * When the person begins to say it, s: from the moment the page's microphone opened (the moment a fake microphone
   * begins to play its file), or, without one, from the first audiostart.
   */
  readonly atS: number;
  /** From the beginning of the phrase to its first interim words, ms; default 600. */
  readonly lagMs?: number;
  /** From the first interim words to the final answer, ms; default 500. */
  readonly finalMs?: number;
  /** Interim texts; default: the first word of the text. */
  readonly interim?: readonly string[];
  /** Only interim words: no final ever comes. */
  readonly noFinal?: boolean;
  readonly confidence?: number;
}

export interface FakeScript {
  readonly phrases?: readonly FakePhrase[];
  /** From start to audiostart, ms; default 180. */
  readonly audiostartMs?: number;
  /** Errors by session, from 1: code, when (ms after start), and whether an end follows. */
  readonly errors?: readonly {
    readonly session: number;
    readonly code: string;
    readonly atMs: number;
    readonly end?: boolean;
  }[];
  /** A session without words ends after this, ms; default 15000 (continuous) . */
  readonly silenceMs?: number;
  /** Sessions, from 1, that die without an end or any other event after their last result. */
  readonly hang?: readonly number[];
  /** Name the constructor only with its prefix, as some browsers do. */
  readonly prefixedOnly?: boolean;
  /** No recogniser at all. */
  readonly none?: boolean;
}

/** What a test can do from outside, on `window.fakeRecogniser`. */
export interface FakeRecogniserHandle {
  /** The person says something now. */
  say(text: string | readonly string[], options?: Omit<FakePhrase, 'text' | 'atS'>): void;
  /** The session that runs fails now. */
  fail(code: string, end?: boolean): void;
  readonly sessions: number;
  readonly running: boolean;
  /** Phrases of which no session heard anything. */
  readonly lost: readonly string[];
}

declare global {
  interface Window {
    fakeRecogniser: FakeRecogniserHandle;
  }
}

/** The code to give to `addInitScript` (see `launch({ initScripts })`). */
export function fakeRecogniser(script: FakeScript = {}): string {
  // Some compilers of TypeScript name functions through a helper, which a page does not have.
  return `(() => { const __name = (value) => value; (${install.toString()})(${JSON.stringify(script)}); })();`;
}

function install(script: FakeScript): void {
  interface Session {
    owner: FakeEar;
    number: number;
    hears: boolean;
    over: boolean;
    results: { isFinal: boolean; alternatives: { transcript: string; confidence: number }[] }[];
    silence: number;
  }
  const names = ['SpeechRecognition', 'webkitSpeechRecognition'];
  for (const name of names) Reflect.deleteProperty(window, name);
  const lost: string[] = [];
  let sessions = 0;
  let current: Session | null = null;
  let planned = false;

  const later = (ms: number, action: () => void): number => window.setTimeout(action, Math.max(1, ms));

  class FakeEar extends EventTarget {
    lang = '';
    continuous = false;
    interimResults = false;
    maxAlternatives = 1;
    session: Session | null = null;

    start(): void {
      if (this.session) throw new DOMException('recognition has already started.', 'InvalidStateError');
      const session: Session = { owner: this, number: ++sessions, hears: false, over: false, results: [], silence: 0 };
      this.session = session;
      if (current) {
        // One session of the page: the newcomer is turned away.
        later(20, () => this.tell(session, 'error', { error: 'aborted', message: 'Another request is started' }));
        later(25, () => this.finish(session));
        return;
      }
      current = session;
      const error = script.errors?.find((one) => one.session === session.number);
      if (error) {
        later(error.atMs, () => {
          this.tell(session, 'error', { error: error.code, message: '' });
          session.hears = false;
          if (error.end !== false) later(2, () => this.finish(session));
          else if (current === session) current = null;
        });
        if (error.atMs < 300) return;
      }
      later(5, () => this.tell(session, 'start'));
      later(script.audiostartMs ?? 180, () => {
        if (session.over) return;
        session.hears = true;
        this.tell(session, 'audiostart');
        this.rearm(session);
        plan();
      });
    }

    stop(): void {
      const session = this.session;
      if (!session) return;
      later(60, () => {
        if (session.over) return;
        session.hears = false;
        // What was interim becomes final.
        const open = session.results.find(({ isFinal }) => !isFinal);
        if (open)
          this.answer(
            session,
            open.alternatives.map(({ transcript }) => transcript),
            true,
            0.8,
          );
        this.tell(session, 'audioend');
        later(5, () => this.finish(session));
      });
    }

    abort(): void {
      const session = this.session;
      if (!session) return;
      session.hears = false;
      later(10, () => {
        if (session.over) return;
        this.tell(session, 'error', { error: 'aborted', message: '' });
        this.finish(session);
      });
    }

    /** Silence ends a session. */
    rearm(session: Session): void {
      window.clearTimeout(session.silence);
      session.silence = later(script.silenceMs ?? 15_000, () => {
        if (session.over || !session.hears) return;
        session.hears = false;
        this.tell(session, 'audioend');
        later(5, () => this.finish(session));
      });
    }

    finish(session: Session): void {
      if (session.over) return;
      window.clearTimeout(session.silence);
      session.hears = false;
      session.over = true;
      if (current === session) current = null;
      if (this.session === session) this.session = null;
      if (script.hang?.includes(session.number)) return;
      this.tell(session, 'end');
    }

    answer(session: Session, texts: readonly string[], final: boolean, confidence: number): void {
      if (session.over) return;
      this.rearm(session);
      const alternatives = texts.slice(0, this.maxAlternatives).map((transcript, at) => ({
        transcript: session.results.some(({ isFinal }) => isFinal) ? ` ${transcript}` : transcript,
        confidence: final && at === 0 ? confidence : 0,
      }));
      const finals = session.results.filter(({ isFinal }) => isFinal);
      session.results = [...finals, { isFinal: final, alternatives }];
      if (!final && !this.interimResults) return;
      const results = session.results.map(({ isFinal, alternatives: list }) => Object.assign([...list], { isFinal }));
      this.tell(session, 'result', { resultIndex: finals.length, results });
      if (final && !this.continuous) {
        later(40, () => {
          if (session.over) return;
          this.tell(session, 'audioend');
          this.finish(session);
        });
      }
    }

    tell(session: Session, type: string, extra: Record<string, unknown> = {}): void {
      if (session.over && type !== 'end') return;
      const event = Object.assign(new Event(type), extra);
      this.dispatchEvent(event);
      const handler: unknown = Reflect.get(this, `on${type}`);
      if (typeof handler === 'function') handler.call(this, event);
    }
  }

  const say = (phrase: Omit<FakePhrase, 'atS'>): void => {
    const texts = typeof phrase.text === 'string' ? [phrase.text] : phrase.text;
    const session = current;
    if (!session?.hears) {
      lost.push(texts[0] ?? '');
      return;
    }
    const { owner } = session;
    const lag = phrase.lagMs ?? 600;
    const interims = phrase.interim ?? [(texts[0] ?? '').split(' ')[0] ?? ''];
    const finalMs = phrase.finalMs ?? 500;
    // The session may end while the phrase is on its way.
    later(lag, () => {
      if (session.over) lost.push(texts[0] ?? '');
    });
    interims.forEach((text, index) => {
      later(lag + (finalMs * index) / interims.length, () => owner.answer(session, [text], false, 0));
    });
    if (!phrase.noFinal) later(lag + finalMs, () => owner.answer(session, texts, true, phrase.confidence ?? 0.9));
  };

  /** The script runs from the opening of the page's microphone, else from the first audiostart. */
  let fromMs: number | null = null;
  let asking = false;
  const plan = (): void => {
    if (planned || (asking && fromMs === null)) return;
    planned = true;
    const zero = fromMs ?? performance.now();
    for (const phrase of script.phrases ?? []) later(zero + phrase.atS * 1000 - performance.now(), () => say(phrase));
  };
  const media = navigator.mediaDevices;
  if (media) {
    const open = media.getUserMedia.bind(media);
    media.getUserMedia = async (constraints) => {
      asking = true;
      const stream = await open(constraints).finally(() => {
        asking = false;
      });
      fromMs ??= performance.now();
      plan();
      return stream;
    };
  }

  if (!script.none)
    for (const name of script.prefixedOnly ? names.slice(1) : names)
      Object.defineProperty(window, name, { value: FakeEar, configurable: true, writable: true });
  Object.defineProperty(window, 'fakeRecogniser', {
    value: {
      say: (text: string | readonly string[], options: Omit<FakePhrase, 'text' | 'atS'> = {}) =>
        say({ text, ...options }),
      fail: (code: string, end = true) => {
        const session = current;
        if (!session) return;
        session.owner.tell(session, 'error', { error: code, message: '' });
        session.hears = false;
        if (end) later(2, () => session.owner.finish(session));
      },
      get sessions() {
        return sessions;
      },
      get running() {
        return current !== null;
      },
      lost,
    },
  });
}
