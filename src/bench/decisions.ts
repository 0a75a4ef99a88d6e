import { dayLanguage } from '../language/page-language.ts';
import { openRunOf } from '../log/runs.ts';
import type { NotebookState } from '../log/state.ts';
import { asSpoken } from '../planning/checklist.ts';
import { checklistSentencesFor } from '../planning/checklist-sentences.ts';
import { implausible } from '../planning/plausible-input.ts';
import {
  answerPour,
  checkPour,
  type PourAnswer,
  type PourMoment,
  pourTakenBack,
  putPouringRight,
} from '../planning/pour-check.ts';
import { pourSentencesFor } from '../planning/pour-sentences.ts';
import type { Act, Moment, Reply } from './act.ts';
import { leadAfter, stepTo } from './day.ts';
import { dayTexts } from './day-texts.ts';
import { figuresAloud } from './figures-aloud.ts';
import type { Preferences } from './preferences.ts';
import { latestPrepared, type Prepared } from './prepared.ts';
import type { Decision, Decisions } from './session-step.ts';

/**
 * What the run sheet decides at the bench: pours against the plan, the steps of the day, yes and no, and what puts
 * right or takes back something that was called before a run.
 */
export const runSheetDecisions: Decisions = {
  decide(state, meaning, moment, preferences) {
    const { language } = preferences;
    const sentences = pourSentencesFor(language);
    switch (meaning.kind) {
      case 'poured':
        return decisionOf(checkPour(state, meaning, momentOf(moment), sentences), language);
      case 'step': {
        const { events, say } = stepTo(state, meaning.which, language, isLed(state, preferences));
        return { events, reply: { tone: 'told', text: say, say: spoken(say, language), asked: true } };
      }
      case 'reply': {
        const answer = answerPour(state, meaning.yes, momentOf(moment), sentences);
        return answer && decisionOf(answer, language);
      }
      case 'ask':
        return {
          events: [],
          reply: { tone: 'told', asked: true, ...figuresAloud(state, meaning.what, moment.timeMs, language) },
        };
      case 'disregard':
        return takeBack(state, language);
      case 'reading':
        return putRight(state, meaning.values[0]?.value ?? '', moment, language);
      case 'correction':
      case 'settle':
        return putRight(state, meaning.value, moment, language);
    }
  },
  lead(earlier, state, done, reply, preferences) {
    const { language } = preferences;
    if (!isLed(earlier, preferences)) return reply;
    if (reply.tone === 'trouble') return refusedAloud(done, reply, language);
    const lead = leadAfter(earlier, state, language);
    // The answer to a pour names the next one itself.
    if (lead === null) return done.handOver === null ? reply : { ...reply, asked: true };
    // In a run the caller's own voice comes first: what to do is shown.
    if (done.verdict.meaning?.kind === 'start-run') return reply;
    const { saying: _, ...rest } = reply;
    return { ...rest, say: `${confirmed(earlier, done, reply, language)} ${spoken(lead, language)}`, asked: true };
  },
};

/** The voice leads whoever asked for a step once, and whoever wants everything read back. */
const isLed = (state: NotebookState, { readBack }: Pick<Preferences, 'readBack'>): boolean =>
  state.step > 0 || readBack === 'always';

/** A refusal, aloud: unheard, the person would take the figure for noted. */
function refusedAloud({ verdict }: Act, reply: Reply, language: string): Reply {
  const { meaning } = verdict;
  const t = dayTexts[dayLanguage(language)];
  if (meaning?.kind === 'temperature' || meaning?.kind === 'pressure') {
    const kind = meaning.kind === 'temperature' ? 'temperatureC' : 'pressureHPa';
    const sentence = implausible(kind, Number(meaning.value), dayLanguage(language));
    return { ...reply, say: spoken(`${sentence ?? ''} ${t.notTaken}`.trim(), language), asked: true };
  }
  return { ...reply, say: spoken(reply.text, language), asked: true };
}

/** What was done, in the language of the calls. */
function confirmed(earlier: NotebookState, { verdict }: Act, reply: Reply, language: string): string {
  const t = dayTexts[dayLanguage(language)];
  const { meaning } = verdict;
  const sentence = (): string => {
    switch (meaning?.kind) {
      case 'baseline':
        return t.baseline(meaning.value);
      case 'temperature':
        return t.temperature(meaning.value);
      case 'pressure':
        return t.pressure(meaning.value);
      case 'end-run': {
        const run = openRunOf(earlier);
        return run ? t.ended(run.label, run.readings.filter((reading) => !reading.struck).length) : '';
      }
      default:
        return reply.say ?? reply.text;
    }
  };
  return asSpoken(sentence(), checklistSentencesFor(language));
}

/** "Disregard" after something was called for a run that has not begun. */
function takeBack(state: NotebookState, language: string): Decision | null {
  const latest = latestPrepared(state);
  if (!latest) return null;
  const text = dayTexts[dayLanguage(language)].takenBack(named(latest, language));
  return {
    events: latest.kind === 'poured' ? pourTakenBack(state, latest) : [{ kind: 'undone', event: latest.event }],
    reply: { tone: 'struck', text, say: spoken(text, language) },
  };
}

/** "No, twelve" after something was called for a run that has not begun. */
function putRight(state: NotebookState, value: string, moment: Moment, language: string): Decision | null {
  const latest = latestPrepared(state);
  if (!latest) return null;
  if (latest.kind === 'poured')
    return decisionOf(putPouringRight(state, latest, value, momentOf(moment), pourSentencesFor(language)), language);
  const text = dayTexts[dayLanguage(language)][latest.kind](value);
  const { timeMs } = latest;
  // A run that was started since has what was called for it.
  const run = state.openRun ?? latest.run;
  return {
    events: [
      { kind: 'undone', event: latest.event },
      { kind: latest.kind, value, timeMs, run, ...(moment.call === null ? {} : { call: moment.call }) },
    ],
    reply: { tone: 'told', text, say: spoken(text, language) },
  };
}

function named(latest: Prepared, language: string): string {
  if (latest.kind === 'poured') return `${latest.reagent} ${latest.value}`;
  return dayTexts[dayLanguage(language)][latest.kind](latest.value).replace(/\.$/, '');
}

const spoken = (text: string, language: string): string => asSpoken(text, checklistSentencesFor(language));

const momentOf = ({ timeMs, run, call }: Moment): PourMoment => ({ timeMs, run, ...(call === null ? {} : { call }) });

function decisionOf({ events, say, tone, asks }: PourAnswer, language: string): Decision {
  const reply: Reply = { tone: tone === 'differ' ? 'doubtful' : 'told', text: say, say: spoken(say, language) };
  // A difference is said aloud whatever the read-back: unheard, it could not be mended before mixing.
  return { events, reply: tone === 'differ' || asks ? { ...reply, asked: true } : reply };
}
