import type { Heard, Utterance } from './ear.ts';
import { type FollowingEvents, makeFollowing } from './following.ts';
import { inTurn } from './in-turn.ts';
import { browserPlatform, type ListeningOptions, makeDevices } from './listening-devices.ts';
import {
  type CoreEvent,
  type EarChoice,
  isBusy,
  type ListeningEffect,
  type ListeningEvent,
  type ListeningState,
  type ListeningWorld,
  listeningStep,
  newListening,
  seenOf,
} from './listening-step.ts';
import { isOverSpeech } from './own-speech.ts';
import type { Clock } from './recogniser.ts';

/**
 * The one door of hearing: microphone, ears and pairing behind a few words. What comes out is calls: a moment, the
 * sound of it, and what ears made of it. What happens is in `listening-step.ts`; this carries it out.
 */
export interface Listening {
  /** Call in the tap. Resolves when sound or words come in, or when it is clear that they do not (a trouble tells). */
  open(): Promise<void>;
  /** Call in a tap, after a trouble that stopped something. */
  resume(): Promise<void>;
  close(): void;
  state(): ListeningState;
  subscribe(listener: (event: ListeningEvent) => void): () => void;
  choose(ears: EarChoice): void;
  /**
   * The tool is about to speak: lets the person finish, stops the browser's ear, and marks calls from now on as made
   * during its speech (`HeardCall.during`); none is dropped. Resolves when it is quiet enough to speak. Call the result when
   * the speech is over.
   * @param bargeIn called when the person begins to speak over it, where the tool's own voice is known not to be heard
   */
  hush(spoken: string, bargeIn?: () => void): Promise<() => void>;
  /** A tone of the tool sounds from now for so long, ms: a short sound within it is no call. */
  cue(lengthMs: number): void;
  /** The same door for a simulated caller. While it is open, what the real ears hear is no call. */
  readonly inject: {
    open(): void;
    close(): void;
    utterance(utterance: Utterance): void;
    heard(heard: Heard): void;
  };
}

/** The tool waits at most so long for the person to finish before it speaks, ms. */
const letFinishMs = 2000;

export function makeListening(options: ListeningOptions): Listening {
  const platform = options.platform ?? browserPlatform();
  const { clock } = platform;
  const prefix = Math.random().toString(36).slice(2, 8);
  const setting = { recogniser: platform.Recogniser !== null, oneMicrophoneOwner: platform.oneMicrophoneOwner };
  let core = newListening(options.ears, setting, `${prefix}-w`);
  const listeners = new Set<(event: ListeningEvent) => void>();

  const world = (): ListeningWorld => ({
    nowMs: clock.now(),
    ownEar: following.phase(),
    ownEarLoaded: following.loaded(),
  });

  const dispatch = inTurn<CoreEvent>((event) => {
    const step = listeningStep(core, event, world());
    core = step.state;
    for (const effect of step.effects) carryOut(effect);
  });

  const emit = (event: ListeningEvent): void => {
    for (const listener of [...listeners]) listener(event);
  };

  const following = makeFollowing(clock, options.makeOwnEar, eventsInto(dispatch));
  const devices = makeDevices(options, platform, prefix, dispatch, {
    sound(stretch) {
      const endMs = stretch.startMs + (1000 * stretch.samples.length) / stretch.sampleRate;
      if (!core.simulated) following.sound(stretch, isOverSpeech(core.ownVoice, stretch.startMs, endMs));
    },
  });
  const ownSpeech = makeOwnSpeech(clock, dispatch, {
    busy: () => isBusy(core, world()),
    pause: devices.pause,
    number: () => core.ownVoice.begun,
  });

  const carryOut = (effect: ListeningEffect): void => {
    switch (effect.kind) {
      case 'emit':
        emit(effect.event);
        return;
      case 'changed':
        emit({ kind: 'state', state: seenOf(core, world()) });
        return;
      case 'change-in':
        clock.after(effect.ms, () => dispatch({ kind: 'changed' }));
        return;
      case 'open-own-ear':
        void following.open();
        return;
      case 'close-own-ear':
        following.close();
        return;
      case 'follow':
        following.utterance(effect.utterance, effect.speech);
        return;
      case 'cut-short':
        ownSpeech.cutShort(effect.speech);
        return;
      default:
        devices.carryOut(effect);
    }
  };

  const open = async (): Promise<void> => {
    if (core.phase !== 'closed') return;
    dispatch({ kind: 'open' });
    await devices.opening();
    dispatch({ kind: 'opened' });
  };

  return {
    state: () => seenOf(core, world()),
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    open,
    async resume() {
      if (core.phase === 'closed') {
        await open();
        return;
      }
      dispatch({ kind: 'resume' });
      await devices.openingMicrophone();
      dispatch({ kind: 'resumed' });
    },
    close: () => dispatch({ kind: 'close' }),
    choose: (ears) => dispatch({ kind: 'choose', ears }),
    hush: ownSpeech.hush,
    cue: (lengthMs) => dispatch({ kind: 'tone', lengthMs }),
    inject: {
      open: () => dispatch({ kind: 'simulate', on: true }),
      close: () => dispatch({ kind: 'simulate', on: false }),
      utterance: (utterance) => dispatch({ kind: 'utterance', utterance, speech: true }),
      heard: (heard) => dispatch({ kind: 'heard', heard }),
    },
  };
}

const eventsInto = (dispatch: (event: CoreEvent) => void): FollowingEvents => ({
  call: (utterance, call, { name }) => dispatch({ kind: 'found', utterance, call, ear: name }),
  hearing: (sinceMs) => dispatch({ kind: 'words-since', sinceMs }),
  room: (level) => dispatch({ kind: 'room', level }),
  released: (utterance, speech) => dispatch({ kind: 'utterance', utterance, speech }),
  trouble: (kind, stopped, cause) => dispatch({ kind: 'trouble', trouble: { kind, stopped, cause } }),
  recovered: (trouble) => dispatch({ kind: 'recovered', trouble }),
  changed: () => dispatch({ kind: 'changed' }),
});

/** Lets the tool speak when nobody else does. */
function makeOwnSpeech(
  clock: Clock,
  dispatch: (event: CoreEvent) => void,
  /** `number`: of the next speech. */
  is: { busy(): boolean; pause(): Promise<void>; number(): number },
): { readonly hush: Listening['hush']; cutShort(speech: number): void } {
  const bargeIns = new Map<number, () => void>();

  /** Until nobody speaks and no words are waited for, but not for ever. */
  const untilFinished = async (): Promise<void> => {
    const untilMs = clock.now() + letFinishMs;
    while (is.busy() && clock.now() < untilMs) await new Promise<void>((resolve) => clock.after(50, resolve));
  };

  return {
    cutShort: (speech) => bargeIns.get(speech)?.(),
    async hush(spoken, bargeIn) {
      await untilFinished();
      await is.pause();
      const id = is.number();
      if (bargeIn) bargeIns.set(id, bargeIn);
      dispatch({ kind: 'speech-began', spoken });
      let over = false;
      return () => {
        if (over) return;
        over = true;
        bargeIns.delete(id);
        dispatch({ kind: 'speech-over', id });
      };
    },
  };
}
