import { analyseExperiment, type ExperimentAnalysis } from '../../kinetics/analyse-experiment.ts';
import type { Experiment } from '../../kinetics/run-data.ts';

/** One experiment a message; the number comes back with the answer, so that a late one is known as such. */
export interface AnalysisOrder {
  readonly number: number;
  readonly experiment: Experiment;
}
export type AnalysisNews =
  | { readonly number: number; readonly analysis: ExperimentAnalysis }
  | { readonly number: number; readonly failed: string };

self.addEventListener('message', ({ data }: MessageEvent<AnalysisOrder>) => {
  const { number, experiment } = data;
  let news: AnalysisNews;
  try {
    news = { number, analysis: analyseExperiment(experiment) };
  } catch (error) {
    news = { number, failed: error instanceof Error ? error.message : 'unknown' };
  }
  self.postMessage(news);
});
