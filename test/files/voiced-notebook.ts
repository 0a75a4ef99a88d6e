import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import type { Notebook } from '../../src/log/state.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { seeded } from './mutations.ts';

const runWords = ['one', 'two', 'three'];

/**
 * Three runs of eleven readings as a voice leaves them behind (invented): every call with its sound, what an ear made of
 * it (two guesses with confidences) and the judgement; flasks poured and runs begun by voice.
 */
export function voicedNotebook(seed: number, newId: (n: number) => string): Notebook {
  const random = seeded(seed);
  const plain = groupNotebook(seed).events;
  const tenth = (ms: number): number => Math.round(10 * ms) / 10;
  const id = 'd95a6c1e-77b0-4f52-8e03-6b1c94f2a870';
  const events: NotebookEvent[] = [];
  let atMs = 0;
  let ids = 0;
  let run: string | null = null;
  const add = (afterMs: number, body: EventBody): void => {
    atMs = tenth(atMs + afterMs);
    const seq = events.length + 1;
    events.push({
      id: `${id.slice(0, 8)}-${seq}`,
      seq,
      atMs,
      wallMs: 1_771_234_567_890 + Math.round(atMs),
      page: 1,
      body,
    });
  };
  /** Something said: the call, the words, what they were taken for; the moment it was said. */
  const say = (
    text: string,
    body: Pick<Judged, 'outcome' | 'meaning' | 'reason'>,
  ): { call: string; timeMs: number } => {
    const call = newId(++ids);
    const onsetMs = tenth(atMs + 2000 + 17_000 * random());
    const endMs = tenth(onsetMs + 250 + 500 * random());
    atMs = tenth(endMs + 180 + 40 * random());
    add(0, {
      kind: 'called',
      call,
      onsetMs,
      endMs,
      timing: 'sound',
      uOnsetMs: random() < 0.7 ? 8 : 16,
      clip: true,
      run,
    });
    const p = Math.round(1000 * (0.6 + 0.39 * random())) / 1000;
    const guesses = [{ text, p }, ...(random() < 0.5 ? [{ text: `${text}s`, p: null }] : [])];
    const lag = 400 + 700 * random();
    add(lag, {
      kind: 'heard',
      call,
      ear: 'browser',
      alternatives: guesses,
      final: true,
      lagMs: Math.round(atMs + lag - onsetMs),
    });
    add(random() < 0.3 ? 0.1 : 0, { kind: 'judged', call, rivals: [], by: 'ear', ...body });
    return { call, timeMs: onsetMs };
  };
  const command = (meaning: Judged['meaning']) =>
    ({ outcome: 'command', meaning, reason: 'a procedure word' }) as const;
  for (const { body } of plain.slice(0, 3)) add(1, body);
  for (const [r, word] of runWords.entries()) {
    const label = String(r + 1);
    for (const [reagent, value] of [
      ['water', '10'],
      ['iodide', '20'],
      ['peroxide', '20'],
    ] as const) {
      const said = say(`poured ${value} of ${reagent}`, command({ kind: 'poured', value, reagent }));
      add(0, {
        kind: 'poured',
        value,
        reagent,
        solution: reagent,
        ...said,
        run: null,
        forRun: label,
        settled: 'as-planned',
      });
    }
    const { timeMs, call } = say('baseline four', command({ kind: 'baseline', value: '4' }));
    add(0, { kind: 'baseline', value: '4', timeMs, call, run: null });
    const begun = say(`start run ${word}`, command({ kind: 'start-run', run: label }));
    run = newId(++ids);
    add(0, { kind: 'run-started', run, label, timeMs: begun.timeMs });
    for (let i = 1; i <= 11; i++) {
      const value = String(4 + 2 * i);
      say(value, {
        outcome: 'taken',
        meaning: { kind: 'reading', values: [{ value }] },
        reason: `heard as ${value}, the mark that was due`,
      });
    }
    const ended = say('end run', command({ kind: 'end-run' }));
    add(0, { kind: 'run-ended', run, timeMs: ended.timeMs });
    run = null;
  }
  return { id, events };
}

type Judged = Extract<EventBody, { kind: 'judged' }>;
