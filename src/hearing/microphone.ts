import type { CaptureMessage } from './capture.ts';
import type { Utterance } from './ear.ts';
import { makeSoundWatch, type SoundWatch, type WatchEvents } from './microphone-watch.ts';
import { NoSoundSource, openSoundSource, type SoundSource } from './sound-source.ts';
import { makeSoundSystem, type SoundSystem } from './sound-system.ts';

/**
 * The page's own microphone: opens it, runs the capture worklet, turns frames into page time, and notices when the
 * sound stops coming.
 */
export interface MicrophoneEvents extends WatchEvents {
  /** A sound began. */
  onset(onsetMs: number): void;
  /** What began came to nothing. */
  nothing(): void;
  /** `speech`: it sounds like a person. */
  utterance(utterance: Utterance, speech: boolean): void;
  /** All of the sound, stretch by stretch. */
  sound(stretch: SoundStretch): void;
  level(level: Level): void;
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

export function makeMicrophone(events: MicrophoneEvents, newId: () => string): Microphone {
  const watch = makeSoundWatch(events);
  const { tell, live } = watch;
  let wanted = false;
  const system = makeSoundSystem(() => wanted);
  let source: SoundSource | null = null;
  let opening: Promise<boolean> | null = null;
  let checks: ReturnType<typeof setInterval> | undefined;

  const onDevices = (): void => {
    events.devicesChanged();
    if (wanted && !live() && !opening && watch.mayComeBack()) void open();
  };

  const check = (): void => {
    const state = system.state();
    if (!wanted || opening || !state) return;
    if (!source) {
      if (watch.isTryDue(performance.now())) void open();
    } else if (watch.isSilent(performance.now())) {
      if (state !== 'running') void system.wake();
      watch.stopped(state);
    }
  };

  const dropSound = (): void => {
    source?.stop();
    source = null;
    watch.stopped();
  };
  const lose = (cause: string): void => {
    dropSound();
    tell('microphone-lost', false, cause);
  };

  const open = (): Promise<boolean> => {
    wanted = true;
    if (live()) return Promise.resolve(true);
    opening ??= tryOpen().finally(() => {
      opening = null;
    });
    return opening;
  };

  const tryOpen = async (): Promise<boolean> => {
    dropSound();
    watch.tries(performance.now());
    checks ??= setInterval(check, 1000);
    if (!navigator.mediaDevices?.getUserMedia) {
      tell(isSecureContext ? 'microphone-refused' : 'microphone-insecure', true, 'no mediaDevices');
      return false;
    }
    try {
      const context = system.start();
      source = await openSoundSource(context, context.resume(), () => wanted, {
        message: (message) => report(message, system, watch, events, newId),
        ended: () => wanted && lose('track ended'),
        muted: () => tell('microphone-muted', false, 'track muted'),
        unmuted: () => watch.recover('microphone-muted'),
        workletFailed: () => lose('the capture worklet failed'),
      });
    } catch (error) {
      if (error instanceof NoSoundSource) tell(error.kind, error.stopped, error.message);
      else tell('microphone-lost', true, String(error));
      return false;
    }
    if (!source) return false;
    system.begun();
    watch.opened(performance.now());
    navigator.mediaDevices.ondevicechange = onDevices;
    return untilLive();
  };

  const untilLive = async (): Promise<boolean> => {
    await waitFor(() => live() || !wanted, 3000);
    if (!live() && wanted) watch.stopped(system.state() ?? 'closed');
    return live();
  };

  return {
    open,
    async resume() {
      wanted = true;
      watch.askedAgain();
      await system.wake();
      return source?.active() ? untilLive() : open();
    },
    close() {
      wanted = false;
      clearInterval(checks);
      checks = undefined;
      if (navigator.mediaDevices) navigator.mediaDevices.ondevicechange = null;
      dropSound();
      watch.forget();
      system.close();
    },
    live,
    label: () => source?.label ?? '',
  };
}

async function waitFor(done: () => boolean, mostMs: number): Promise<void> {
  for (let waited = 0; waited < mostMs && !done(); waited += 50)
    await new Promise((resolve) => setTimeout(resolve, 50));
}

/** Passes on what the worklet found in the sound, with its frames as page time. */
function report(
  message: CaptureMessage,
  system: SoundSystem,
  watch: SoundWatch,
  events: MicrophoneEvents,
  newId: () => string,
): void {
  watch.heard(performance.now());
  const sampleRate = system.sampleRate();
  if (sampleRate === null) return;
  switch (message.kind) {
    case 'level': {
      const { rms, peak, noiseDb: floorDb, sounding: speaking } = message;
      watch.level(peak);
      system.look();
      events.level({ rms, peak, floorDb, speaking });
      return;
    }
    case 'sound': {
      const { pageMs: startMs, uLagMs: uStartMs } = system.pageTime(message.frame);
      events.sound({ samples: message.samples, sampleRate, startMs, uStartMs });
      return;
    }
    case 'onset':
      events.onset(system.pageTime(message.frame).pageMs);
      return;
    case 'nothing':
      events.nothing();
      return;
    case 'utterance': {
      const { pageMs: onsetMs, uLagMs } = system.pageTime(message.onsetFrame);
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
