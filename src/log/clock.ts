import { latestMs, mostPages, type NotebookEvent } from './event.ts';

/**
 * Notebook time: milliseconds since the notebook began. Within a page it follows `performance.now()`, which no
 * change of the wall clock can move. Over a reload the only link is the wall clock; it is used when it makes sense
 * (it did not go backwards), and the joint is recorded so that a run across it can say its times are less certain.
 */
export interface NotebookClock {
  /** Notebook time of a page time (`performance.now()`), ms. */
  of(pageMs: number): number;
  now(): number;
  readonly joined: 'first' | 'wall-clock' | 'unknown';
  readonly page: number;
}

export interface Clocks {
  /** Monotonic page clock, ms. */
  pageNow(): number;
  /** Wall clock, ms since 1970. */
  wallNow(): number;
}

export const browserClocks: Clocks = { pageNow: () => performance.now(), wallNow: () => Date.now() };

/**
 * Carries notebook time on from the last event of the log (undefined for a new notebook).
 * A wall clock that went backwards, or that jumped by more than 30 days, is not believed: time then goes on 1 ms
 * after the last event and `joined` is 'unknown'.
 */
export function makeClock(last: NotebookEvent | undefined, clocks: Clocks = browserClocks): NotebookClock {
  const startPage = clocks.pageNow();
  const startWall = clocks.wallNow();
  let startMs = 0;
  let joined: NotebookClock['joined'] = 'first';
  if (last) {
    const gap = startWall - last.wallMs;
    const believable = gap >= 0 && gap < 30 * 24 * 3600 * 1000;
    startMs = last.atMs + (believable ? Math.max(gap, 1) : 1);
    joined = believable ? 'wall-clock' : 'unknown';
  }
  // Within the bounds of what can be read again, whatever an old log holds.
  const of = (pageMs: number): number => Math.min(latestMs, Math.max(0, startMs + (pageMs - startPage)));
  return { of, now: () => of(clocks.pageNow()), joined, page: Math.min(mostPages, (last?.page ?? 0) + 1) };
}

/** The difference between wall and page clock that has built up since `makeDriftWatch`, ms, when it passes 1 s. */
export function makeDriftWatch(clocks: Clocks = browserClocks): () => number | null {
  let offset = clocks.wallNow() - clocks.pageNow();
  return () => {
    const gap = clocks.wallNow() - clocks.pageNow() - offset;
    if (Math.abs(gap) < 1000) return null;
    offset += gap;
    return gap;
  };
}
