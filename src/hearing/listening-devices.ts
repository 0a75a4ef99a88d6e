import {
  type AttemptNote,
  findRecogniser,
  hasOneMicrophoneOwner,
  makeAttemptNote,
  makeSurroundings,
  prepareLocally,
  wantsOneShot,
} from './browser-ear.ts';
import type { FollowingEar } from './ear.ts';
import type { CoreEvent, EarChoice, ListeningEffect } from './listening-step.ts';
import { type Microphone, type MicrophoneEvents, makeMicrophone } from './microphone.ts';
import { type Clock, pageClock, type RecogniserConstructor } from './recogniser.ts';
import { makeSupervisor, type Supervisor, type Surroundings } from './supervisor.ts';

export interface ListeningOptions {
  /** Both off: sound marks. */
  readonly ears: EarChoice;
  /** Makes the embedded ear when it is first wanted. */
  readonly makeOwnEar?: () => Promise<FollowingEar>;
  /** BCP-47; default en-US. */
  readonly language?: string;
  /** Words to expect, where an engine takes them. */
  readonly phrases?: readonly string[];
  readonly platform?: Platform;
}

/** Everything that listening takes from its surroundings; tests and the rehearsal bring their own. */
export interface Platform {
  readonly clock: Clock;
  makeMicrophone(events: MicrophoneEvents, newId: () => string): Microphone;
  readonly Recogniser: RecogniserConstructor | null;
  readonly surroundings: Surroundings;
  /** Only one of page and recogniser can have the microphone. */
  readonly oneMicrophoneOwner: boolean;
  readonly oneShot: boolean;
  readonly attemptNote: AttemptNote;
  /** Tells when the page is hidden or shown; gives the way to stop. */
  onVisibility(listener: (hidden: boolean) => void): () => void;
}

type OnDevices = Exclude<
  ListeningEffect,
  { kind: 'emit' | 'changed' | 'change-in' | 'open-own-ear' | 'close-own-ear' | 'follow' | 'cut-short' }
>;

/** What listening owns of the page: the microphone, the browser's ear, a timer and the ear for hidden and shown. */
interface Devices {
  carryOut(effect: OnDevices): void;
  /** Resolves when what was asked to open is open, or has told why not. */
  opening(): Promise<unknown>;
  openingMicrophone(): Promise<unknown>;
  /** Stops the browser's ear for the tool to speak. */
  pause(): Promise<void>;
}

export function makeDevices(
  options: ListeningOptions,
  platform: Platform,
  prefix: string,
  dispatch: (event: CoreEvent) => void,
  on: Pick<MicrophoneEvents, 'sound'>,
): Devices {
  const { clock, Recogniser } = platform;
  const language = options.language ?? 'en-US';
  let supervisor: Supervisor | null = null;
  let microphone: Microphone | null = null;
  let stopWatching: (() => void) | null = null;
  let cancelTick: (() => void) | null = null;
  let openingMicrophone: Promise<unknown> = Promise.resolve();
  let openingWords: Promise<unknown> = Promise.resolve();
  let ids = 0;

  const clearTick = (): void => {
    cancelTick?.();
    cancelTick = null;
  };

  const openMicrophone = (): Promise<unknown> => {
    microphone ??= platform.makeMicrophone({ ...eventsInto(dispatch), ...on }, () => `${prefix}-${++ids}`);
    return microphone.open();
  };

  const makeBrowserEar = (local: boolean): Supervisor | null =>
    Recogniser &&
    makeSupervisor({
      Recogniser,
      clock,
      language,
      phrases: options.phrases ?? [],
      local,
      oneShot: platform.oneShot,
      surroundings: platform.surroundings,
      emit: (event) => dispatch({ kind: 'browser', event }),
    });

  const carryOut = (effect: OnDevices): void => {
    switch (effect.kind) {
      case 'set-tick':
        clearTick();
        cancelTick = clock.after(effect.ms, () => {
          cancelTick = null;
          dispatch({ kind: 'tick' });
        });
        return;
      case 'clear-tick':
        clearTick();
        return;
      case 'watch-page':
        stopWatching = platform.onVisibility((hidden) => dispatch({ kind: 'visibility', hidden }));
        return;
      case 'unwatch-page':
        stopWatching?.();
        stopWatching = null;
        return;
      case 'open-microphone':
        openingMicrophone = openMicrophone();
        return;
      case 'resume-microphone':
        openingMicrophone = microphone?.resume() ?? Promise.resolve();
        return;
      case 'close-microphone':
        microphone?.close();
        microphone = null;
        return;
      case 'prepare':
        if (Recogniser)
          openingWords = prepareLocally(Recogniser, language, platform.attemptNote).then((readiness) =>
            dispatch({ kind: 'prepared', readiness }),
          );
        return;
      case 'make-browser-ear':
        supervisor = makeBrowserEar(effect.local);
        return;
      case 'drop-browser-ear':
        supervisor?.dispose();
        supervisor = null;
        return;
      case 'supervisor':
        supervisor?.[effect.act]();
        return;
      case 'supervisor-visibility':
        supervisor?.visibility(effect.hidden);
        return;
      case 'supervisor-sound':
        supervisor?.soundBegan(effect.onsetMs);
    }
  };

  return {
    carryOut,
    opening: () => Promise.all([openingMicrophone, openingWords]),
    openingMicrophone: () => openingMicrophone,
    pause: async () => supervisor?.pause(),
  };
}

const eventsInto = (dispatch: (event: CoreEvent) => void): Omit<MicrophoneEvents, 'sound'> => ({
  onset: (onsetMs) => dispatch({ kind: 'onset', onsetMs }),
  nothing: () => dispatch({ kind: 'nothing' }),
  utterance: (utterance, speech) => dispatch({ kind: 'sounded', utterance, speech }),
  level: (level) => dispatch({ kind: 'level', level }),
  live: (live) => dispatch({ kind: 'live', live }),
  trouble: (kind, stopped, cause) =>
    dispatch({ kind: 'trouble', trouble: { kind, stopped, ...(cause ? { cause } : {}) } }),
  recovered: (trouble) => dispatch({ kind: 'recovered', trouble }),
  devicesChanged: () => dispatch({ kind: 'devices-changed' }),
});

/** Hearing as this browser offers it. */
export function browserPlatform(): Platform {
  return {
    clock: pageClock,
    makeMicrophone,
    Recogniser: findRecogniser(),
    surroundings: makeSurroundings(),
    oneMicrophoneOwner: hasOneMicrophoneOwner(),
    oneShot: wantsOneShot(),
    attemptNote: makeAttemptNote(),
    onVisibility(listener) {
      const tell = (): void => listener(document.visibilityState === 'hidden');
      document.addEventListener('visibilitychange', tell);
      return () => document.removeEventListener('visibilitychange', tell);
    },
  };
}
