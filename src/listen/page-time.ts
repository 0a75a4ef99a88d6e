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

/**
 * Page time of a moment on the clock of the sound system, ms.
 *
 * `getOutputTimestamp` ties that clock to the page's. What it ties is the moment of output, so the latencies of output
 * are taken off. It is believed only where it agrees with what the two clocks show now: in WebKitGTK 2.50 its page time
 * runs twice as fast as the page (seen there, not documented). Without it the two clocks are read one after the other,
 * which is less steady by some tens of milliseconds.
 *
 * @param seconds on the clock of `clock.currentTime`, s
 */
export function pageTimeOf(
  seconds: number,
  clock: SoundClock,
  nowMs: number = performance.now(),
  useStamp: boolean = hasUsefulStamp(navigator.userAgent),
): number {
  const stamp = useStamp ? clock.getOutputTimestamp?.() : undefined;
  const { currentTime } = clock;
  if (stamp?.performanceTime && stamp.contextTime) {
    const zeroMs =
      stamp.performanceTime - stamp.contextTime * 1000 - ((clock.outputLatency || 0) + (clock.baseLatency || 0)) * 1000;
    if (Math.abs(zeroMs + currentTime * 1000 - nowMs) < believableMs) return zeroMs + seconds * 1000;
  }
  return nowMs - (currentTime - seconds) * 1000;
}
