import { afterEach, expect, test, vi } from 'vitest';
import { type Cue, cueLengthMs, cueTones, makeCues } from '../../src/answering/cues.ts';
import { the } from '../the.ts';

/** A sound system that notes what it was told to play. */
function makeSystem() {
  const played: { fromS: number; toS: number; hz: number[]; gains: { at: number; value: number }[]; cut: boolean }[] =
    [];
  const state = { resumed: 0, closed: 0 };
  const context = {
    state: 'suspended',
    currentTime: 10,
    destination: {},
    resume: async () => {
      state.resumed++;
      context.state = 'running';
    },
    close: async () => {
      state.closed++;
    },
    createOscillator() {
      const note = { fromS: 0, toS: 0, hz: [] as number[], gains: [] as { at: number; value: number }[], cut: false };
      played.push(note);
      const oscillator = {
        type: '',
        frequency: {
          setValueAtTime: (hz: number) => note.hz.push(hz),
          exponentialRampToValueAtTime: (hz: number) => note.hz.push(hz),
        },
        onended: null,
        connect: (next: { note?: unknown }) => {
          next.note = note;
          return next;
        },
        start: (at: number) => {
          note.fromS = at;
        },
        stop: (at?: number) => {
          if (at === undefined) note.cut = true;
          else note.toS = at;
        },
      };
      return oscillator;
    },
    createGain() {
      const note = () => the(played.at(-1));
      return {
        gain: {
          value: 1,
          setValueAtTime: (value: number, at: number) => note().gains.push({ at, value }),
          linearRampToValueAtTime: (value: number, at: number) => note().gains.push({ at, value }),
          cancelScheduledValues: () => undefined,
        },
        connect: (next: unknown) => next,
        disconnect: () => undefined,
      };
    },
  };
  return { context: context as unknown as AudioContext, played, state };
}

afterEach(() => vi.useRealTimers());

const names = Object.keys(cueTones) as Cue[];

test('no two cues have the same rhythm, so that they differ without pitch', () => {
  const rhythms = names.map((cue) => cueTones[cue].map(({ lengthMs, atMs }) => `${atMs}+${lengthMs}`).join(' '));
  expect(new Set(rhythms).size).toBe(names.length);
  // More than that: number of tones, or total length, tell them apart clearly.
  for (const one of names)
    for (const other of names)
      if (one < other) {
        const differs =
          cueTones[one].length !== cueTones[other].length || Math.abs(cueLengthMs(one) - cueLengthMs(other)) >= 100;
        expect(differs, `${one} and ${other}`).toBe(true);
      }
});

test('cues are short', () => {
  for (const cue of names) expect(cueLengthMs(cue)).toBeLessThanOrEqual(800);
  expect(cueLengthMs('taken')).toBeLessThanOrEqual(100);
});

test.each(names)('"%s" is played as it is written, faded at both ends, and its end is reported', (cue) => {
  const { context, played } = makeSystem();
  const told: number[] = [];
  const cues = makeCues({ makeContext: () => context, onPlay: (length) => told.push(length) });
  const before = performance.now();
  const end = cues.play(cue);
  expect(end - before).toBeGreaterThanOrEqual(cueLengthMs(cue));
  expect(told[0]).toBeGreaterThanOrEqual(cueLengthMs(cue));
  expect(played).toHaveLength(cueTones[cue].length);
  for (const [index, { atMs, lengthMs, fromHz }] of cueTones[cue].entries()) {
    const note = the(played[index]);
    expect(note.fromS).toBeCloseTo(10.005 + atMs / 1000, 6);
    expect(note.toS).toBeGreaterThanOrEqual(note.fromS + lengthMs / 1000);
    expect(note.hz[0]).toBe(fromHz);
    expect(note.gains[0]?.value).toBe(0);
    expect(note.gains.at(-1)?.value).toBe(0);
    expect(Math.max(...note.gains.map(({ value }) => value))).toBeLessThanOrEqual(0.6);
  }
});

test('silent, or volume nought: nothing is played and no sound system is made', () => {
  let made = 0;
  const { context, played } = makeSystem();
  const cues = makeCues({
    silent: true,
    makeContext: () => {
      made++;
      return context;
    },
  });
  expect(cues.play('taken')).toBe(0);
  cues.setSilent(false);
  cues.setVolume(0);
  expect(cues.play('taken')).toBe(0);
  expect(made).toBe(0);
  cues.setVolume(1);
  cues.play('taken');
  expect(played).toHaveLength(1);
});

test('a new cue cuts the one before; silence cuts what sounds', () => {
  const { context, played } = makeSystem();
  const cues = makeCues({ makeContext: () => context });
  cues.play('trouble');
  cues.play('taken');
  expect(played.map(({ cut }) => cut)).toEqual([true, true, false]);
  cues.setSilent(true);
  expect(played.every(({ cut }) => cut)).toBe(true);
});

test('louder is louder, in the order of the control', () => {
  const peak = (volume: number): number => {
    const { context, played } = makeSystem();
    makeCues({ volume, makeContext: () => context }).play('taken');
    return Math.max(...the(played[0]).gains.map(({ value }) => value));
  };
  const peaks = [0.1, 0.3, 0.5, 0.8, 1].map(peak);
  expect([...peaks].sort((a, b) => a - b)).toEqual(peaks);
  expect(peak(7)).toBe(peak(1));
});

test('a browser without a sound system plays nothing and fails at nothing', () => {
  const cues = makeCues({ makeContext: () => null });
  cues.prime();
  expect(cues.play('taken')).toBe(0);
  cues.dispose();
});

test('the sound system is woken in the tap and closed in the end', () => {
  const { context, state } = makeSystem();
  const cues = makeCues({ makeContext: () => context });
  cues.prime();
  expect(state.resumed).toBe(1);
  cues.dispose();
  expect(state.closed).toBe(1);
});
