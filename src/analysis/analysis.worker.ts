import { analyseExperiment, type ExperimentAnalysis, settingOf } from './analyse-experiment.ts';
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
  | { readonly number: number; readonly failed: string };

/** The law of more runs than these takes seconds; the runs themselves are then shown before it. */
const fewRuns = 6;

self.addEventListener('message', ({ data }: MessageEvent<AnalysisOrder>) => {
  const { number, experiment, runsOnly: only } = data;
  const say = (news: AnalysisNews): void => self.postMessage(news);
  try {
    if (only) {
      say({ number, analysis: runsOnly(experiment), complete: true });
      return;
    }
    if (experiment.runs.length > fewRuns) say({ number, analysis: runsOnly(experiment), complete: false });
    say({ number, analysis: analyseExperiment(experiment), complete: true });
  } catch (error) {
    say({ number, failed: error instanceof Error ? error.message : 'unknown' });
  }
});

function runsOnly(experiment: Experiment): ExperimentAnalysis {
  const { unit, referenceK, activationJPerMol } = settingOf(experiment);
  const later = refuse('not-identifiable', 'Still being worked out.');
  return {
    experiment,
    runs: experiment.runs.map((run) => analyseRun(run, activationJPerMol ? { activationJPerMol } : {})),
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
