import { type Accessor, batch, createEffect, createSignal, on, onCleanup } from 'solid-js';
import type { AnalysisNews, AnalysisOrder, Progress } from '../../analysis/analysis.worker.ts';
import { experimentOf, type NotebookAnalysis, type NotebookExperiment } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { ratesTexts as t } from './texts.ts';

/** The analysis of the open notebook as the screen has it at the moment. */
export interface Rates {
  /** The latest that was worked out; null before the first. */
  readonly found: Accessor<NotebookAnalysis | null>;
  /** false while `found` has the runs only, and what they say together is still to come. */
  readonly complete: Accessor<boolean>;
  /** true while `found` is behind the notebook. */
  readonly computing: Accessor<boolean>;
  /** Runs done of those that there are, while they are worked out one by one; null before it is known and afterwards. */
  readonly progress: Accessor<Progress | null>;
  /** true once the person has stopped it: `found` may be behind the notebook. */
  readonly stopped: Accessor<boolean>;
  /** A sentence when it could not be worked out. */
  readonly failed: Accessor<string | null>;
  stop(): void;
  /** Works it out after all. */
  again(): void;
}

/**
 * Keeps the analysis up with the notebook, off the page's own thread: however many readings there are, the desk stays
 * usable. Changes that come while one is worked out are joined: only the latest is done next.
 *
 * @param runsOnly each run by itself, as quick as can be; the law then stays a refusal
 */
export function createRates(state: Accessor<NotebookState>, runsOnly = false): Rates {
  const [found, setFound] = createSignal<NotebookAnalysis | null>(null);
  const [complete, setComplete] = createSignal(false);
  const [computing, setComputing] = createSignal(true);
  const [failed, setFailed] = createSignal<string | null>(null);
  const [progress, setProgress] = createSignal<Progress | null>(null);
  const [stopped, setStopped] = createSignal(false);
  let worker: Worker | null = null;
  let number = 0;
  let atWork: NotebookExperiment | null = null;
  let waiting = false;

  const begin = (): void => {
    waiting = false;
    number += 1;
    atWork = experimentOf(state());
    worker ??= started();
    worker.postMessage({ number, experiment: atWork.experiment, runsOnly } satisfies AnalysisOrder);
  };
  const done = (): void => {
    atWork = null;
    setProgress(null);
    if (waiting) begin();
    else setComputing(false);
  };
  const hear = ({ data }: MessageEvent<AnalysisNews>): void => {
    if (data.number !== number || !atWork) return;
    if ('progress' in data) {
      setProgress(data.progress);
      return;
    }
    if ('failed' in data) {
      setFailed(t().failed(data.failed));
      done();
      return;
    }
    const news = { ...atWork, analysis: data.analysis };
    batch(() => {
      setFound(news);
      setComplete(data.complete);
      setFailed(null);
      if (data.complete) done();
      else setProgress((before) => before && { ...before, done: before.of });
    });
  };
  const started = (): Worker => {
    const made = new Worker(new URL('../../analysis/analysis.worker.ts', import.meta.url), { type: 'module' });
    made.addEventListener('message', hear);
    made.addEventListener('error', () => {
      setFailed(t().notLoaded);
      done();
    });
    return made;
  };
  const stop = (): void => {
    worker?.terminate();
    worker = null;
    waiting = false;
    batch(() => {
      done();
      setStopped(true);
    });
  };
  const again = (): void => {
    setStopped(false);
    setComputing(true);
    if (!atWork) begin();
  };
  createEffect(
    on(state, () => {
      setStopped(false);
      setComputing(true);
      if (atWork) waiting = true;
      else begin();
    }),
  );
  onCleanup(() => worker?.terminate());
  return { found, complete, computing, progress, stopped, failed, stop, again };
}
