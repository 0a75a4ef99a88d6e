import { countingReadings } from './runs.ts';
import type { Joint, NotebookState, Run } from './state.ts';

/** A gap in a run's times that the run itself does not explain. */
export interface ClockDoubt {
  readonly run: Run;
  readonly joint: Joint;
  /** Length of the gap by the device's clock, ms; within a page that which the run's times do not count. */
  readonly gapMs: number;
  /** As much of the gap as the run's times count, ms. */
  readonly countedMs: number;
  /** How long it was if the rate of the readings before went on, ms; null where there are too few readings. */
  readonly likelyMs: number | null;
}

/** A page that is opened again takes seconds; a person who sees to something else comes back within this, ms. */
const pauseMs = 5 * 60_000;

/** Clocks are set right by less than this, ms. */
const setRightMs = 5000;

/**
 * Gaps inside a run after which its times may not fit together. Openings of the page: the clock went back, or more time
 * went by than five marks take and than a pause explains; with readings on both sides, three times what their rate
 * explains. Within a page: the wall clock went ahead of the page's, as it does where the device slept and the page's
 * clock stood still; unless the readings on both sides fit as they are and it went further than a sleep explains. (A
 * wall clock that went back was set: the page's clock is right.) The limits are a judgement, no source.
 */
export function clockDoubtsOf(state: NotebookState): readonly ClockDoubt[] {
  return state.joints.flatMap((joint): ClockDoubt[] => {
    if (joint.settled) return [];
    const run = state.runs.find(
      ({ startedMs, endedMs, entered }) =>
        !entered && startedMs < joint.atMs && (endedMs === null || endedMs > joint.atMs),
    );
    if (!run) return [];
    const readings = countingReadings(run);
    const before = readings.filter(({ timeMs }) => timeMs < joint.atMs);
    const after = readings.filter(({ timeMs }) => timeMs >= joint.atMs);
    if (before.length === 0) return [];
    const within = joint.why === 'clock-doubted';
    const gapMs = within ? joint.missedMs : joint.atMs - joint.fromMs;
    const countedMs = within ? 0 : gapMs;
    const expectedMs = expectedAcross(before, after);
    const across = (after[0]?.timeMs ?? joint.atMs) - (before.at(-1)?.timeMs ?? joint.atMs);
    const explained = within
      ? gapMs < setRightMs || (expectedMs !== null && across > expectedMs / 3 && gapMs > 3 * expectedMs + 60_000)
      : joint.why === 'reload' &&
        (expectedMs === null
          ? gapMs <= Math.max(pauseMs, 5 * medianGap(before))
          : across <= 3 * expectedMs + 60_000 || gapMs < 60_000);
    const likelyMs = expectedMs === null ? null : Math.max(0, expectedMs - (across - countedMs));
    return explained ? [] : [{ run, joint, gapMs, countedMs, likelyMs }];
  });
}

type Timed = readonly { readonly timeMs: number; readonly volumeMl: number }[];

/** Time from the last reading before to the first one after, by the rate before, ms. */
function expectedAcross(before: Timed, after: Timed): number | null {
  const [first, last, next] = [before[0], before.at(-1), after[0]];
  if (!first || !last || !next || before.length < 2) return null;
  const perMs = (last.volumeMl - first.volumeMl) / (last.timeMs - first.timeMs);
  const took = (next.volumeMl - last.volumeMl) / perMs;
  return Number.isFinite(took) && took > 0 ? took : null;
}

function medianGap(readings: Timed): number {
  const gaps = readings.slice(1).map(({ timeMs }, i) => timeMs - (readings[i]?.timeMs ?? timeMs));
  return gaps.sort((a, b) => a - b)[gaps.length >> 1] ?? 0;
}
