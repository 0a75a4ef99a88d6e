import { analyseExperiment, type ExperimentAnalysis, guarded, settingOf } from './analyse-experiment.ts';
import { analyseRun } from './analyse-run.ts';
import { type Experiment, refuse } from './run-data.ts';
import { verdictOf } from './verdict.ts';

/** One experiment a message; the number comes back with the answer, so that a late one is known as such. */
export interface AnalysisOrder {
  readonly number: number;
  readonly experiment: Experiment;
  /** Each run by itself; what they say together is not wanted. */
  readonly runsOnly?: boolean;
}
export type AnalysisNews =
  /** `complete` false: the runs are done, what they say together is not. */
  | { readonly number: number; readonly analysis: ExperimentAnalysis; readonly complete: boolean }
  | { readonly number: number; readonly progress: Progress }
  | { readonly number: number; readonly failed: string };

/** How many runs are worked out by themselves. */
export interface Progress {
  readonly done: number;
  readonly of: number;
}

/** The law of more runs than these takes seconds; the runs themselves are then shown before it. */
const fewRuns = 6;
/** How often the worker reports progress, ms. */
const everyMs = 200;

self.addEventListener('message', ({ data }: MessageEvent<AnalysisOrder>) => {
  const { number, experiment, runsOnly } = data;
  const say = (news: AnalysisNews): void => self.postMessage(news);
  const of = experiment.runs.length;
  let told = performance.now();
  const onRun = (done: number): void => {
    if (performance.now() - told < everyMs) return;
    told = performance.now();
    say({ number, progress: { done, of } });
  };
  try {
    if (runsOnly) {
      const { activationJPerMol } = settingOf(experiment);
      const runs = experiment.runs.map((run, i) => {
        onRun(i);
        return guarded(`Run ${run.label}`, () => analyseRun(run, activationJPerMol ? { activationJPerMol } : {}));
      });
      say({ number, analysis: withoutLaw(experiment, runs), complete: true });
      return;
    }
    const analysis = analyseExperiment(experiment, {
      onRun,
      onRuns: (runs) => {
        if (of > fewRuns) say({ number, analysis: withoutLaw(experiment, runs), complete: false });
      },
    });
    say({ number, analysis, complete: true });
  } catch (error) {
    say({ number, failed: error instanceof Error ? error.message : 'unknown' });
  }
});

function withoutLaw(experiment: Experiment, runs: ExperimentAnalysis['runs']): ExperimentAnalysis {
  const { unit, referenceK } = settingOf(experiment);
  const later = refuse('not-yet', 'Still being worked out.');
  return {
    experiment,
    runs,
    law: later,
    whole: later,
    temperature: later,
    unit,
    referenceK,
    verdict: verdictOf([{ code: 'no-law', sentence: later.sentence }]),
    headline: null,
    unsettled: null,
    missingUncertainties: [],
    within: null,
  };
}
