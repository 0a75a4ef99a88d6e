/** What is needed of an AudioContext to tell the page time of its sound. */
export type SoundClock = Pick<AudioContext, 'currentTime' | 'baseLatency' | 'outputLatency'> & {
  getOutputTimestamp?(): AudioTimestamp;
};

/**
 * Whether a browser may be asked for the stamp of its sound system. Firefox may not: its stamp is its clock less its
 * latency, so it tells nothing new, and the first question after that latency can lock the page up for good while sound
 * comes in (seen in Firefox 153 with PulseAudio, where the question and the sound wait for each other).
 */
export const hasUsefulStamp = (userAgent: string): boolean => !userAgent.includes('Firefox/');

/** The stamp of a sound system may be off by so much from the page's own clock before it is no longer believed, ms. */
const believableMs = 300;

/** Clocks of sound systems and of pages differ by less than this (common practice, no source), ms a ms. */
const skew = 2e-4;
/** A sound system that falls back by so much at once has slept or was stopped: what it missed is no lag, ms. */
const missedMs = 1000;
/** Two clocks read one after the other differ by so much in any browser that keeps up, ms. */
const unsteadyMs = 40;

export interface SoundTimes {
  /** Reads the clocks; to be called often, since only the quickest readings are near the truth. */
  look(): void;
  /** Page time of a moment on the clock of the sound system, ms, and by how much that is uncertain for its lag. */
  at(seconds: number): { readonly pageMs: number; readonly uLagMs: number };
}

/**
 * Page times of sound.
 *
 * `getOutputTimestamp` ties the clock of the sound system to the page's. What it ties is the moment of output, so the
 * latencies of output are taken off. It is believed only where it agrees with what the two clocks show now: in WebKitGTK
 * 2.50 its page time runs twice as fast as the page (seen there, not documented).
 *
 * Without it the two clocks are read one after the other. Where a busy machine lets the sound queue up (seen in Firefox
 * 153 and WebKitGTK 2.50), the clock of the sound system falls back behind the page's, by more and more, and a moment
 * taken from what they show now would be late by as much. So the least distance between them that was ever seen counts,
 * but for the skew of the clocks; how far they are from it now is the uncertainty, since sound may also have been lost.
 */
export function makeSoundTimes(
  clock: SoundClock,
  now: () => number = () => performance.now(),
  useStamp: boolean = hasUsefulStamp(navigator.userAgent),
): SoundTimes {
  let seen: { least: number; latest: number; lookedMs: number } | null = null;

  /** Page time at which the sound system's clock stood at zero, ms. */
  const look = (): { zeroMs: number; uLagMs: number } => {
    const stamp = useStamp ? clock.getOutputTimestamp?.() : undefined;
    const nowMs = now();
    const latest = nowMs - clock.currentTime * 1000;
    if (stamp?.performanceTime && stamp.contextTime) {
      const latencyMs = ((clock.outputLatency || 0) + (clock.baseLatency || 0)) * 1000;
      const zeroMs = stamp.performanceTime - stamp.contextTime * 1000 - latencyMs;
      if (Math.abs(zeroMs - latest) < believableMs) return { zeroMs, uLagMs: 0 };
    }
    const least =
      !seen || latest - seen.latest > missedMs ? latest : Math.min(latest, seen.least + (nowMs - seen.lookedMs) * skew);
    seen = { least, latest, lookedMs: nowMs };
    const lag = latest - least;
    // The truth lies somewhere between the two: a rectangle that begins at what is given.
    return { zeroMs: least, uLagMs: lag < unsteadyMs ? 0 : lag / Math.sqrt(3) };
  };

  return {
    look,
    at(seconds) {
      const { zeroMs, uLagMs } = look();
      return { pageMs: zeroMs + seconds * 1000, uLagMs };
    },
  };
}
