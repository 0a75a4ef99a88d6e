import type { CaptureMessage } from './capture.ts';
import type { TroubleKind, Utterance } from './ear.ts';
import { makeSoundTimes, type SoundTimes } from './page-time.ts';

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
  readonly samples: Float32Array;
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
  let stream: MediaStream | null = null;
  let node: AudioWorkletNode | null = null;
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
    switch (message.kind) {
      case 'level':
        setLive(true);
        times?.look();
        if (message.peak > 0) {
          soundMs = lastMessageMs;
          recover('microphone-muted');
        } else if (lastMessageMs - soundMs > mutedAfterMs) tell('microphone-muted', false, 'only zeros');
        events.level({ rms: message.rms, peak: message.peak, floorDb: message.noiseDb, speaking: message.sounding });
        return;
      case 'sound': {
        const { pageMs: startMs, uLagMs: uStartMs } = pageTime(message.frame);
        events.sound({ samples: message.samples, sampleRate: context.sampleRate, startMs, uStartMs });
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
            endMs: onsetMs + ((message.endFrame - message.onsetFrame) / context.sampleRate) * 1000,
            uOnsetMs: Math.hypot(message.uOnsetS * 1000, uLagMs),
            samples: message.samples,
            sampleRate: context.sampleRate,
            onsetIndex: message.onsetFrame - message.firstFrame,
            clipped: message.clipped,
          },
          message.likely,
        );
      }
    }
  };

  const onTrackEnded = (): void => {
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
    if (!stream) {
      // Another program that lets go of the microphone tells nobody: try now and then.
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
    node?.port.postMessage('stop');
    node?.disconnect();
    node = null;
    for (const track of stream?.getTracks() ?? []) {
      track.onended = null;
      track.onmute = null;
      track.onunmute = null;
      track.stop();
    }
    stream = null;
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
      tell('microphone-refused', true, 'no mediaDevices: insecure address?');
      return false;
    }
    // Made in the tap: some browsers let only a tap start the sound system.
    context ??= new AudioContext({ latencyHint: 'interactive' });
    context.onstatechange = onContextState;
    const waking = context.resume();
    const address = import('./capture-worklet-address.ts').then(({ captureWorkletAddress }) => captureWorkletAddress);
    try {
      // The browser's own clean-up of speech shifts and blurs beginnings: off.
      stream = await navigator.mediaDevices.getUserMedia({
        audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false },
      });
    } catch (error) {
      const name = error instanceof DOMException ? error.name : String(error);
      if (name === 'NotAllowedError' || name === 'SecurityError') tell('microphone-refused', true, name);
      else if (name === 'NotReadableError' || name === 'AbortError') tell('microphone-lost', false, name);
      else tell('microphone-missing', true, name);
      return false;
    }
    if (!wanted) {
      dropSound();
      return false;
    }
    const track = stream.getAudioTracks()[0];
    if (!track) {
      tell('microphone-missing', true, 'no audio track');
      return false;
    }
    track.onended = onTrackEnded;
    track.onmute = () => tell('microphone-muted', false, 'track muted');
    track.onunmute = () => recover('microphone-muted');
    try {
      await loadWorklet(context, await address);
      await Promise.race([waking, new Promise((resolve) => setTimeout(resolve, 1000))]);
    } catch (error) {
      tell('microphone-lost', true, String(error));
      dropSound();
      return false;
    }
    node = new AudioWorkletNode(context, 'capture', {
      numberOfInputs: 1,
      numberOfOutputs: 1,
      channelCount: 1,
      channelCountMode: 'explicit',
    });
    const made = node;
    node.port.onmessage = (event: MessageEvent<CaptureMessage>) => {
      // What a microphone of before still had to say is over.
      if (node === made) onMessage(event.data);
    };
    node.onprocessorerror = () => {
      dropSound();
      tell('microphone-lost', false, 'the capture worklet failed');
    };
    const source = context.createMediaStreamSource(stream);
    source.connect(node);
    // It gives no sound, but what leads nowhere is not run in every browser.
    node.connect(context.destination);
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
      if (node && stream?.active) return untilLive();
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
    label: () => stream?.getAudioTracks()[0]?.label ?? '',
  };
}

const loaded = new WeakSet<BaseAudioContext>();

async function loadWorklet(context: AudioContext, address: string): Promise<void> {
  if (loaded.has(context)) return;
  await context.audioWorklet.addModule(address);
  loaded.add(context);
}
