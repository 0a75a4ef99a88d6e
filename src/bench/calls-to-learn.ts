import { keyOf, understand } from '../language/understand.ts';
import type { Words } from '../language/words.ts';
import type { Decimal, Meaning } from '../log/meaning.ts';
import type { Call, NotebookState, Reading } from '../log/state.ts';

/** A call whose words are known, and how: it is an example of how this caller speaks. */
export interface Lesson {
  readonly call: string;
  /** The run it was made in; null outside runs. */
  readonly run: string | null;
  /** As it was said: "two five" or "twenty five". */
  readonly text: string;
  /**
   * 'stayed': taken, and nobody changed it until the run was over. 'put-right': a person gave, corrected or confirmed the
   * value. 'command': a command that was surely heard and stayed.
   */
  readonly how: 'stayed' | 'put-right' | 'command';
}

/** What an ear offered, best first. */
type Offered = readonly { readonly text: string; readonly p: number }[];

/** The ear need not be sure of it, but must have thought of it. */
const leastP = 0.003;
/** A command that was misheard and went unnoticed teaches the wrong word, so it must be sure (reasoned). */
const sureCommand = 0.8;

/**
 * The calls of a notebook that teach the ear its caller. A call counts when its sound is kept, the ear of this page heard
 * it, and it gave one value that stands. What is in doubt, struck, set aside as misheard, marked without a number, or was
 * said while the tool itself spoke teaches nothing; nor does a value that the ear never thought of, since then something
 * else may have been said.
 */
export function lessonsOf(state: NotebookState, words: Words): Lesson[] {
  const readings = new Map(state.runs.flatMap((run) => run.readings.map((reading) => [reading.id, reading])));
  const ended = new Set(state.runs.flatMap((run) => (run.endedMs === null ? [] : [run.id])));
  return state.calls.flatMap((call): Lesson[] => {
    const offered = offeredFor(call);
    if (!call.clip || call.overSpeech || call.timing === 'key' || offered.length === 0) return [];
    const { id, run } = call;
    if (call.outcome === 'command') {
      const text = call.meaning && commandSaid(call.meaning, offered, words);
      return text ? [{ call: id, run, text, how: 'command' }] : [];
    }
    const reading = call.readings.length === 1 ? readings.get(call.readings[0] ?? '') : undefined;
    const how = reading && howKnown(reading, ended.has(reading.run ?? ''));
    const text = how && reading ? wordsSaid(reading.value, offered, words) : null;
    return text && how ? [{ call: id, run: reading?.run ?? run, text, how }] : [];
  });
}

/** The last complete answer of the ear of this page. */
function offeredFor(call: Call): Offered {
  const answer = call.heard.findLast(({ ear, final }) => ear === 'own' && final);
  return answer?.alternatives.map(({ text, p }) => ({ text, p: p ?? 0 })) ?? [];
}

function howKnown(reading: Reading, runEnded: boolean): 'stayed' | 'put-right' | null {
  if (reading.struck || reading.marked || reading.setAside?.cause === 'misheard') return null;
  if (reading.settled) return 'put-right';
  return runEnded && reading.outcome === 'taken' ? 'stayed' : null;
}

/**
 * How the value was said ("two five" or "twenty five"), from what the ear thought possible; null where it thought of
 * nothing that means the value. Then either it was said in some other way, or something else was said and the person
 * changed the value for another reason: nothing to learn from.
 */
export function wordsSaid(value: Decimal, offered: Offered, words: Words): string | null {
  const said = offered.find(({ text, p }) => {
    if (p < leastP) return false;
    const candidate = understand([{ text, p, ear: 'own' }], words).candidates[0]?.candidate;
    return candidate?.kind === 'reading' && candidate.values.length === 1 && candidate.values[0] === value;
  });
  return said?.text ?? null;
}

/** The command as it was said, where the ear was sure of it; what follows "note" is anything, and teaches nothing. */
function commandSaid(meaning: Meaning, offered: Offered, words: Words): string | null {
  const [first] = offered;
  if (!first || first.p < sureCommand || meaning.kind === 'note') return null;
  const candidate = understand([{ ...first, ear: 'own' }], words).candidates[0]?.candidate;
  const same = candidate?.kind === 'command' && keyOf(candidate) === JSON.stringify(meaning);
  return same ? first.text : null;
}
