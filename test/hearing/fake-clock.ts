import type { Clock } from '../../src/hearing/recogniser.ts';

/** A clock that stands until it is moved. Between timers, promises get their turn. */
export interface FakeClock extends Clock {
  advance(ms: number): Promise<void>;
  /** Timers that are due some time. */
  pending(): number;
}

export function makeFakeClock(startMs = 1000): FakeClock {
  let now = startMs;
  let order = 0;
  let timers: { at: number; order: number; action: () => void }[] = [];
  const settle = async (): Promise<void> => {
    for (let turn = 0; turn < 6; turn++) await Promise.resolve();
  };
  return {
    now: () => now,
    after(ms, action) {
      const timer = { at: now + Math.max(0, ms), order: order++, action };
      timers.push(timer);
      return () => {
        timers = timers.filter((other) => other !== timer);
      };
    },
    pending: () => timers.length,
    async advance(ms) {
      const end = now + ms;
      await settle();
      for (;;) {
        const next = timers.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at || a.order - b.order)[0];
        if (!next) break;
        timers = timers.filter((other) => other !== next);
        now = Math.max(now, next.at);
        next.action();
        await settle();
      }
      now = end;
    },
  };
}
