import type { CaptureMessage } from './capture.ts';
import type { TroubleKind } from './ear.ts';

/** One opened microphone: the browser's stream, and the capture worklet that listens to it. */
export interface SoundSource {
  /** The name of the device. */
  readonly label: string;
  /** Whether the device still gives the stream. */
  active(): boolean;
  /** Lets go of the device. Nothing is reported afterwards. */
  stop(): void;
}

export interface SourceEvents {
  message(message: CaptureMessage): void;
  /** The device was unplugged, or another program took it. */
  ended(): void;
  muted(): void;
  unmuted(): void;
  workletFailed(): void;
}

/** Why no microphone was opened; `stopped`: it will not come back by itself. */
export class NoSoundSource extends Error {
  override readonly name = 'NoSoundSource';
  constructor(
    readonly kind: TroubleKind,
    readonly stopped: boolean,
    why: string,
  ) {
    super(why);
  }
}

/**
 * Asks the browser for a microphone and runs the capture worklet on it.
 *
 * @param waking resolves once the sound system runs; waited for one second at most
 * @param wanted asked after each wait; where it is false by then, the device is let go of
 * @returns null when it is not wanted any more
 * @throws NoSoundSource
 */
export async function openSoundSource(
  context: AudioContext,
  waking: Promise<void>,
  wanted: () => boolean,
  on: SourceEvents,
): Promise<SoundSource | null> {
  const address = import('./capture-worklet-address.ts').then(({ captureWorkletAddress }) => captureWorkletAddress);
  const stream = await askForStream();
  const letGo = (): void => {
    for (const track of stream.getTracks()) {
      track.onended = null;
      track.onmute = null;
      track.onunmute = null;
      track.stop();
    }
  };
  if (!wanted()) {
    letGo();
    return null;
  }
  const track = stream.getAudioTracks()[0];
  if (!track) throw new NoSoundSource('microphone-missing', true, 'no audio track');
  track.onended = on.ended;
  track.onmute = on.muted;
  track.onunmute = on.unmuted;
  let node: AudioWorkletNode;
  try {
    await loadWorklet(context, await address);
    await Promise.race([waking, new Promise((resolve) => setTimeout(resolve, 1000))]);
    if (!wanted() || track.readyState === 'ended') {
      letGo();
      return null;
    }
    node = listenTo(context, stream);
  } catch (error) {
    letGo();
    throw new NoSoundSource('microphone-lost', true, String(error));
  }
  let stopped = false;
  node.port.onmessage = (event: MessageEvent<CaptureMessage>) => {
    if (!stopped) on.message(event.data);
  };
  node.onprocessorerror = on.workletFailed;
  return {
    label: track.label,
    active: () => stream.active,
    stop() {
      stopped = true;
      node.port.postMessage('stop');
      node.disconnect();
      letGo();
    },
  };
}

async function askForStream(): Promise<MediaStream> {
  try {
    // The browser's own clean-up of speech shifts and blurs beginnings: off.
    return await navigator.mediaDevices.getUserMedia({
      audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false },
    });
  } catch (error) {
    const name = error instanceof DOMException ? error.name : String(error);
    if (name === 'NotAllowedError' || name === 'SecurityError')
      throw new NoSoundSource('microphone-refused', true, name);
    // Another program has it.
    if (name === 'NotReadableError' || name === 'AbortError') throw new NoSoundSource('microphone-lost', false, name);
    throw new NoSoundSource('microphone-missing', true, name);
  }
}

function listenTo(context: AudioContext, stream: MediaStream): AudioWorkletNode {
  const node = new AudioWorkletNode(context, 'capture', {
    numberOfInputs: 1,
    numberOfOutputs: 1,
    channelCount: 1,
    channelCountMode: 'explicit',
  });
  context.createMediaStreamSource(stream).connect(node);
  // It gives no sound, but some browsers do not run a node that is connected to nothing.
  node.connect(context.destination);
  return node;
}

const loaded = new WeakSet<BaseAudioContext>();

async function loadWorklet(context: AudioContext, address: string): Promise<void> {
  if (loaded.has(context)) return;
  await context.audioWorklet.addModule(address);
  loaded.add(context);
}
