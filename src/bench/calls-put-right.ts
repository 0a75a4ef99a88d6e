import { understand } from '../language/understand.ts';
import type { Words } from '../language/words.ts';
import type { Decimal } from '../log/meaning.ts';
import type { NotebookState } from '../log/state.ts';

/** A call with its sound whose value a person put right by hand. */
export interface CallPutRight {
  readonly call: string;
  readonly value: Decimal;
}

/** Calls of one value each that a person corrected or gave a value by hand and whose sound is kept. */
export function callsPutRight(state: NotebookState): CallPutRight[] {
  const readings = new Map(state.runs.flatMap((run) => run.readings.map((reading) => [reading.id, reading])));
  return state.calls.flatMap((call) => {
    const reading = call.readings.length === 1 ? readings.get(call.readings[0] ?? '') : undefined;
    if (!reading || !call.clip || call.overSpeech || call.timing === 'key') return [];
    if (reading.struck || reading.marked) return [];
    const byHand = [...call.history, ...reading.history].some(
      ({ by, what, value }) => by === 'hand' && (what === 'corrected' || what === 'judged') && value === reading.value,
    );
    return byHand ? [{ call: call.id, value: reading.value }] : [];
  });
}

/** The ear need not be sure of it, but must have thought of it. */
const leastP = 0.003;

/**
 * How the value was said ("two five" or "twenty five"), from what the ear thought possible; null where it thought of
 * nothing that means the value. Then either it was said in some other way, or something else was said and the person
 * changed the value for another reason: nothing to learn from.
 */
export function wordsSaid(
  value: Decimal,
  best: readonly { readonly text: string; readonly p: number }[],
  words: Words,
): string | null {
  const said = best.find(({ text, p }) => {
    if (p < leastP) return false;
    const candidate = understand([{ text, p, ear: 'own' }], words).candidates[0]?.candidate;
    return candidate?.kind === 'reading' && candidate.values.length === 1 && candidate.values[0] === value;
  });
  return said?.text ?? null;
}
