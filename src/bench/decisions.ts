import { stepsAloud, stepTo } from '../planning/checklist.ts';
import { checklistReactionOf } from '../planning/checklist-reaction.ts';
import { answerPour, checkPour, type PourAnswer, type PourMoment } from '../planning/pour-check.ts';
import { pourSentencesFor } from '../planning/pour-sentences.ts';
import type { Moment, Reply } from './act.ts';
import type { Decision, Decisions } from './session.ts';

/** What the run sheet decides at the bench: pours against the plan, the checklist aloud, yes and no. */
export const runSheetDecisions: Decisions = {
  onPoured: (state, { value, reagent }, moment, language) =>
    decisionOf(checkPour(state, { value, reagent }, momentOf(moment), pourSentencesFor(language))),
  onStep(state, which, language) {
    const { plan, setup } = state;
    const steps = plan ? stepsAloud(plan, setup, checklistReactionOf(plan), language) : [];
    const { events, say } = stepTo(state, which, steps, language);
    return { events, reply: { tone: 'told', text: say, asked: true } };
  },
  onReply(state, yes, moment, language) {
    const answer = answerPour(state, yes, momentOf(moment), pourSentencesFor(language));
    return answer && decisionOf(answer);
  },
};

const momentOf = ({ timeMs, run, call }: Moment): PourMoment => ({ timeMs, run, ...(call === null ? {} : { call }) });

function decisionOf({ events, say, tone, asks }: PourAnswer): Decision {
  const reply: Reply = { tone: tone === 'differ' ? 'doubtful' : 'told', text: say };
  // A difference is said aloud whatever the read-back: unheard, it could not be mended before mixing.
  return { events, reply: tone === 'differ' || asks ? { ...reply, asked: true } : reply };
}
