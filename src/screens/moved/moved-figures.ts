import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { EventBody } from '../../log/event.ts';
import type { NotebookState } from '../../log/state.ts';
import { bestConstant } from '../../results/headline.ts';
import { figureText, roundByUncertainty } from '../../results/round-by-uncertainty.ts';
import type { texts } from './texts.ts';

const always: ReadonlySet<EventBody['kind']> = new Set(['set-up', 'planned', 'poured', 'temperature']);
const outsideRuns: ReadonlySet<EventBody['kind']> = new Set([
  'corrected',
  'struck',
  'restored',
  'set-aside',
  'put-back',
]);

/**
 * Whether an event can move the figures of a run that was finished. In a run, corrections are of its own readings.
 * @param inRun a run is in progress
 */
export const canMove = (body: EventBody, inRun: boolean): boolean =>
  always.has(body.kind) || (!inRun && outsideRuns.has(body.kind));

/** Ids of the runs that were over. */
export const finishedRuns = (state: NotebookState): ReadonlySet<string> =>
  new Set(state.runs.filter(({ endedMs, readings }) => endedMs !== null && readings.length > 0).map(({ id }) => id));

/** At most so many runs are named. */
const mostNamed = 2;

/**
 * What changed between two analyses of a notebook, in figures rounded as the screens show them: a sentence each. Empty where
 * no figure that is shown moved.
 */
export function movedFigures(
  before: NotebookAnalysis,
  after: NotebookAnalysis,
  finished: ReadonlySet<string>,
  t: (typeof texts)['en'],
  local: (text: string) => string = (text) => text,
): readonly string[] {
  const [was, is] = [ratesOf(before, local), ratesOf(after, local)];
  const moved = [...was].flatMap(([id, { label, rate }]) => {
    const now = is.get(id);
    if (!finished.has(id) || now === undefined || now.rate === rate || rate === null) return [];
    return [now.rate === null ? t.noRate(label, rate) : t.rate(label, rate, now.rate)];
  });
  const [wasK, isK] = [bestConstant(before.analysis), bestConstant(after.analysis)];
  const [kWas, kIs] = [wasK, isK].map((k) => k && local(shown(k.value, k.u)));
  const named = moved.slice(0, mostNamed);
  if (moved.length > mostNamed) named.push(t.more(moved.length - mostNamed));
  if (kWas && kIs && isK && kWas !== kIs && wasK?.unit === isK.unit) named.push(t.constant(kWas, kIs, isK.unit));
  return named;
}

const shown = (value: number, u: number | null | undefined): string =>
  figureText(roundByUncertainty(value, u === null ? undefined : u));

function ratesOf(
  { analysis, runs }: NotebookAnalysis,
  local: (text: string) => string,
): ReadonlyMap<string, { readonly label: string; readonly rate: string | null }> {
  return new Map(
    runs.map(({ id, label }, index) => {
      const result = analysis.runs[index];
      const used = result?.ok ? result.used : null;
      const rate = used && local(shown(used.rateM3PerS * 1e6, used.u === null ? null : used.u * 1e6));
      return [id, { label, rate }];
    }),
  );
}
