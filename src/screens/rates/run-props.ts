import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { NotebookExperiment } from '../../analysis/notebook-analysis.ts';
import type { Refused } from '../../analysis/run-data.ts';
import type { NotebookState } from '../../log/state.ts';
import type { CheckItem } from './to-check.ts';

/** What every part of a run on Rates gets: the run, its result, what to check in it, and the whole they belong to. */
export interface RunProps {
  readonly result: RunAnalysis | Refused;
  readonly named: NotebookExperiment['runs'][number];
  readonly analysis: ExperimentAnalysis;
  readonly index: number;
  readonly state: NotebookState;
  readonly items: readonly CheckItem[];
}
