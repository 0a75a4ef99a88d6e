import { createEffect, createSignal, For, on, onCleanup, Show } from 'solid-js';
import type { AnalysisNews, AnalysisOrder } from '../../analysis/analysis.worker.ts';
import { experimentOf, type NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import { reduce } from '../../log/reduce.ts';
import type { NotebookState } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { local, textsOf } from '../texts.ts';
import './moved.css';
import { Marked } from '../table/Marked.tsx';
import { canMove, finishedRuns, movedFigures } from './moved-figures.ts';
import { texts } from './texts.ts';

/** Changes that follow one another so quickly are one, ms: forms save as one types. */
const togetherMs = 10_000;
/** How long typing rests before the figures are compared, ms. */
const restMs = 600;

interface Moved {
  readonly sentences: readonly string[];
  /** Number of events before the change. */
  readonly from: number;
}

/** Says on every screen when a change moved the figures of a finished run: which, by how much, and with undo. */
export function FiguresMoved() {
  const desk = useDesk();
  const t = textsOf(texts);
  const [moved, setMoved] = createSignal<Moved | null>(null);
  let seen = 0;
  let change: { from: number; atMs: number } | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const forget = (): void => {
    clearTimeout(timer);
    change = null;
    setMoved(null);
  };
  onCleanup(() => clearTimeout(timer));
  createEffect(
    on(desk.journal, (journal) => {
      forget();
      seen = journal?.events().length ?? 0;
    }),
  );
  const compare = async (from: number): Promise<void> => {
    const journal = desk.journal();
    if (!journal) return;
    const count = journal.events().length;
    const before = reduce(journal.events().slice(0, from));
    const finished = finishedRuns(before);
    if (finished.size === 0) return;
    const [was, is] = [await analysed(before), await analysed(journal.state())];
    if (!was || !is || desk.journal() !== journal || journal.events().length !== count) return;
    const sentences = movedFigures(was, is, finished, t(), local);
    setMoved(sentences.length > 0 ? { sentences, from } : null);
  };
  createEffect(
    on(desk.state, (state) => {
      const events = desk.journal()?.events() ?? [];
      const added = events.slice(seen);
      const from = seen;
      seen = events.length;
      // What was taken back is as it was.
      if (added.some(({ body }) => body.kind === 'undone' || body.kind === 'run-started')) forget();
      if (!state || !added.some(({ body }) => canMove(body, state.openRun !== null))) return;
      const now = Date.now();
      change = change && now - change.atMs < togetherMs ? { ...change, atMs: now } : { from, atMs: now };
      const { from: first } = change;
      clearTimeout(timer);
      timer = setTimeout(() => void compare(first), restMs);
    }),
  );
  const undo = async (): Promise<void> => {
    const found = moved();
    if (!found) return;
    const events = (desk.journal()?.events() ?? []).slice(found.from).filter(({ body }) => canMove(body, false));
    forget();
    if (await desk.record(...events.reverse().map(({ id }) => ({ kind: 'undone', event: id }) as const)))
      desk.announce(t().undone);
  };
  return (
    <Show when={moved()}>
      {(found) => (
        <section class="figures-moved no-print" role="status">
          <div>
            <For each={found().sentences}>
              {(sentence) => (
                <p>
                  <Marked text={sentence} />
                </p>
              )}
            </For>
          </div>
          <button type="button" onClick={() => void undo()}>
            {t().undo}
          </button>
          <button type="button" onClick={forget}>
            {t().keep}
          </button>
        </section>
      )}
    </Show>
  );
}

/** The analysis of a state, off the page's own thread; null when it fails. */
function analysed(state: NotebookState): Promise<NotebookAnalysis | null> {
  const made = experimentOf(state);
  const worker = new Worker(new URL('../../analysis/analysis.worker.ts', import.meta.url), { type: 'module' });
  return new Promise<NotebookAnalysis | null>((resolve) => {
    worker.addEventListener('message', ({ data }: MessageEvent<AnalysisNews>) => {
      if ('failed' in data) resolve(null);
      else if ('analysis' in data && data.complete) resolve({ ...made, analysis: data.analysis });
    });
    worker.addEventListener('error', () => resolve(null));
    worker.postMessage({ number: 1, experiment: made.experiment } satisfies AnalysisOrder);
  }).finally(() => worker.terminate());
}

export default FiguresMoved;
