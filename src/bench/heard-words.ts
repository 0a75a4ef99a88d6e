import type { Heard } from '../hearing/ear.ts';
import type { HeardCall } from '../hearing/pairing.ts';
import type { Hypothesis } from '../language/understand.ts';
import type { EventBody } from '../log/event.ts';
import { nth } from '../numerics/nth.ts';

/**
 * What was heard of one call, as hypotheses of each ear, best first. Phrases that one ear made of one sound are joined
 * as they came.
 */
export function hypothesesOf(heard: readonly Heard[]): Hypothesis[] {
  const byEar = new Map<Heard['ear'], Heard[]>();
  for (const answer of heard) {
    if (answer.alternatives.length > 0) byEar.set(answer.ear, [...(byEar.get(answer.ear) ?? []), answer]);
  }
  return [...byEar].flatMap(([ear, answers]): Hypothesis[] => {
    const only = answers.length === 1 ? answers[0] : undefined;
    if (only)
      return only.alternatives.map(({ text, confidence, begins }) => ({
        text: text.trim(),
        p: confidence,
        ear,
        ...(begins ? { begins } : {}),
      }));
    return [{ text: answers.map((answer) => nth(answer.alternatives, 0).text.trim()).join(' '), p: null, ear }];
  });
}

/**
 * What ears made of a call, as events: each answer once.
 * @param id of the call in the notebook
 * @param recorded answers that are in the log already
 * @returns the events to record, and `recorded` with them
 */
export function heardEventsOf(
  call: HeardCall,
  id: string,
  recorded: ReadonlySet<string>,
): { readonly events: readonly EventBody[]; readonly recorded: ReadonlySet<string> } {
  const all = new Set(recorded);
  const events = call.heard.flatMap((heard): EventBody[] => {
    const key = `${heard.ear} ${heard.generation} ${heard.phrase} ${heard.final} ${heard.alternatives[0]?.text}`;
    if (all.has(key) || heard.alternatives.length === 0) return [];
    all.add(key);
    return [
      {
        kind: 'heard',
        call: id,
        ear: heard.ear,
        alternatives: heard.alternatives
          .slice(0, 30)
          .map(({ text, confidence }) => ({ text: text.slice(0, 2000), p: rounded(confidence) })),
        final: heard.final,
        lagMs: Math.round(heard.atMs - call.onsetMs),
      },
    ];
  });
  return { events, recorded: all };
}

/** To the three places that a confidence can mean. */
const rounded = (p: number | null): number | null => (p === null ? null : Math.round(1000 * p) / 1000);
