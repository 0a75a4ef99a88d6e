import type { TroubleKind } from './ear.ts';

/** What somebody who watches the microphone hears of. */
export interface WatchEvents {
  /** Sound is (not) coming in. */
  live(live: boolean): void;
  trouble(kind: TroubleKind, stopped: boolean, cause?: string): void;
  recovered(kind: TroubleKind): void;
}

export type SoundWatch = ReturnType<typeof makeSoundWatch>;

/** Without a message from the worklet for so long, the microphone counts as silent, ms. */
const silentAfterMs = 2500;
/** Exact zeros for so long: a switch is off somewhere, ms. */
const mutedAfterMs = 8000;
/** Between two tries to have back a microphone that was lost, ms. */
const retryMs = 10_000;

/** Whether sound comes in, and each trouble said once for as long as it lasts. Times in ms of one clock, from outside. */
export function makeSoundWatch(events: WatchEvents) {
  const told = new Set<TroubleKind>();
  let live = false;
  let lastMessageMs = 0;
  /** Of the last message with anything but exact zeros. */
  let soundMs = 0;
  let lastTryMs = 0;

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

  return {
    tell,
    recover,
    live: (): boolean => live,
    /** Somebody tries to open the microphone. */
    tries(nowMs: number): void {
      lastTryMs = nowMs;
    },
    /** It is open: from now on messages are due. */
    opened(nowMs: number): void {
      lastMessageMs = nowMs;
      soundMs = nowMs;
    },
    heard(nowMs: number): void {
      lastMessageMs = nowMs;
    },
    /** The last message was a level. */
    level(peak: number): void {
      setLive(true);
      if (peak > 0) {
        soundMs = lastMessageMs;
        recover('microphone-muted');
      } else if (lastMessageMs - soundMs > mutedAfterMs) tell('microphone-muted', false, 'only zeros');
    },
    isSilent: (nowMs: number): boolean => nowMs - lastMessageMs >= silentAfterMs,
    /** No sound comes in. With the sound system's state: says why, as far as that tells. */
    stopped(state?: string): void {
      setLive(false);
      if (state === 'running') tell('microphone-lost', false, 'no sound arrives');
      else if (state !== undefined) tell('needs-tap', true, `sound system ${state}`);
    },
    /** A device that was plugged in may be the one that is missed. */
    mayComeBack: (): boolean => told.has('microphone-lost') || told.has('microphone-missing'),
    /** A program that lets go of the microphone tells nobody: it is tried for now and then. */
    isTryDue: (nowMs: number): boolean => told.has('microphone-lost') && nowMs - lastTryMs > retryMs,
    /** The person acts on what was said: it is said again if it is still so. */
    askedAgain: (): void => recover(...told),
    forget: (): void => told.clear(),
  };
}
