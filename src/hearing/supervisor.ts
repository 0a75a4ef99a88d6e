import { inTurn } from './in-turn.ts';
import { plainResults } from './phrases.ts';
import type { Clock, Recogniser, RecogniserConstructor } from './recogniser.ts';
import {
  type EarEffect,
  type EarEvent,
  type EarPhase,
  type EarSettings,
  type EarWorld,
  newEar,
  type SupervisorEvent,
} from './supervisor-state.ts';
import { earStep } from './supervisor-step.ts';

/**
 * Keeps the browser's speech recognition going. Sessions are short and break in many ways; some end without saying so.
 * One supervisor owns the recogniser of the page: it starts, watches, restarts with growing pauses, ignores what comes
 * from a session that is over, and never says that it listens while it does not. What it does is in
 * `supervisor-step.ts`; this carries it out.
 *
 * Everything comes in through callbacks and a clock that is passed in: no timer, object or permission is looked up
 * here, so that tests script all of it.
 */
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
  permission(): EarWorld['permission'];
  online(): boolean;
  /** Takes the one place of a listening page; null when another page has it. The result gives it back. */
  claim(): Promise<(() => void) | null>;
}

/** Who waits for quiet waits no longer than this, ms. */
const quietWithinMs = 1500;

export function makeSupervisor(options: SupervisorOptions): Supervisor {
  const { clock, surroundings, local, oneShot, language, phrases = [] } = options;
  let state = newEar({ language, local, oneShot, usePhrases: local && phrases.length > 0 });
  let giveBack: (() => void) | null = null;
  const timers = new Map<string, () => void>();
  const waiting: (() => void)[] = [];

  const dispatch = inTurn<EarEvent>((event) => {
    const step = earStep(state, event, {
      nowMs: clock.now(),
      hidden: surroundings.hidden(),
      permission: surroundings.permission(),
      online: surroundings.online(),
    });
    state = step.state;
    for (const effect of step.effects) carryOut(effect);
  });
  const onEngine = makeEngine(options, dispatch);

  const carryOut = (effect: EarEffect): void => {
    switch (effect.kind) {
      case 'emit':
        options.emit(effect.event);
        return;
      case 'set-timer': {
        const { name } = effect;
        timers.get(name)?.();
        const action = (): void => {
          timers.delete(name);
          dispatch({ kind: 'timer', name });
        };
        timers.set(name, clock.after(effect.ms, action));
        return;
      }
      case 'clear-timer':
        timers.get(effect.name)?.();
        timers.delete(effect.name);
        return;
      case 'claim':
        void surroundings.claim().then((given) => {
          giveBack = given;
          dispatch({ kind: 'claimed', given: given !== null });
        });
        return;
      case 'release':
        giveBack?.();
        giveBack = null;
        return;
      case 'quiet':
        for (const done of waiting.splice(0)) done();
        return;
      default:
        onEngine(effect);
    }
  };

  return {
    start: () => dispatch({ kind: 'start' }),
    stop: () => dispatch({ kind: 'stop' }),
    async pause() {
      const running = state.session !== null;
      dispatch({ kind: 'pause' });
      if (!running) return;
      await new Promise<void>((resolve) => {
        const cancel = clock.after(quietWithinMs, resolve);
        waiting.push(() => {
          cancel();
          resolve();
        });
      });
    },
    resume: () => dispatch({ kind: 'resume' }),
    visibility: (hidden) => dispatch({ kind: 'visibility', hidden }),
    devicesChanged: () => dispatch({ kind: 'devices-changed' }),
    soundBegan: (onsetMs) => dispatch({ kind: 'sound-began', onsetMs }),
    soundEnded: () => dispatch({ kind: 'sound-ended' }),
    phase: () => state.phase,
    starts: () => state.starts,
    dispose: () => dispatch({ kind: 'dispose' }),
  };
}

type OnEngine = Extract<EarEffect, { kind: 'make' | 'start' | 'end-gently' | 'abort' | 'discard' }>;

/** Owns the engine's object: carries out what concerns it, and makes events of what it tells. */
function makeEngine(
  { Recogniser: Engine, local, phrases = [] }: SupervisorOptions,
  dispatch: (event: EarEvent) => void,
): (effect: OnEngine) => void {
  let device: Recogniser | null = null;

  const start = (ear: Recogniser, generation: number, settings: EarSettings): void => {
    listenTo(ear, generation, dispatch);
    ear.lang = settings.language;
    ear.continuous = settings.continuous;
    ear.interimResults = true;
    ear.maxAlternatives = 5;
    if (local) ear.processLocally = true;
    if (settings.withPhrases && !givePhrases(ear, phrases)) dispatch({ kind: 'phrases-refused' });
    try {
      ear.start();
    } catch {
      dispatch({ kind: 'start-failed', generation });
    }
  };

  return (effect) => {
    switch (effect.kind) {
      case 'make':
        try {
          device = new Engine();
          dispatch({ kind: 'made', failed: null });
        } catch (error) {
          dispatch({ kind: 'made', failed: String(error) });
        }
        return;
      case 'start':
        if (device) start(device, effect.generation, effect.settings);
        return;
      case 'end-gently':
        quietly(() => device?.stop());
        return;
      case 'abort':
        quietly(() => device?.abort());
        return;
      case 'discard': {
        const gone = device;
        device = null;
        if (!gone) return;
        letGo(gone);
        quietly(() => gone.abort());
      }
    }
  };
}

function listenTo(ear: Recogniser, generation: number, dispatch: (event: EarEvent) => void): void {
  ear.onstart = null;
  ear.onaudiostart = () => dispatch({ kind: 'audio', generation });
  ear.onaudioend = () => dispatch({ kind: 'audio-over', generation });
  ear.onresult = (event) => dispatch({ kind: 'results', generation, results: plainResults(event) });
  ear.onnomatch = () => dispatch({ kind: 'no-match', generation });
  ear.onerror = ({ error, message }) => dispatch({ kind: 'error', generation, code: error, message: message ?? '' });
  ear.onend = () => dispatch({ kind: 'ended', generation });
}

/** The engine may object to being stopped while nothing runs; a timer ends the session then. */
function quietly(action: () => void): void {
  try {
    action();
  } catch {
    // Nothing was running.
  }
}

function letGo(ear: Recogniser): void {
  ear.onstart = null;
  ear.onaudiostart = null;
  ear.onaudioend = null;
  ear.onresult = null;
  ear.onnomatch = null;
  ear.onerror = null;
  ear.onend = null;
}

/** Hands an engine the words to expect, where it knows of such; false: it refused them. */
function givePhrases(ear: Recogniser, phrases: readonly string[]): boolean {
  const Phrase = Reflect.get(globalThis, 'SpeechRecognitionPhrase') as
    | (new (
        text: string,
        boost: number,
      ) => unknown)
    | undefined;
  if (!Phrase || !('phrases' in ear)) return true;
  try {
    ear.phrases = phrases.map((text) => new Phrase(text, 2));
    return true;
  } catch {
    return false;
  }
}
