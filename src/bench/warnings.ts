import { catalogue, type PageLanguage } from '../language/page-language.ts';
import { countingReadings, durationText } from '../log/runs.ts';
import type { Run } from '../log/state.ts';
import { median } from '../numerics/median.ts';
import { nth } from '../numerics/nth.ts';
import type { Exchange } from './session-step.ts';

const texts = catalogue(
  {
    noReading: (time: string) => `No reading for ${time}`,
    slower: 'Slower than it was: a leak, a loose stopper, swirling stopped?',
    surge: 'A surge: swirled, or warmed up?',
  },
  {
    noReading: (time) => `Seit ${time} keine Ablesung`,
    slower: 'Langsamer als vorher: ein Leck, ein loser Stopfen, nicht mehr geschwenkt?',
    surge: 'Ein Schub: geschwenkt oder erwärmt?',
  },
);

/** Said once per run and kind. */
export interface Warning {
  readonly kind: 'no-reading' | 'slower' | 'surge';
  readonly text: string;
}

/**
 * What is not as it should be with the run in progress. The last two intervals together are compared with the median
 * of those before, so that one late or early call raises no alarm. The limits are common practice, no source.
 */
export function warningsOf(run: Run, nowMs: number, language: PageLanguage = 'en'): readonly Warning[] {
  const t = texts[language];
  // A reading in doubt is a question of hearing, not of the reaction.
  const readings = countingReadings(run).filter((reading) => reading.outcome === 'taken');
  const last = readings.at(-1);
  if (!last || readings.length < 3) return [];
  const warnings: Warning[] = [];
  const pairs = readings.slice(1).map((reading, i) => ({ from: nth(readings, i), to: reading }));
  const gaps = pairs.map(({ from, to }) => to.timeMs - from.timeMs);
  const waited = nowMs - last.timeMs;
  if (waited > Math.max(15_000, 3 * median(gaps)))
    warnings.push({ kind: 'no-reading', text: t.noReading(durationText(waited)) });
  const rates = pairs.map(({ from, to }) => (to.volumeMl - from.volumeMl) / (to.timeMs - from.timeMs));
  const before = rates.slice(0, -2);
  const twoBack = readings.at(-3);
  if (before.length < 3 || !twoBack) return warnings;
  const usual = median(before);
  const lately = (last.volumeMl - twoBack.volumeMl) / (last.timeMs - twoBack.timeMs);
  if (lately < 0.62 * usual) warnings.push({ kind: 'slower', text: t.slower });
  if (lately > 1.6 * usual) warnings.push({ kind: 'surge', text: t.surge });
  return warnings;
}

/** An answer stays this long before a warning may take its place, a question this long, ms. By judgement. */
const answerStaysMs = 3000;
const questionStaysMs = 10_000;
/** A warning that has waited so long among brisk calls is said between them, ms. By judgement. */
const warningWaitsMs = 10_000;

/**
 * Whether a warning may take the place of the last answer: that one has been read, or the question left alone. One that
 * is urgent or has waited for long gives way to questions only.
 * @param waitedMs since the warning could first have been said
 */
export function mayInterrupt(
  exchange: Pick<Exchange, 'tone' | 'atMs'> | null,
  nowMs: number,
  { waitedMs = 0, urgent = false } = {},
): boolean {
  if (!exchange) return true;
  const ageMs = nowMs - exchange.atMs;
  const asks = exchange.tone === 'doubtful' || exchange.tone === 'unresolved';
  if (waitedMs >= warningWaitsMs) return exchange.tone !== 'doubtful' || ageMs >= answerStaysMs;
  return ageMs >= (asks ? questionStaysMs : urgent ? 0 : answerStaysMs);
}

/**
 * Chooses when each warning is said: once, and none within the time that the one before needs to be read.
 * @returns called once a second with what is wrong now, gives the text to say now, or null
 */
export function makeWarner(): (
  wrong: readonly { readonly key: string; readonly text: string; readonly urgent?: boolean }[],
  exchange: Pick<Exchange, 'tone' | 'atMs'> | null,
  nowMs: number,
) => string | null {
  const said = new Set<string>();
  let since = new Map<string, number>();
  let lastMs = Number.NEGATIVE_INFINITY;
  return (wrong, exchange, nowMs) => {
    const due = wrong.filter(({ key }) => !said.has(key));
    since = new Map(due.map(({ key }) => [key, since.get(key) ?? nowMs]));
    if (nowMs - lastMs < answerStaysMs) return null;
    const next = due.find(({ key, urgent }) =>
      mayInterrupt(exchange, nowMs, { waitedMs: nowMs - (since.get(key) ?? nowMs), urgent }),
    );
    if (!next) return null;
    said.add(next.key);
    lastMs = nowMs;
    return next.text;
  };
}
