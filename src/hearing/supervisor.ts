import type { Heard, Trouble, TroubleKind } from './ear.ts';
import { makePhraseTracker, type PhraseTracker } from './phrases.ts';
import type { Clock, Recogniser, RecogniserConstructor } from './recogniser.ts';

/**
 * Keeps the browser's speech recognition going. Sessions are short and break in many ways; some end without saying so.
 * One supervisor owns the recogniser of the page: it starts, watches, restarts with growing pauses, ignores what comes
 * from a session that is over, and never says that it listens while it does not.
 *
 * Everything comes in through callbacks and a clock that is passed in: no timer, object or permission is looked up
 * here, so that tests script all of it.
 */
export type EarPhase =
  /** Not wanted. */
  | 'off'
  /** Wanted; a restart is due by itself. */
  | 'waiting'
  /** Started; the engine has not opened its ears yet: what is said now may be lost. */
  | 'starting'
  /** The engine hears. */
  | 'listening'
  /** The last words are being waited for; new ones are not heard. */
  | 'ending'
  /** Nothing happens until the person acts. */
  | 'stopped';

export interface SupervisorOptions {
  readonly Recogniser: RecogniserConstructor;
  readonly clock: Clock;
  readonly language: string;
  /** Words to expect; used only where the engine takes them, on the device. */
  readonly phrases?: readonly string[];
  /** Only an engine on the device will do: sound must not leave it. */
  readonly local: boolean;
  /** Sessions of one phrase each, where longer ones are known not to work (Android). Otherwise learned. */
  readonly oneShot: boolean;
  readonly surroundings: Surroundings;
  readonly emit: (event: SupervisorEvent) => void;
}

export interface Surroundings {
  hidden(): boolean;
  /** What is known of the microphone permission now. */
  permission(): 'granted' | 'denied' | 'prompt' | 'unknown';
  online(): boolean;
  /** Takes the one place of a listening page; null when another page has it. The result gives it back. */
  claim(): Promise<(() => void) | null>;
}

export type SupervisorEvent =
  | { readonly kind: 'heard'; readonly heard: Heard }
  | { readonly kind: 'phase'; readonly phase: EarPhase }
  | { readonly kind: 'trouble'; readonly trouble: Trouble }
  | { readonly kind: 'recovered'; readonly trouble: TroubleKind }
  /** The engine heard speech and made nothing of it. */
  | { readonly kind: 'not-understood'; readonly atMs: number }
  /** It seems that another owner keeps the microphone from the engine: the page itself, perhaps. */
  | { readonly kind: 'contention' };

export interface Supervisor {
  /** Begins to listen; call it in a tap. Also the way on from 'stopped'. */
  start(): void;
  /** Ends gently: final words of what was said before still come (for 2 s at most). */
  stop(): void;
  /** Stops at once, for the tool to speak; resolves when the engine is quiet (1.5 s at most). */
  pause(): Promise<void>;
  /** The tool is quiet now. What comes back of its voice is passed on: who knows the language tells it. */
  resume(): void;
  visibility(hidden: boolean): void;
  /** A microphone came or went. */
  devicesChanged(): void;
  /** Sound hints from the page's own microphone: a speech-like sound began / was complete. */
  soundBegan(onsetMs: number): void;
  soundEnded(): void;
  phase(): EarPhase;
  /** Starts of the engine so far (tests, and the developer's eye). */
  starts(): number;
  dispose(): void;
}

const audiostartMs = 4000;
const endMs = 2000;
/** Some engines report an error and then nothing. */
const endAfterErrorMs = 1000;
const endAfterAudioMs = 5000;
/** Between two starts, at least; and after a session that did its work, ms. */
const betweenStartsMs = 1000;
const quickRestartMs = 150;
const firstPauseMs = 300;
const longestPauseMs = 10_000;
const networkPauseMs = 30_000;
const capturePauseMs = 30_000;
const afterSpeechMs = 400;
/** Interim words that stay as they are for so long are over, whether or not the engine says so, ms. */
const unchangedMs = 2500;
const unchangedLateMs = 1100;
const healthyAudioMs = 5000;

type EndReason = string | 'end' | 'hang';

export function makeSupervisor(options: SupervisorOptions): Supervisor {
  const { clock, surroundings, emit } = options;

  let wanted = false;
  let pauses = 0;
  let phase: EarPhase = 'off';
  let device: Recogniser | null = null;
  let session: Session | null = null;
  let generation = 0;
  let starts = 0;
  let lastStartMs = Number.NEGATIVE_INFINITY;
  let lastEndMs = Number.NEGATIVE_INFINITY;
  let cancelRestart: (() => void) | null = null;
  let release: (() => void) | null = null;
  let claiming = false;

  /** What has been learned of this engine. */
  let oneShot = options.oneShot;
  let usePhrases = options.local && (options.phrases?.length ?? 0) > 0;
  let language = options.language;
  let finalsComeLate = false;
  let everHeard = false;

  /** Troubles in a row. */
  let failures = 0;
  let strikes = 0;
  let silentSessions = 0;
  let abortedSoon = 0;
  let busyRetries = 0;
  let networkFailures = 0;
  let unanswered = 0;
  let barren = 0;
  let captureLost = false;
  const told = new Set<TroubleKind>();

  interface Session {
    readonly generation: number;
    readonly tracker: PhraseTracker;
    readonly startMs: number;
    audioMs: number | null;
    /** The engine's ears are shut again. */
    audioOver: boolean;
    reason: string | null;
    /** Asked to end gently, at once, or not. */
    ending: 'no' | 'gently' | 'at-once';
    soundsUnanswered: number;
    timers: Map<string, () => void>;
    ended: (() => void)[];
  }

  const setPhase = (next: EarPhase): void => {
    if (phase === next) return;
    phase = next;
    emit({ kind: 'phase', phase });
  };

  const tell = (kind: TroubleKind, stopped: boolean, cause?: string): void => {
    told.add(kind);
    emit({ kind: 'trouble', trouble: { kind, stopped, ...(cause ? { cause } : {}) } });
  };

  const recovered = (...kinds: TroubleKind[]): void => {
    for (const kind of kinds.length > 0 ? kinds : [...told])
      if (told.delete(kind)) emit({ kind: 'recovered', trouble: kind });
  };

  const halt = (kind: TroubleKind, cause?: string): void => {
    wanted = false;
    cancelRestart?.();
    cancelRestart = null;
    giveBack();
    tell(kind, true, cause);
    setPhase('stopped');
  };

  const giveBack = (): void => {
    release?.();
    release = null;
  };

  const pass = (answers: readonly Heard[]): void => {
    for (const heard of answers) emit({ kind: 'heard', heard });
  };

  const setTimer = (of: Session, name: string, ms: number, action: () => void): void => {
    of.timers.get(name)?.();
    of.timers.set(
      name,
      clock.after(ms, () => {
        of.timers.delete(name);
        if (session === of) action();
      }),
    );
  };
  const clearTimer = (of: Session, name: string): void => {
    of.timers.get(name)?.();
    of.timers.delete(name);
  };

  /** Plans the next start, no sooner than allowed. */
  const plan = (pauseMs: number): void => {
    cancelRestart?.();
    cancelRestart = null;
    if (!wanted || pauses > 0 || session) return;
    setPhase('waiting');
    if (surroundings.hidden()) return;
    const wait = Math.max(pauseMs, lastStartMs + betweenStartsMs - clock.now(), 0);
    cancelRestart = clock.after(wait, () => {
      cancelRestart = null;
      begin();
    });
  };

  const begin = (): void => {
    if (!wanted || pauses > 0 || session || surroundings.hidden()) return;
    if (!release) {
      if (claiming) return;
      claiming = true;
      void surroundings.claim().then((given) => {
        claiming = false;
        if (!wanted) {
          given?.();
          return;
        }
        if (!given) halt('recogniser-busy', 'another page listens');
        else {
          release = given;
          begin();
        }
      });
      return;
    }
    const ear = device ?? makeDevice();
    if (!ear) return;
    generation++;
    const now = clock.now();
    const made: Session = {
      generation,
      tracker: makePhraseTracker(generation),
      startMs: now,
      audioMs: null,
      audioOver: false,
      reason: null,
      ending: 'no',
      soundsUnanswered: 0,
      timers: new Map(),
      ended: [],
    };
    session = made;
    listenTo(ear, made);
    ear.lang = language;
    ear.continuous = !oneShot;
    ear.interimResults = true;
    ear.maxAlternatives = 5;
    if (options.local) ear.processLocally = true;
    if (usePhrases && options.phrases) setPhrases(ear, options.phrases);
    starts++;
    lastStartMs = now;
    setPhase('starting');
    try {
      ear.start();
    } catch (error) {
      // Still busy with a session of before, whatever it said: give it up after a moment, and try with a new object.
      made.reason = 'InvalidStateError';
      setTimer(made, 'end', endMs, () => {
        discard(ear);
        finish(made, 'hang');
      });
      void error;
      return;
    }
    watchStart(made);
  };

  const makeDevice = (): Recogniser | null => {
    try {
      device = new options.Recogniser();
      return device;
    } catch (error) {
      halt('recogniser-missing', String(error));
      return null;
    }
  };

  const setPhrases = (ear: Recogniser, phrases: readonly string[]): void => {
    const Phrase = Reflect.get(globalThis, 'SpeechRecognitionPhrase') as
      | (new (
          text: string,
          boost: number,
        ) => unknown)
      | undefined;
    if (!Phrase || !('phrases' in ear)) return;
    try {
      ear.phrases = phrases.map((text) => new Phrase(text, 2));
    } catch {
      usePhrases = false;
    }
  };

  const listenTo = (ear: Recogniser, of: Session): void => {
    const current = (handle: (now: number) => void) => (): void => {
      if (session === of) handle(clock.now());
    };
    ear.onstart = null;
    ear.onaudiostart = current((now) => onAudio(of, now));
    ear.onaudioend = current(() => onAudioEnd(of));
    ear.onresult = (event) => {
      if (session === of) onResults(of, () => of.tracker.results(event, clock.now()));
    };
    ear.onnomatch = (event) => {
      if (session !== of) return;
      void event;
      emit({ kind: 'not-understood', atMs: clock.now() });
    };
    ear.onerror = (event) => {
      if (session === of) onError(of, event.error, event.message ?? '');
    };
    ear.onend = current(() => finish(of, of.reason ?? 'end'));
  };

  /** An object that did not end when asked is left alone: its events go nowhere. */
  const discard = (ear: Recogniser): void => {
    ear.onstart = null;
    ear.onaudiostart = null;
    ear.onaudioend = null;
    ear.onresult = null;
    ear.onnomatch = null;
    ear.onerror = null;
    ear.onend = null;
    if (device === ear) device = null;
    try {
      ear.abort();
    } catch {
      // It was not running: as well.
    }
  };

  const watchStart = (of: Session): void => {
    setTimer(of, 'audio', audiostartMs, () => {
      // While the browser asks the person, silence is no failure.
      if (surroundings.permission() === 'prompt') watchStart(of);
      else abort(of, 'hang');
    });
  };

  const abort = (of: Session, reason: string): void => {
    of.reason ??= reason;
    of.ending = 'at-once';
    pass(of.tracker.end(clock.now()));
    setPhase('ending');
    setTimer(of, 'end', endMs, () => {
      if (device) discard(device);
      finish(of, reason);
    });
    try {
      device?.abort();
    } catch {
      // Nothing was running: the timer above ends the session.
    }
  };

  const endGently = (of: Session): void => {
    if (of.ending !== 'no') return;
    of.ending = 'gently';
    setPhase('ending');
    setTimer(of, 'end', endMs, () => abort(of, 'hang-after-stop'));
    try {
      device?.stop();
    } catch {
      // Nothing was running: the timer above ends the session.
    }
  };

  const onAudio = (of: Session, now: number): void => {
    clearTimer(of, 'audio');
    of.audioMs ??= now;
    if (of.reason === 'phrases-not-supported') of.reason = null;
    strikes = 0;
    captureLost = false;
    if (of.ending === 'no' && !of.audioOver) setPhase('listening');
    recovered('microphone-lost', 'needs-tap', 'page-hidden');
  };

  const onAudioEnd = (of: Session): void => {
    of.audioOver = true;
    if (phase === 'listening') setPhase('ending');
    setTimer(of, 'end', endAfterAudioMs, () => abort(of, 'hang'));
  };

  const onResults = (of: Session, take: () => readonly Heard[]): void => {
    if (of.ending === 'at-once') return;
    if (of.audioMs === null) onAudio(of, clock.now());
    const answers = take();
    if (answers.length > 0) {
      everHeard = true;
      of.soundsUnanswered = 0;
      unanswered = 0;
      failures = 0;
      silentSessions = 0;
      abortedSoon = 0;
      busyRetries = 0;
      networkFailures = 0;
      barren = 0;
      recovered();
    }
    pass(answers);
    if (of.tracker.style === 'cumulative') oneShot = true;
    watchWords(of);
  };

  /** Words that nobody makes final. */
  const watchWords = (of: Session): void => {
    // One phrase a session, and it is had: an engine that does not end by itself is made to.
    if (oneShot && of.tracker.finals() > 0 && of.ending === 'no') setTimer(of, 'one', 1000, () => endGently(of));
    const promoteAt = of.tracker.promoteAt();
    if (promoteAt === null) clearTimer(of, 'promote');
    else
      setTimer(of, 'promote', Math.max(0, promoteAt - clock.now()), () => {
        pass(of.tracker.promote(clock.now()));
        watchWords(of);
      });
    const since = of.tracker.openSince();
    if (since === null) {
      clearTimer(of, 'words');
      return;
    }
    const patience = finalsComeLate ? unchangedLateMs : unchangedMs;
    setTimer(of, 'words', Math.max(0, since + patience - clock.now()), () => {
      finalsComeLate = true;
      endGently(of);
    });
  };

  const onError = (of: Session, code: string, message: string): void => {
    // Phrases are refused at the moment they are set, on engines that do not take them. Nothing else is wrong: most go
    // on without; where the session ends of it, the next one has no phrases.
    if (code === 'phrases-not-supported') {
      usePhrases = false;
      if (of.audioMs === null) of.reason ??= code;
      return;
    }
    of.reason ??= code;
    of.audioOver = true;
    // Its own abort is no news.
    if (of.ending === 'at-once' && code === 'aborted') return;
    if (code === 'audio-capture' || code === 'not-allowed' || code === 'service-not-allowed') {
      pass(of.tracker.end(clock.now()));
      setPhase('ending');
    } else if (phase === 'listening') setPhase('ending');
    setTimer(of, 'end', endAfterErrorMs, () => {
      if (device) discard(device);
      finish(of, of.reason ?? code, message);
    });
    if (message) of.reason = `${code}`;
  };

  const finish = (of: Session, reason: EndReason, message = ''): void => {
    if (session !== of) return;
    for (const cancel of of.timers.values()) cancel();
    of.timers.clear();
    const now = clock.now();
    if (of.ending !== 'at-once') pass(of.tracker.end(now));
    session = null;
    const heardFor = of.audioMs === null ? 0 : now - of.audioMs;
    const sinceLastEnd = of.startMs - lastEndMs;
    lastEndMs = now;
    for (const done of of.ended.splice(0)) done();
    if (!wanted) {
      giveBack();
      if (phase !== 'stopped') setPhase('off');
      return;
    }
    if (pauses > 0) {
      setPhase('waiting');
      return;
    }
    react(of, reason, heardFor, sinceLastEnd, message);
  };

  /** What to do after a session ended while listening is wanted. */
  const react = (of: Session, reason: EndReason, heardFor: number, sinceLastEnd: number, message: string): void => {
    const healthy = of.tracker.finals() > 0 || heardFor >= healthyAudioMs;
    switch (reason) {
      case 'not-allowed':
        // Android says so too when its recogniser is still busy with the session before.
        if (surroundings.permission() !== 'denied' && sinceLastEnd < 3000 && busyRetries < 1 && starts > 1) {
          busyRetries++;
          plan(1000);
          return;
        }
        halt(everHeard && surroundings.permission() !== 'denied' ? 'needs-tap' : 'microphone-refused', reason);
        return;
      case 'service-not-allowed':
        halt('recogniser-refused', `${reason} ${message}`.trim());
        return;
      case 'language-not-supported':
        if (language !== 'en-US' && language.toLowerCase().startsWith('en')) {
          language = 'en-US';
          plan(firstPauseMs);
        } else halt('recogniser-language', reason);
        return;
      case 'audio-capture':
        captureLost = true;
        tell('microphone-lost', false, `${reason} ${message}`.trim());
        // A new device tells of itself; another program that lets go of this one does not.
        plan(capturePauseMs);
        return;
      case 'network':
        networkFailures++;
        failures++;
        if (networkFailures > 5) halt('recogniser-network', reason);
        else {
          if (networkFailures >= 3 || !surroundings.online()) tell('recogniser-network', false, reason);
          plan(networkFailures > 3 ? networkPauseMs : backOff());
        }
        return;
      case 'aborted':
        if (surroundings.hidden()) {
          plan(0);
          return;
        }
        abortedSoon = heardFor < 2000 ? abortedSoon + 1 : 1;
        failures++;
        if (abortedSoon >= 3) halt('recogniser-busy', reason);
        else plan(1000);
        return;
      case 'no-speech':
        silentSessions++;
        if (silentSessions === 5) tell('cannot-hear-you', false, reason);
        plan(oneShot ? Math.min(longestPauseMs, firstPauseMs * 2 ** Math.min(5, silentSessions - 1)) : firstPauseMs);
        return;
      case 'hang':
      case 'hang-after-stop':
      case 'InvalidStateError':
        failures++;
        if (reason === 'hang') strikes++;
        // It worked before, and now a start from a timer brings nothing: some browsers want a tap for each start.
        if (everHeard && strikes >= 2) halt('needs-tap', 'no audiostart without a tap');
        else if (strikes >= 3) halt('recogniser-silent', 'no audiostart');
        else plan(backOff());
        return;
      case 'phrases-not-supported':
        plan(firstPauseMs);
        return;
      case 'end': {
        if (of.tracker.finals() === 0 && of.soundsUnanswered > 0) {
          barren++;
          if (barren === 3) {
            tell('recogniser-silent', false, 'sound but no words in three sessions');
            emit({ kind: 'contention' });
          }
        }
        if (healthy) failures = 0;
        else failures++;
        plan(healthy ? quickRestartMs : backOff());
        return;
      }
      default:
        failures++;
        if (failures >= 6) halt('recogniser-silent', reason);
        else plan(backOff());
    }
  };

  const backOff = (): number => Math.min(longestPauseMs, firstPauseMs * 2 ** Math.min(6, Math.max(0, failures - 1)));

  return {
    start() {
      wanted = true;
      failures = 0;
      strikes = 0;
      abortedSoon = 0;
      busyRetries = 0;
      networkFailures = 0;
      silentSessions = 0;
      recovered();
      if (session) {
        if (session.ending === 'gently') session.ended.push(() => plan(0));
        return;
      }
      cancelRestart?.();
      cancelRestart = null;
      if (phase === 'off' || phase === 'stopped') setPhase('waiting');
      // In the tap itself: some browsers want it so.
      if (clock.now() - lastStartMs >= betweenStartsMs) begin();
      else plan(0);
    },
    stop() {
      wanted = false;
      cancelRestart?.();
      cancelRestart = null;
      if (session) endGently(session);
      else {
        giveBack();
        if (phase !== 'off') setPhase('off');
      }
    },
    async pause() {
      pauses++;
      cancelRestart?.();
      cancelRestart = null;
      const running = session;
      if (!running) {
        if (phase !== 'off' && phase !== 'stopped') setPhase('waiting');
        return;
      }
      abort(running, 'paused');
      await new Promise<void>((resolve) => {
        const cancel = clock.after(1500, resolve);
        running.ended.push(() => {
          cancel();
          resolve();
        });
      });
    },
    resume() {
      pauses = Math.max(0, pauses - 1);
      if (pauses === 0 && wanted && !session) plan(afterSpeechMs);
    },
    visibility(hidden) {
      if (hidden) {
        if (!wanted) return;
        cancelRestart?.();
        cancelRestart = null;
        if (session) pass(session.tracker.end(clock.now()));
        tell('page-hidden', false);
      } else {
        recovered('page-hidden');
        if (wanted && !session && !captureLost) plan(firstPauseMs);
      }
    },
    devicesChanged() {
      if (wanted && captureLost && !session) {
        captureLost = false;
        plan(firstPauseMs);
      }
    },
    soundBegan(onsetMs) {
      session?.tracker.sound(onsetMs);
    },
    soundEnded() {
      if (!session || phase !== 'listening') return;
      session.soundsUnanswered++;
      unanswered++;
      if (unanswered === 4) {
        // Four calls and not a word: begin afresh, and say so.
        tell('cannot-hear-you', false, 'sounds without words');
        endGently(session);
      }
    },
    phase: () => phase,
    starts: () => starts,
    dispose() {
      wanted = false;
      cancelRestart?.();
      if (session) {
        for (const cancel of session.timers.values()) cancel();
        session = null;
      }
      if (device) discard(device);
      giveBack();
      phase = 'off';
    },
  };
}
