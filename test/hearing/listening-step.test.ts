import { expect, test } from 'vitest';
import type { EarCall, Heard } from '../../src/hearing/ear.ts';
import {
  type Core,
  type CoreEvent,
  type EarChoice,
  isBusy,
  type ListeningEffect,
  type ListeningWorld,
  listeningStep,
  newListening,
  seenOf,
} from '../../src/hearing/listening-step.ts';
import { frozen } from '../frozen.ts';
import { utterance, words } from './heard.ts';

/** Sequences of events replayed through the steps alone: no microphone, no engine, no timer that runs, no promise. */

function replay(ears: EarChoice, setting: Partial<Core['setting']> = {}) {
  let core = newListening(ears, { recogniser: true, oneMicrophoneOwner: false, ...setting }, 'w');
  let world: ListeningWorld = { nowMs: 1000, ownEar: 'off', ownEarLoaded: 0 };
  const calls = new Map<string, string>();
  const name = (effect: ListeningEffect): string | null => {
    if (effect.kind === 'changed' || effect.kind === 'set-tick' || effect.kind === 'clear-tick') return null;
    if (effect.kind === 'supervisor') return `browser ${effect.act}`;
    if (effect.kind !== 'emit') return effect.kind;
    const { event } = effect;
    if (event.kind === 'trouble' || event.kind === 'recovered') {
      const { trouble } = event;
      return typeof trouble === 'string' ? `not ${trouble}` : `${trouble.kind}${trouble.stopped ? ', stopped' : ''}`;
    }
    if (event.kind !== 'call') return event.kind;
    const { id, heard, settled, during } = event.call;
    const texts = heard.map(({ ear, alternatives }) => `${ear} ${alternatives[0]?.text}`).join(' / ');
    const text = `${texts || 'no words'}${settled ? '' : '…'}${during ? ' over speech' : ''}`;
    calls.set(id, text);
    return `call ${id}: ${text}`;
  };
  const play = (event: CoreEvent, nowMs = world.nowMs): string[] => {
    world = { ...world, nowMs };
    const step = listeningStep(frozen(core), event, world);
    core = step.state;
    return step.effects.map(name).filter((one) => one !== null);
  };
  return {
    play,
    /** What the embedded ear is at. */
    ownEar(ownEar: ListeningWorld['ownEar']) {
      world = { ...world, ownEar };
    },
    seen: () => seenOf(core, world),
    busy: () => isBusy(core, world),
    calls: () => [...calls].map(([id, text]) => `${id}: ${text}`),
    core: () => core,
    /** Opens, with sound coming in and the browser's ear, where it is used, listening. */
    open() {
      const asked = play({ kind: 'open' });
      if (asked.includes('open-microphone')) play({ kind: 'live', live: true });
      if (asked.includes('make-browser-ear')) browser({ kind: 'phase', phase: 'listening' });
      play({ kind: 'opened' });
      return asked;
    },
  };
  function browser(event: Extract<CoreEvent, { kind: 'browser' }>['event']): void {
    play({ kind: 'browser', event });
  }
}

const heardIn = (heard: Heard): CoreEvent => ({ kind: 'browser', event: { kind: 'heard', heard } });

/** What the embedded ear found in a sound. */
function found(id: string, onsetMs: number, text: string, p = 0.95): CoreEvent {
  const sound = utterance(id, onsetMs);
  const call: EarCall = {
    ...sound,
    onsetS: 0,
    endS: 0.8,
    uOnsetS: 0.01,
    answer: { best: text === '' ? [] : [{ text, p }], speech: 0.99 },
    voice: true,
    nearness: null,
  };
  return { kind: 'found', utterance: sound, call, ear: 'own' };
}

test('opening asks for the browser’s ear first, then for our own, then for the microphone', () => {
  const { open, seen } = replay({ browser: 'on', own: true });
  expect(open()).toEqual(['watch-page', 'make-browser-ear', 'browser start', 'open-own-ear', 'open-microphone']);
  expect(seen()).toMatchObject({
    phase: 'open',
    hearsSound: true,
    hearsWords: true,
    microphone: 'both',
    sinceMs: 1000,
  });
});

test('two ears disagree about one sound: one call, with the words of both', () => {
  const { open, play, ownEar, calls } = replay({ browser: 'on', own: true });
  open();
  ownEar('ready');
  play({ kind: 'onset', onsetMs: 10_000 }, 10_050);
  play({ kind: 'sounded', utterance: utterance('loud', 10_000), speech: true }, 11_150);
  play(found('a', 10_000, 'fifteen'), 11_170);
  play(heardIn(words('1:0', 'fifty', 10_900)), 11_900);
  expect(calls()).toEqual(['a: browser fifty / own fifteen']);
});

test('our own ear dies in mid-call: the sound becomes a call without words, then it hears again', () => {
  const { open, play, ownEar, calls, seen, busy } = replay({ browser: 'off', own: true });
  open();
  ownEar('ready');
  play({ kind: 'onset', onsetMs: 10_000 }, 10_050);
  play({ kind: 'words-since', sinceMs: 10_020 }, 10_100);
  expect(busy()).toBe(true);
  expect(play({ kind: 'sounded', utterance: utterance('a', 10_000), speech: true }, 11_150)).toEqual(['follow']);
  ownEar('loading');
  play({ kind: 'trouble', trouble: { kind: 'ear-restarting', stopped: false } }, 11_800);
  expect(seen()).toMatchObject({ hearsSound: true, hearsWords: false, troubles: [{ kind: 'ear-restarting' }] });
  // Given up: what the loudness found is released as a sound without words.
  ownEar('failed');
  play({ kind: 'words-since', sinceMs: null }, 12_000);
  play({ kind: 'utterance', utterance: utterance('a', 10_000), speech: true }, 12_000);
  expect(calls()).toEqual(['a: no words']);
  expect(seen().ears).toEqual([]);
  // A tap later it is back.
  expect(play({ kind: 'resume' }, 20_000)).toEqual(['resume-microphone']);
  expect(play({ kind: 'resumed' })).toEqual(['open-own-ear']);
  ownEar('ready');
  play(found('b', 21_000, 'fourteen'), 22_000);
  expect(calls()).toEqual(['a: no words', 'b: own fourteen']);
});

test('the tool speaks in between: calls then are marked, the browser’s ear is resumed, and the tail is reported', () => {
  const { open, play, ownEar, calls, seen } = replay({ browser: 'on', own: true });
  open();
  ownEar('ready');
  expect(play({ kind: 'speech-began', spoken: 'fourteen' }, 20_000)).toEqual([]);
  expect(seen()).toMatchObject({ hushed: true, hearsWords: false });
  play({ kind: 'onset', onsetMs: 20_100 }, 20_150);
  play(found('a', 20_100, 'fourteen'), 21_000);
  expect(calls()).toEqual(['a: own fourteen over speech']);
  expect(play({ kind: 'speech-over', id: 0 }, 21_500)).toEqual(['browser resume', 'change-in']);
  expect(play({ kind: 'changed' }, 21_901)).toEqual([]);
  expect(seen().hushed).toBe(false);
  play(found('b', 30_000, 'sixteen'), 31_000);
  expect(calls()).toContain('b: own sixteen');
});

test('after two speeches that no microphone picked up, a sound over the third cuts it short', () => {
  const { open, play } = replay({ browser: 'off', own: true });
  open();
  for (const id of [0, 1]) {
    play({ kind: 'speech-began', spoken: 'x' }, 10_000 * (id + 1));
    play({ kind: 'speech-over', id }, 10_000 * (id + 1) + 1000);
  }
  play({ kind: 'speech-began', spoken: 'x' }, 40_000);
  expect(play({ kind: 'onset', onsetMs: 40_300 }, 40_350)).toEqual(['cut-short']);
});

test('a tone of the tool is no call; a voice over it is', () => {
  const { open, play, calls } = replay({ browser: 'off', own: false });
  open();
  play({ kind: 'tone', lengthMs: 300 }, 10_000);
  play({ kind: 'sounded', utterance: utterance('beep', 10_010, 280), speech: false }, 10_700);
  play({ kind: 'sounded', utterance: utterance('voice', 10_010, 280), speech: true }, 10_750);
  expect(calls()).toEqual(['voice: no words']);
});

test('a phone has one microphone: the other ear takes it when the choice changes', () => {
  const { open, play, seen } = replay({ browser: 'on', own: false }, { oneMicrophoneOwner: true });
  expect(open()).toEqual(['watch-page', 'make-browser-ear', 'browser start']);
  expect(seen()).toMatchObject({ microphone: 'recogniser', hearsSound: false, hearsWords: true });
  expect(play({ kind: 'choose', ears: { browser: 'on', own: true } })).toEqual([
    'drop-browser-ear',
    'open-own-ear',
    'open-microphone',
  ]);
  expect(play({ kind: 'choose', ears: { browser: 'on', own: false } })).toEqual([
    'close-own-ear',
    'close-microphone',
    'make-browser-ear',
    'browser start',
  ]);
});

test('a recogniser that must stay on the device: nothing is started before it is known to; closed meanwhile, nothing', () => {
  const local = replay({ browser: 'local', own: false });
  expect(local.play({ kind: 'open' })).toEqual(['watch-page', 'prepare', 'open-microphone']);
  expect(local.seen().browserEar).toBe('loading');
  expect(local.play({ kind: 'prepared', readiness: 'ready' })).toEqual(['make-browser-ear', 'browser start']);
  const missing = replay({ browser: 'local', own: false });
  missing.play({ kind: 'open' });
  expect(missing.play({ kind: 'prepared', readiness: 'not-downloaded' })).toEqual(['recogniser-language, stopped']);
  const closed = replay({ browser: 'local', own: false });
  closed.play({ kind: 'open' });
  closed.play({ kind: 'close' });
  expect(closed.play({ kind: 'prepared', readiness: 'ready' })).toEqual([]);
});

test('closing settles what is open, once, and leaves nothing told', () => {
  const { open, play, calls, seen, busy } = replay({ browser: 'on', own: false });
  open();
  play({ kind: 'sounded', utterance: utterance('a', 10_000), speech: true }, 11_150);
  play({ kind: 'trouble', trouble: { kind: 'microphone-muted', stopped: false } });
  expect(calls()).toEqual(['a: no words…']);
  expect(busy()).toBe(true);
  expect(play({ kind: 'close' }, 11_500)).toEqual([
    'unwatch-page',
    'drop-browser-ear',
    'close-microphone',
    'close-own-ear',
    'call a: no words',
  ]);
  expect(seen()).toMatchObject({ phase: 'closed', hearsSound: false, troubles: [], sinceMs: null });
  expect(play({ kind: 'close' })).toEqual([]);
});

test('while a simulated caller has the floor, real sound is no call', () => {
  const { open, play, calls } = replay({ browser: 'on', own: false });
  open();
  play({ kind: 'simulate', on: true });
  play({ kind: 'sounded', utterance: utterance('real', 10_000), speech: true }, 11_000);
  play(heardIn(words('1:0', '40', 10_900)), 11_100);
  play({ kind: 'utterance', utterance: utterance('made', 12_000), speech: true }, 13_000);
  play({ kind: 'heard', heard: words('made', '14', 12_600, { ear: 'rehearsal', utterance: 'made' }) }, 13_000);
  expect(calls()).toEqual(['made: rehearsal 14']);
});

test('no step before the words come due leaves a call open for ever: the tick settles it', () => {
  const { open, play, calls } = replay({ browser: 'on', own: false });
  open();
  play({ kind: 'sounded', utterance: utterance('a', 10_000), speech: true }, 11_150);
  play({ kind: 'tick' }, 13_399);
  expect(calls()).toEqual(['a: no words…']);
  play({ kind: 'tick' }, 13_400);
  expect(calls()).toEqual(['a: no words']);
});
