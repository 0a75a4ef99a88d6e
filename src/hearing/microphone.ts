import type { CaptureMessage } from './capture.ts';
import type { TroubleKind, Utterance } from './ear.ts';
import { makeSoundTimes, type SoundTimes } from './page-time.ts';
import { NoSoundSource, openSoundSource, type SoundSource } from './sound-source.ts';

/**
 * The page's own microphone: opens it, runs the capture worklet, turns frames into page time, and notices when the
 * sound stops coming.
 */
export interface MicrophoneEvents {
  /** A sound began. */
  onset(onsetMs: number): void;
  /** What began came to nothing. */
  nothing(): void;
  /** `speech`: it sounds like a person. */
  utterance(utterance: Utterance, speech: boolean): void;
  /** All of the sound, stretch by stretch. */
  sound(stretch: SoundStretch): void;
  level(level: Level): void;
  /** Sound is (not) coming in. */
  live(live: boolean): void;
  trouble(kind: TroubleKind, stopped: boolean, cause?: string): void;
  recovered(kind: TroubleKind): void;
  devicesChanged(): void;
}

/** A stretch of the sound, mono, -1..1. */
export interface SoundStretch {
  readonly samples: Float32Array<ArrayBuffer>;
  readonly sampleRate: number;
  /** Page time of the first sample, ms, and its standard uncertainty. */
  readonly startMs: number;
  readonly uStartMs: number;
}

export interface Level {
  /** 0..1 of full scale, over a fifteenth of a second. */
  readonly rms: number;
  readonly peak: number;
  /** Level of the noise, dB of full scale; null before it is known. */
  readonly floorDb: number | null;
  /** A sound stands over the noise now. */
  readonly speaking: boolean;
}

export interface Microphone {
  /** Call in a tap. Resolves true when sound comes in; else the trouble was told. */
  open(): Promise<boolean>;
  /** In a tap: wakes a sound system that the browser put to sleep, or opens anew. */
  resume(): Promise<boolean>;
  close(): void;
  live(): boolean;
  /** The name of the device, once open. */
  label(): string;
}

/** Without a message from the worklet for so long, the microphone counts as silent, ms. */
const silentAfterMs = 2500;
/** Exact zeros for so long: a switch is off somewhere, ms. */
const mutedAfterMs = 8000;
/** Between two tries to have back a microphone that was lost, ms. */
const retryMs = 10_000;

export function makeMicrophone(events: MicrophoneEvents, newId: () => string): Microphone {
  let context: AudioContext | null = null;
  let times: SoundTimes | null = null;
  let source: SoundSource | null = null;
  let live = false;
  let wanted = false;
  let opening: Promise<boolean> | null = null;
  let watch: ReturnType<typeof setInterval> | undefined;
  let lastMessageMs = 0;
  let soundMs = 0;
  let lastTryMs = 0;
  const told = new Set<TroubleKind>();

  const tell = (kind: TroubleKind, stopped: boolean, cause?: string): void => {
    if (told.has(kind)) return;
    told.add(kind);
    events.trouble(kind, stopped, cause);
  };
  const recover = (...kinds: TroubleKind[]): void => {
    for (const kind of kinds) if (told.delete(kind)) events.recovered(kind);
  };
  const setLive = (next: boolean): void => {
    if (live === next) return;
    live = next;
    events.live(live);
    if (live) recover('microphone-lost', 'microphone-missing', 'microphone-refused', 'needs-tap');
  };

  /** Page time of a frame of the stream, ms. Mapped anew for each utterance: the two clocks drift. */
  const pageTime = (frame: number): { pageMs: number; uLagMs: number } =>
    context && times ? times.at(frame / context.sampleRate) : { pageMs: performance.now(), uLagMs: 0 };

  const onMessage = (message: CaptureMessage): void => {
    lastMessageMs = performance.now();
    if (!context) return;
    if (message.kind === 'level') onLevel(message);
    else reportSound(message, context.sampleRate, pageTime, events, newId);
  };

  const onLevel = (level: CaptureMessage & { readonly kind: 'level' }): void => {
    setLive(true);
    times?.look();
    if (level.peak > 0) {
      soundMs = lastMessageMs;
      recover('microphone-muted');
    } else if (lastMessageMs - soundMs > mutedAfterMs) tell('microphone-muted', false, 'only zeros');
    events.level({ rms: level.rms, peak: level.peak, floorDb: level.noiseDb, speaking: level.sounding });
  };

  const onEnded = (): void => {
    if (!wanted) return;
    dropSound();
    tell('microphone-lost', false, 'track ended');
  };

  const onDevices = (): void => {
    events.devicesChanged();
    if (wanted && !live && !opening && (told.has('microphone-lost') || told.has('microphone-missing'))) void open();
  };

  const onContextState = (): void => {
    if (!context || !wanted) return;
    if (context.state === 'running') {
      // While it stood still no sound was heard: that is no lag.
      times = makeSoundTimes(context);
      return;
    }
    // Calls and other programs interrupt; waking may work by itself, or want a tap.
    context.resume().catch(() => undefined);
  };

  const check = (): void => {
    if (!wanted || opening || !context) return;
    if (!source) {
      // A program that lets go of the microphone tells nobody: try now and then.
      if (told.has('microphone-lost') && performance.now() - lastTryMs > retryMs) void open();
      return;
    }
    if (performance.now() - lastMessageMs < silentAfterMs) return;
    setLive(false);
    if (context.state !== 'running') {
      context.resume().catch(() => undefined);
      tell('needs-tap', true, `sound system ${context.state}`);
    } else tell('microphone-lost', false, 'no sound arrives');
  };

  const dropSound = (): void => {
    source?.stop();
    source = null;
    setLive(false);
  };

  const open = (): Promise<boolean> => {
    wanted = true;
    if (live) return Promise.resolve(true);
    opening ??= tryOpen().finally(() => {
      opening = null;
    });
    return opening;
  };

  const tryOpen = async (): Promise<boolean> => {
    dropSound();
    lastTryMs = performance.now();
    watch ??= setInterval(check, 1000);
    if (!navigator.mediaDevices?.getUserMedia) {
      tell(
        globalThis.isSecureContext === false ? 'microphone-insecure' : 'microphone-refused',
        true,
        'no mediaDevices',
      );
      return false;
    }
    try {
      // Made in the tap: some browsers let only a tap start the sound system.
      context ??= new AudioContext({ latencyHint: 'interactive' });
      context.onstatechange = onContextState;
      source = await openSoundSource(context, context.resume(), () => wanted, {
        message: onMessage,
        ended: onEnded,
        muted: () => tell('microphone-muted', false, 'track muted'),
        unmuted: () => recover('microphone-muted'),
        workletFailed() {
          dropSound();
          tell('microphone-lost', false, 'the capture worklet failed');
        },
      });
    } catch (error) {
      if (error instanceof NoSoundSource) tell(error.kind, error.stopped, error.message);
      else tell('microphone-lost', true, String(error));
      return false;
    }
    if (!source) return false;
    times = makeSoundTimes(context);
    const now = performance.now();
    lastMessageMs = now;
    soundMs = now;
    navigator.mediaDevices.ondevicechange = onDevices;
    return untilLive();
  };

  const untilLive = async (): Promise<boolean> => {
    for (let waited = 0; waited < 3000 && !live && wanted; waited += 50)
      await new Promise((resolve) => setTimeout(resolve, 50));
    if (!live && wanted) {
      if (context?.state === 'running') tell('microphone-lost', false, 'no sound arrives');
      else tell('needs-tap', true, `sound system ${context?.state}`);
    }
    return live;
  };

  return {
    open,
    async resume() {
      wanted = true;
      // The person acts on what was told: told again if it is still so.
      recover(...told);
      await context?.resume().catch(() => undefined);
      if (source?.active()) return untilLive();
      return open();
    },
    close() {
      wanted = false;
      clearInterval(watch);
      watch = undefined;
      if (navigator.mediaDevices) navigator.mediaDevices.ondevicechange = null;
      dropSound();
      told.clear();
      const old = context;
      context = null;
      times = null;
      if (old) {
        old.onstatechange = null;
        void old.close().catch(() => undefined);
      }
    },
    live: () => live,
    label: () => source?.label ?? '',
  };
}

/** Passes on what the worklet found in the sound, with its frames as page time. */
function reportSound(
  message: Exclude<CaptureMessage, { readonly kind: 'level' }>,
  sampleRate: number,
  pageTime: (frame: number) => { pageMs: number; uLagMs: number },
  events: MicrophoneEvents,
  newId: () => string,
): void {
  switch (message.kind) {
    case 'sound': {
      const { pageMs: startMs, uLagMs: uStartMs } = pageTime(message.frame);
      events.sound({ samples: message.samples, sampleRate, startMs, uStartMs });
      return;
    }
    case 'onset':
      events.onset(pageTime(message.frame).pageMs);
      return;
    case 'nothing':
      events.nothing();
      return;
    case 'utterance': {
      const { pageMs: onsetMs, uLagMs } = pageTime(message.onsetFrame);
      events.utterance(
        {
          id: newId(),
          onsetMs,
          endMs: onsetMs + ((message.endFrame - message.onsetFrame) / sampleRate) * 1000,
          uOnsetMs: Math.hypot(message.uOnsetS * 1000, uLagMs),
          samples: message.samples,
          sampleRate,
          onsetIndex: message.onsetFrame - message.firstFrame,
          clipped: message.clipped,
        },
        message.likely,
      );
    }
  }
}
