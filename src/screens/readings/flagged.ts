import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { Refused } from '../../analysis/run-data.ts';
import type { PageLanguage } from '../../language/page-language.ts';
import type { Cause } from '../../log/event.ts';
import type { Reading } from '../../log/state.ts';
import { flagText } from '../../results/analysis-texts.ts';

/** A reading that the rest of its run speaks against, as Rates says it too. */
export interface Flagged {
  readonly reading: string;
  readonly cause: Cause;
  readonly sentence: string;
}

/** All of them, by run and time. */
export function flaggedIn({ runs, analysis }: NotebookAnalysis, language: PageLanguage): readonly Flagged[] {
  return analysis.runs.flatMap((result, i) =>
    result.ok
      ? result.flags.flatMap((flag) => {
          const reading = runs[i]?.readings[flag.index];
          const sentence = flagText(flag, result.run, language);
          return reading === undefined ? [] : [{ reading, cause: flag.cause, sentence }];
        })
      : [],
  );
}

/** Flagged readings by their call, without calls that are in doubt anyway. */
export function flaggedCalls(
  found: NotebookAnalysis,
  readings: ReadonlyMap<string, Reading>,
  doubts: readonly string[],
  language: PageLanguage,
): ReadonlyMap<string, Flagged> {
  const byCall = new Map<string, Flagged>();
  for (const flag of flaggedIn(found, language)) {
    const call = readings.get(flag.reading)?.call;
    if (call !== undefined && !doubts.includes(call)) byCall.set(call, flag);
  }
  return byCall;
}

/** What the analysis has of one run; null when it has nothing yet. */
export function resultOf({ runs, analysis }: NotebookAnalysis, run: string): RunAnalysis | Refused | null {
  return analysis.runs[runs.findIndex(({ id }) => id === run)] ?? null;
}
