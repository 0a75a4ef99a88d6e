import type { PageLanguage } from '../language/page-language.ts';
import { chiSquareQuantile, studentQuantile } from '../numerics/distributions.ts';
import { median } from '../numerics/median.ts';
import { timingTexts } from './timing-texts.ts';

/** One called mark of a rehearsal. */
export interface RehearsedCall {
  /** Id of the reading. */
  readonly reading: string;
  readonly markMl: number;
  /** Moment of the call, ms. */
  readonly calledMs: number;
}

export interface CallDelay extends RehearsedCall {
  /** Positive: called after the water passed the mark. */
  readonly delayMs: number;
  /** Why it does not count: the water never came to this value, or the call is nearer to another mark. Null: it counts. */
  readonly leftOut: 'never-reached' | 'other-mark' | null;
}

export interface CallTiming {
  readonly delays: readonly CallDelay[];
  /** Calls that count. */
  readonly count: number;
  readonly meanMs: number;
  /** 95 % interval of the mean. */
  readonly meanBetweenMs: readonly [number, number];
  /** Standard deviation of one call, without the bias that few calls give it. */
  readonly spreadMs: number;
  /** 95 % interval of the spread. */
  readonly spreadBetweenMs: readonly [number, number];
}

/**
 * How early or late calls were, and how much that varies from call to call.
 *
 * A call counts when its moment, less the usual delay, is nearer to its own mark than to any other one: what is
 * nearer to another mark was misheard or called for the wrong mark, and says nothing about timing. No other call is
 * left out, however late, because late calls are part of a caller's spread.
 *
 * The spread is s/c4: the standard deviation with n - 1, freed of the bias of the square root (c4 = 0.973 at 10
 * calls; Holtzman, Am. Stat. 4 (1950) 18, from memory). The intervals are Student's for the mean and chi-square's for
 * the spread; they are exact for normal delays only.
 *
 * @param momentOf true moment at which the water passed a mark, ms; null when it never did
 * @param marks all marks of the rehearsal, mL
 * @returns null when fewer than 3 calls count: two say nothing about a spread worth showing
 */
export function callTiming(
  calls: readonly RehearsedCall[],
  momentOf: (markMl: number) => number | null,
  marks: readonly number[],
): CallTiming | null {
  const raw = calls.map((call) => {
    const moment = momentOf(call.markMl);
    return { call, delayMs: moment === null ? null : call.calledMs - moment };
  });
  const known = raw.flatMap(({ delayMs }) => (delayMs === null ? [] : [delayMs]));
  if (known.length < 3) return null;
  const usual = median(known);
  const moments = marks.flatMap((mark) => momentOf(mark) ?? []);
  const delays = raw.map(({ call, delayMs }): CallDelay => {
    if (delayMs === null) return { ...call, delayMs: 0, leftOut: 'never-reached' };
    const off = Math.abs(delayMs - usual);
    const other = moments.some((moment) => Math.abs(call.calledMs - usual - moment) < off - 1e-6);
    return { ...call, delayMs, leftOut: other ? 'other-mark' : null };
  });
  const counted = delays.filter((entry) => entry.leftOut === null).map((entry) => entry.delayMs);
  const count = counted.length;
  if (count < 3) return null;
  const meanMs = counted.reduce((sum, delay) => sum + delay, 0) / count;
  const squares = counted.reduce((sum, delay) => sum + (delay - meanMs) ** 2, 0);
  const df = count - 1;
  const s = Math.sqrt(squares / df);
  const half = (studentQuantile(0.975, df) * s) / Math.sqrt(count);
  return {
    delays,
    count,
    meanMs,
    meanBetweenMs: [meanMs - half, meanMs + half],
    spreadMs: s / c4(count),
    spreadBetweenMs: [
      Math.sqrt(squares / chiSquareQuantile(0.975, df)),
      Math.sqrt(squares / chiSquareQuantile(0.025, df)),
    ],
  };
}

/** Mean of s/sigma for n normal values, by its recurrence c4(n + 1) = sqrt((n - 1)/n) / c4(n) from c4(2) = sqrt(2/pi). */
export function c4(n: number): number {
  let value = Math.sqrt(2 / Math.PI);
  for (let i = 2; i < n; i++) value = Math.sqrt((i - 1) / i) / value;
  return value;
}

/**
 * The result in plain sentences, what is uncertain about it included.
 * @param language of the page
 */
export function timingInWords(timing: CallTiming, language: PageLanguage): string[] {
  const t = timingTexts[language];
  const ms = (value: number): string => `${Math.abs(Math.round(value))} ms`;
  const between = ([low, high]: readonly [number, number]): string =>
    `${Math.round(low)} ${t.to} ${Math.round(high)} ms`;
  const { count, meanMs, meanBetweenMs, spreadMs, spreadBetweenMs } = timing;
  return [
    t.mean(count, ms(meanMs), meanMs < 0, between(meanBetweenMs)),
    t.spread(ms(spreadMs), between(spreadBetweenMs)),
    ...(count < 20 ? [t.few(count, Math.round(100 / Math.sqrt(2 * (count - 1))))] : []),
  ];
}
