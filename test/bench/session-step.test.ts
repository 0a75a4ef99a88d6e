import { expect, test } from 'vitest';
import { defaultPreferences } from '../../src/bench/preferences.ts';
import {
  newSession,
  type SessionEffect,
  type SessionEvent,
  type SessionState,
  type SessionWorld,
  sessionStep,
} from '../../src/bench/session-step.ts';
import { makeUnderstanding } from '../../src/bench/understanding.ts';
import { latestUndo } from '../../src/bench/undo.ts';
import type { EarName, Heard } from '../../src/hearing/ear.ts';
import type { PageLanguage } from '../../src/language/page-language.ts';
import { en } from '../../src/language/words/en.ts';
import type { NotebookEvent } from '../../src/log/event.ts';
import { makeFold } from '../../src/log/reduce.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { frozen } from '../frozen.ts';

/** Sequences of events replayed through the steps alone: no promise, timer, disk or sound. */

/** A notebook in memory and the state between steps; what `record` asks for is answered at once, or held. */
function replay(shownIn: PageLanguage = 'en') {
  const fold = makeFold();
  const log: NotebookEvent[] = [];
  const understanding = makeUnderstanding(() => en);
  let state: SessionState = newSession('id-');
  let nowMs = 0;
  let stores = true;
  const played: string[] = [];
  const append = (bodies: readonly NotebookEvent['body'][]): string[] => {
    const fresh = bodies.map((body, k): NotebookEvent => {
      const seq = log.length + k;
      return { id: `e${seq}`, seq, atMs: nowMs, wallMs: 1.7e12 + nowMs, page: 0, body };
    });
    log.push(...fresh);
    fold.append(fresh);
    return fresh.map(({ id }) => id);
  };
  const world = (): SessionWorld => ({
    notebook: fold.state(),
    nowMs,
    understanding,
    preferences: defaultPreferences,
    hearsWords: true,
    shownIn,
  });
  /** One step alone; what it asks for is given back. */
  const step = (event: SessionEvent): readonly SessionEffect[] => {
    const next = sessionStep(frozen(state), event, world());
    state = next.state;
    for (const effect of next.effects) if (effect.kind === 'play') played.push(effect.cue);
    return next.effects;
  };
  const answerTo = (effect: SessionEffect): SessionEvent | null => {
    if (effect.kind === 'record') return { kind: 'stored', ids: stores ? append(effect.bodies) : null };
    return effect.kind === 'fetch-decisions' ? { kind: 'decisions', decisions: null } : null;
  };
  const play = (event: SessionEvent): void => {
    for (const effect of step(event)) {
      const answer = answerTo(effect);
      if (answer) play(answer);
    }
  };
  append([
    { kind: 'set-up', setup: defaultSetup },
    { kind: 'run-started', run: 'r', label: '1', timeMs: 0 },
  ]);
  return {
    step,
    play,
    played,
    at(timeS: number) {
      nowMs = Math.max(nowMs, 1000 * timeS);
    },
    breakStorage() {
      stores = false;
    },
    undo: (): SessionEvent => ({ kind: 'undo-asked', undo: latestUndo(fold.state()) }),
    state: () => state,
    notebook: fold.state,
    log: () => log.map(({ body }) => body.kind),
    readings: () =>
      (fold.state().runs[0]?.readings ?? []).map(
        ({ value, timeMs, outcome, struck, settled }) =>
          `${value} at ${timeMs / 1000}${struck ? ', struck' : settled ? ', settled' : `, ${outcome}`}`,
      ),
  };
}

/** A settled call of some sound, with what ears made of it. */
function called(id: string, timeS: number, ...said: readonly (readonly [EarName, string, number?])[]): SessionEvent {
  const onsetMs = 1000 * timeS;
  const heard = said.map(
    ([ear, text, confidence]): Heard => ({
      ear,
      generation: 1,
      phrase: `${id}-${ear}`,
      alternatives: [{ text, confidence: confidence ?? null }],
      final: true,
      tentative: false,
      firstWordsMs: onsetMs + 600,
      atMs: onsetMs + 1100,
      utterance: id,
    }),
  );
  const shared = { endMs: onsetMs + 500, onsetMs };
  const call = { id, ...shared, timing: 'sound', uOnsetMs: 15, utterance: null, heard, settled: true } as const;
  return { kind: 'called', call, ...shared };
}

test('a call is asked to be stored before anything sounds, and what it means before its cue', () => {
  const { step } = replay();
  const first = step(called('a', 10, ['browser', '12']));
  expect(first).toMatchObject([{ kind: 'record', bodies: [{ kind: 'called', onsetMs: 10_000 }] }]);
  const second = step({ kind: 'stored', ids: ['x'] });
  expect(second).toMatchObject([{ kind: 'record', bodies: [{ kind: 'heard' }, { kind: 'judged', outcome: 'taken' }] }]);
  const third = step({ kind: 'stored', ids: ['y', 'z'] });
  expect(third).toEqual([{ kind: 'play', cue: 'taken' }]);
});

test('a correction while a doubt is open: the doubted reading gets the value and keeps its moment', () => {
  const { play, readings, state, played } = replay();
  play(called('a', 10, ['browser', '12']));
  play(called('b', 20, ['browser', '14']));
  play(called('c', 30, ['browser', '16']));
  play(called('d', 40, ['browser', '80']));
  expect(readings().at(-1)).toBe('18 at 40, doubtful');
  expect(played.at(-1)).toBe('doubtful');
  play(called('e', 44, ['browser', 'correction twenty']));
  expect(readings()).toEqual(['12 at 10, taken', '14 at 20, taken', '16 at 30, taken', '20 at 40, settled']);
  expect(state().view.exchange).toMatchObject({ heard: 'correction twenty' });
});

test('a reading called while the doubt before it is open changes the mind about it, in one more record', () => {
  const { play, readings, played } = replay();
  for (const [k, text] of ['12', '14', '16', '28', '20', '22'].entries())
    play(called(`c${k}`, 10 + 10 * k, ['browser', text]));
  expect(readings()[3]).toMatch(/^18 at 40/);
  expect(played.slice(-1)).toEqual(['doubtful']);
});

test('two ears disagree about a command: its events are taken back, then the other meaning is carried out', () => {
  const { play, step, readings, log } = replay();
  play(called('a', 10, ['browser', '12']));
  play(called('b', 15, ['browser', 'disregard']));
  expect(readings()).toEqual(['12 at 10, struck']);
  const before = log().length;
  const [effect] = step(called('b', 15, ['browser', 'disregard'], ['own', '14', 0.97]));
  expect(effect).toMatchObject({ kind: 'record', bodies: [{ kind: 'heard', ear: 'own' }, { kind: 'undone' }] });
  // The same again, with its answers.
  const again = replay();
  again.play(called('a', 10, ['browser', '12']));
  again.play(called('b', 15, ['browser', 'disregard']));
  again.play(called('b', 15, ['browser', 'disregard'], ['own', '14', 0.97]));
  expect(again.readings()).toContain('12 at 10, taken');
  expect(again.log().slice(before)).toEqual(['heard', 'undone', 'judged']);
});

test('one ear that changes its mind about a command leaves it done, and what it heard is kept', () => {
  const { play, readings, log } = replay();
  play(called('a', 10, ['browser', '12']));
  play(called('b', 15, ['browser', 'disregard']));
  play(called('b', 15, ['browser', '14']));
  expect(readings()).toEqual(['12 at 10, struck']);
  expect(log().at(-1)).toBe('heard');
});

test('stand by and go ahead: a number in between is kept as a call, not as a reading', () => {
  const { play, readings, notebook } = replay();
  play(called('a', 10, ['browser', '12']));
  play(called('b', 15, ['browser', 'stand by']));
  play(called('c', 20, ['browser', '14']));
  play(called('d', 25, ['browser', 'go ahead']));
  play(called('e', 30, ['browser', '16']));
  expect(readings().map((one) => one.split(',')[0])).toEqual(['12 at 10', '16 at 30']);
  expect(notebook().calls.map(({ outcome }) => outcome)).toEqual([
    'taken',
    'command',
    'not-a-reading',
    'command',
    'taken',
  ]);
});

test('storage fails in the middle: the person hears trouble, nothing is left half done', () => {
  const { play, breakStorage, state, played } = replay();
  play(called('a', 10, ['browser', '12']));
  breakStorage();
  play(called('b', 20, ['browser', '14']));
  expect(played).toEqual(['taken', 'trouble']);
  expect(state().view.exchange?.answer).toContain('not stored, in this page only');
  expect(state().pending).toBeNull();
});

test('a warning between the question to the disk and its answer loses neither', () => {
  const { step, play, state } = replay();
  step(called('a', 10, ['browser', '12']));
  play({ kind: 'told', reply: { tone: 'trouble', text: 'The cylinder is nearly full' }, cue: undefined });
  expect(state().view.exchange?.answer).toBe('The cylinder is nearly full');
  const next = step({ kind: 'stored', ids: ['x'] });
  expect(next).toMatchObject([{ kind: 'record', bodies: [{ kind: 'heard' }, { kind: 'judged' }] }]);
});

test('a fault drops the piece of work and says so; the next call is dealt with', () => {
  const { step, play, state, readings } = replay();
  step(called('a', 10, ['browser', '12']));
  play({ kind: 'failed' });
  expect(state().pending).toBeNull();
  play(called('b', 20, ['browser', '14']));
  expect(readings()).toEqual(['14 at 20, taken']);
});

test('an undo that takes a run back is asked about, and holds for 15 s', () => {
  const { at, play, undo, state, notebook } = replay();
  play({ kind: 'pressed', meaning: { kind: 'end-run' }, timeMs: 5000 });
  play({ kind: 'pressed', meaning: { kind: 'start-run', run: '2' }, timeMs: 6000 });
  play(called('a', 10, ['browser', '12']));
  at(20);
  play(undo());
  expect(state().view.exchange?.tone).toBe('doubtful');
  at(36);
  play(undo());
  expect(state().view.exchange?.tone).toBe('doubtful');
  expect(notebook().runs.map(({ label }) => label)).toEqual(['1', '2']);
  at(40);
  play(undo());
  expect(state().view.exchange?.tone).toBe('struck');
  expect(notebook().runs.map(({ label }) => label)).toEqual(['1']);
});

test('sounds without words between runs are cued once a minute, shown always', () => {
  const { at, play, played, state } = replay();
  play({ kind: 'pressed', meaning: { kind: 'end-run' }, timeMs: 5000 });
  played.length = 0;
  for (const timeS of [10, 40, 65, 130]) {
    at(timeS);
    play(called(`s${timeS}`, timeS));
    expect(state().view.exchange?.atMs).toBe(1000 * timeS);
  }
  expect(played).toEqual(['unresolved', 'unresolved']);
});

test('the same events give the same state and the same log', () => {
  const run = (): unknown => {
    const { play, state, notebook } = replay();
    play(called('a', 10, ['browser', '12']));
    play(called('b', 20, ['browser', 'fourteen'], ['own', '40', 0.4]));
    play({ kind: 'words-coming', text: 'six' });
    play({ kind: 'pressed', meaning: { kind: 'mark' }, timeMs: 30_000 });
    return [state(), notebook()];
  };
  expect(run()).toEqual(run());
});

test('calls in English on a German page: shown in German with the English words to say, said aloud in English', () => {
  const { play, step, undo, state, breakStorage, at } = replay('de');
  const shown = () => state().view.exchange?.answer;
  play(called('a', 10, ['browser', '12.5']));
  expect(shown()).toBe('12,5 mL bei Zeit null');
  play(called('b', 15, ['browser', 'disregard']));
  expect(shown()).toBe('Gestrichen: 12,5 mL bei 0:00');
  play(undo());
  expect(state().view.exchange?.answer).toMatch(/^Zurückgenommen: /);
  play(called('c', 20, ['browser', 'stand by']));
  expect(shown()).toBe('Pause. Zum Fortsetzen „go ahead“ sagen.');
  play(called('d', 25, ['browser', 'go ahead']));
  at(30);
  const said = step({ kind: 'pressed', meaning: { kind: 'step', which: 'read' }, timeMs: 30_000 });
  expect(said).toMatchObject([{ kind: 'fetch-decisions' }]);
  const spoken = step({ kind: 'decisions', decisions: null });
  expect(shown()).toBe('Es gibt keinen Laufplan zum Vorlesen');
  expect(spoken.map(({ kind }) => kind)).toContain('play');
  breakStorage();
  play(called('e', 40, ['browser', 'end run']));
  expect(state().view.exchange?.answer).toMatch(/^Lauf 1 beendet.*; nicht gespeichert, nur auf dieser Seite$/);
});

test('what is read aloud stays in the language of the calls', () => {
  const { play, step, at } = replay('de');
  play(called('a', 10, ['browser', '12']));
  play(called('b', 20, ['browser', '14']));
  play(called('c', 30, ['browser', '16']));
  at(40);
  const reply = { tone: 'told', text: '3 calls', shown: '3 Ansagen', asked: true } as const;
  expect(step({ kind: 'told', reply, cue: undefined })).toContainEqual({ kind: 'say', reply });
});
