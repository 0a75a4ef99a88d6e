import { expect, test } from 'vitest';
import type { Result } from '../../src/hearing/phrases.ts';
import {
  type EarEffect,
  type EarEvent,
  type EarState,
  type EarWorld,
  newEar,
} from '../../src/hearing/supervisor-state.ts';
import { earStep } from '../../src/hearing/supervisor-step.ts';
import { frozen } from '../frozen.ts';

/** Sequences of events replayed through the steps alone: no engine, no timer that runs, no promise. */

/** The state between steps, the timers that are set, and what came out. */
function replay(known: Partial<Parameters<typeof newEar>[0]> = {}) {
  let state: EarState = newEar({ language: 'en-GB', local: false, oneShot: false, usePhrases: false, ...known });
  let world: EarWorld = { nowMs: 10_000, hidden: false, permission: 'granted', online: true };
  const timers = new Map<string, number>();
  const out: string[] = [];
  const words = (effect: EarEffect): string | null => {
    if (effect.kind === 'set-timer') timers.set(effect.name, world.nowMs + effect.ms);
    if (effect.kind === 'clear-timer') timers.delete(effect.name);
    if (effect.kind === 'set-timer' || effect.kind === 'clear-timer') return null;
    if (effect.kind === 'start') return `start ${effect.settings.language}`;
    if (effect.kind !== 'emit') return effect.kind;
    const { event } = effect;
    if (event.kind === 'phase') return event.phase;
    if (event.kind === 'trouble') return `${event.trouble.kind}${event.trouble.stopped ? ', stopped' : ''}`;
    if (event.kind === 'recovered') return `not ${event.trouble}`;
    if (event.kind !== 'heard') return event.kind;
    const { alternatives, final, tentative } = event.heard;
    return `“${alternatives[0]?.text ?? ''}”${final ? '.' : tentative ? '?' : '…'}`;
  };
  const play = (event: EarEvent, nowMs = world.nowMs): string[] => {
    world = { ...world, nowMs };
    const step = earStep(frozen(state), event, world);
    state = step.state;
    const said = step.effects.map(words).filter((one) => one !== null);
    out.push(...said);
    return said;
  };
  /** Lets time pass to a moment; timers that are due on the way are events. */
  const until = (nowMs: number): string[] => {
    const from = out.length;
    for (;;) {
      const [next] = [...timers].sort((a, b) => a[1] - b[1]);
      if (!next || next[1] > nowMs) break;
      timers.delete(next[0]);
      play({ kind: 'timer', name: next[0] as Extract<EarEvent, { kind: 'timer' }>['name'] }, next[1]);
    }
    world = { ...world, nowMs };
    return out.slice(from);
  };
  return {
    play,
    until,
    know(more: Partial<EarWorld>) {
      world = { ...world, ...more };
    },
    state: () => state,
    timers: () => [...timers.keys()].sort(),
    /** Brings it to listen at 10 s, in its first session. */
    open() {
      play({ kind: 'start' });
      play({ kind: 'claimed', given: true });
      play({ kind: 'made', failed: null });
      play({ kind: 'audio', generation: 1 });
    },
  };
}

const list = (...entries: readonly string[]): readonly Result[] =>
  entries.map((text) => ({
    final: text.endsWith('.'),
    alternatives: [{ transcript: text.replace('.', ''), confidence: text.endsWith('.') ? 0.9 : 0 }],
  }));
const results = (generation: number, ...entries: readonly string[]): EarEvent => ({
  kind: 'results',
  generation,
  results: list(...entries),
});

test('a start asks for the place, then for the engine, then starts it: all before any time has passed', () => {
  const { play, state } = replay();
  expect(play({ kind: 'start' })).toEqual(['waiting', 'claim']);
  expect(play({ kind: 'claimed', given: true })).toEqual(['make']);
  expect(play({ kind: 'made', failed: null })).toEqual(['starting', 'start en-GB']);
  expect(play({ kind: 'audio', generation: 1 })).toEqual(['listening']);
  expect(state().starts).toBe(1);
});

test('the engine dies in mid-call: the words it had are given as unsure, and a new object listens again', () => {
  const { play, until, open, state } = replay();
  open();
  expect(play(results(1, 'twenty'), 11_000)).toEqual(['“twenty”…']);
  // 2.5 s without a change it is asked to end; it does not answer; it is aborted; it does not answer; it is left.
  expect(until(20_000)).toEqual(['ending', 'end-gently', '“twenty”?', 'abort', 'discard', 'quiet', 'waiting', 'make']);
  expect(play({ kind: 'made', failed: null })).toEqual(['starting', 'start en-GB']);
  // Late words of the session that is over go nowhere.
  expect(play(results(1, '25.'))).toEqual([]);
  expect(play({ kind: 'audio', generation: 2 })).toEqual(['listening']);
  expect(state().session?.generation).toBe(2);
});

test('a pause in mid-call ends the session at once, keeps the words as unsure, and starts nothing until it is resumed', () => {
  const { play, until, open, timers } = replay();
  open();
  play(results(1, 'fourteen'), 12_000);
  expect(play({ kind: 'pause' }, 12_100)).toEqual(['“fourteen”?', 'ending', 'abort']);
  // The aborted engine may still talk: nothing of it counts.
  expect(play(results(1, '14.'), 12_150)).toEqual([]);
  expect(play({ kind: 'error', generation: 1, code: 'aborted', message: '' }, 12_160)).toEqual([]);
  expect(play({ kind: 'ended', generation: 1 }, 12_170)).toEqual(['quiet', 'waiting']);
  // Two who speak: one resume is not enough.
  play({ kind: 'pause' }, 12_200);
  expect(play({ kind: 'resume' }, 14_000)).toEqual([]);
  expect(until(20_000)).toEqual([]);
  play({ kind: 'resume' });
  expect(timers()).toEqual(['restart']);
  expect(until(20_399)).toEqual([]);
  expect(until(20_400)).toEqual(['starting', 'start en-GB']);
});

test('a start while it ends gently begins again when it has ended', () => {
  const { play, until, open } = replay();
  open();
  expect(play({ kind: 'stop' }, 15_000)).toEqual(['ending', 'end-gently']);
  expect(play({ kind: 'start' }, 15_010)).toEqual([]);
  expect(play({ kind: 'ended', generation: 1 }, 15_030)).toEqual(['quiet', 'waiting']);
  expect(until(16_000)).toEqual(['starting', 'start en-GB']);
});

test('silence after a start: no failure while the browser asks the person, three strikes after', () => {
  const { play, until, know, state } = replay();
  know({ permission: 'prompt' });
  play({ kind: 'start' });
  play({ kind: 'claimed', given: true });
  play({ kind: 'made', failed: null });
  expect(until(60_000)).toEqual([]);
  know({ permission: 'granted' });
  for (let strike = 1; strike < 3; strike++) {
    const said = until(60_000 + 12_000 * strike);
    expect(said).toContain('discard');
    expect(said.at(-1)).toBe('make');
    play({ kind: 'made', failed: null });
  }
  expect(until(100_000).slice(-2)).toEqual(['recogniser-silent, stopped', 'stopped']);
  expect(state().wanted).toBe(false);
});

test('another page listens: it stops and says so; given up meanwhile, the place goes back', () => {
  const { play } = replay();
  play({ kind: 'start' });
  expect(play({ kind: 'claimed', given: false })).toEqual(['recogniser-busy, stopped', 'stopped']);
  play({ kind: 'start' });
  play({ kind: 'stop' });
  expect(play({ kind: 'claimed', given: true })).toEqual(['release']);
});

test('an engine that refuses phrases is started without them the next time', () => {
  const { play, until, open, state } = replay({ local: true, usePhrases: true });
  open();
  play({ kind: 'phrases-refused' });
  play(results(1, '25.'), 11_000);
  play({ kind: 'ended', generation: 1 }, 12_000);
  until(13_000);
  expect(state().usePhrases).toBe(false);
  expect(state().starts).toBe(2);
});

test('a hidden page keeps what was said, starts nothing, and goes on when it is shown', () => {
  const { play, until, open, know } = replay();
  open();
  play(results(1, 'thirty one'), 11_000);
  know({ hidden: true });
  expect(play({ kind: 'visibility', hidden: true }, 11_200)).toEqual(['“thirty one”?', 'page-hidden']);
  play({ kind: 'error', generation: 1, code: 'aborted', message: '' }, 11_300);
  play({ kind: 'ended', generation: 1 }, 11_400);
  expect(until(60_000)).toEqual([]);
  know({ hidden: false });
  play({ kind: 'visibility', hidden: false });
  expect(until(60_300)).toEqual(['starting', 'start en-GB']);
});
