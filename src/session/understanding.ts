import type { Call, NotebookState } from '../notebook/state.ts';
import type { Hypothesis } from '../speech/understand.ts';
import type { Verdict } from './act.ts';

/** From the words of a call to what it means, in the light of what is expected. */
export interface Understanding {
  /** @param onsetMs notebook time of the call, ms. @param run the run it belongs to, if any. */
  judge(words: readonly Hypothesis[], moment: { onsetMs: number; run: string | null }, state: NotebookState): Verdict;
  /** What earlier calls of a run are taken to mean now, where that changed. */
  rejudge(run: string, state: NotebookState): readonly { readonly call: Call['id']; readonly verdict: Verdict }[];
  /** Value that a call without words probably had, with its reason: for the proposal beside it. */
  propose(moment: { onsetMs: number; run: string | null }, state: NotebookState): Verdict['rivals'];
}
