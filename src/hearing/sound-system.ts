import { makeSoundTimes, type SoundTimes } from './page-time.ts';

/** The browser's sound system and its clock beside the page's. */
export interface SoundSystem {
  /**
   * Made on the first call. Call it in a tap: some browsers let only a tap start the sound system.
   * @throws where the browser makes none
   */
  start(): AudioContext;
  /** Null before it was made and after it was closed. */
  state(): AudioContextState | null;
  sampleRate(): number | null;
  wake(): Promise<void>;
  /** The sound comes from now on: its clock is read anew. */
  begun(): void;
  /** Reads both clocks; they drift. */
  look(): void;
  /** Page time of a frame of the stream, ms, and what it may lag by. */
  pageTime(frame: number): { readonly pageMs: number; readonly uLagMs: number };
  close(): void;
}

/** @param wanted asked when its state changes; when false, it may sleep */
export function makeSoundSystem(wanted: () => boolean): SoundSystem {
  let context: AudioContext | null = null;
  let times: SoundTimes | null = null;
  const begun = (): void => {
    if (context) times = makeSoundTimes(context);
  };
  const wake = async (): Promise<void> => {
    await context?.resume().catch(() => undefined);
  };
  const onState = (): void => {
    if (!context || !wanted()) return;
    // While it stood still no sound was heard: that is no lag.
    if (context.state === 'running') begun();
    // Calls and other programs interrupt; waking may work by itself, or want a tap.
    else void wake();
  };
  return {
    start() {
      context ??= new AudioContext({ latencyHint: 'interactive' });
      context.onstatechange = onState;
      return context;
    },
    state: () => context?.state ?? null,
    sampleRate: () => context?.sampleRate ?? null,
    wake,
    begun,
    look: () => times?.look(),
    pageTime: (frame) =>
      context && times ? times.at(frame / context.sampleRate) : { pageMs: performance.now(), uLagMs: 0 },
    close() {
      const old = context;
      context = null;
      times = null;
      if (!old) return;
      old.onstatechange = null;
      void old.close().catch(() => undefined);
    },
  };
}
