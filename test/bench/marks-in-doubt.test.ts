import { describe, expect, test } from 'vitest';
import { dueMark, gridMoved, markGrid, nextMarkMl, spanReached } from '../../src/bench/marks.ts';
import type { Rival } from '../../src/log/event.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import type { Call, Run } from '../../src/log/state.ts';
import { runOf as run } from './run-of.ts';

const withRivals = (of: Run, at: number, ...rivals: readonly (readonly [string, number])[]): Run => ({
  ...of,
  readings: of.readings.map((reading, k) =>
    k === at
      ? {
          ...reading,
          rivals: rivals.map(
            ([value, p]): Rival => ({ meaning: { kind: 'reading', values: [{ value }] }, p, why: 'heard' }),
          ),
        }
      : reading,
  ),
});

/** A call that was not understood, in s. */
const unheard = (atS: number, more: Partial<Call> = {}): Call => ({
  id: `u${atS}`,
  onsetMs: 1000 * atS,
  endMs: null,
  timing: 'sound',
  uOnsetMs: 15,
  clip: false,
  run: 'r',
  heard: [],
  outcome: 'unresolved',
  meaning: null,
  rivals: [],
  by: 'ear',
  history: [],
  reason: '',
  readings: [],
  ...more,
});

describe('the marks of sure readings', () => {
  const plan = { stepMl: 2 };
  test.each([
    // One in between, or one left out, changes nothing.
    [[11, 13, 14, 15], { anchorMl: 11, stepMl: 2 }],
    [[11, 13, 17, 19], { anchorMl: 11, stepMl: 2 }],
    // Two off the marks that are a step apart move them; two that fall or repeat do not.
    [[11, 13, 15.5, 17.5], { anchorMl: 17.5, stepMl: 2 }],
    [[11, 13.5, 13.5], { anchorMl: 11, stepMl: 2 }],
    [[11, 15.5, 13.5], { anchorMl: 11, stepMl: 2 }],
    [[11, 13.5, 15], { anchorMl: 11, stepMl: 2 }],
    // A longer step at once, after two equal distances; a distance at which nobody calls never.
    [[11, 16, 21], { anchorMl: 21, stepMl: 5 }],
    [[11, 14, 17], { anchorMl: 11, stepMl: 2 }],
    // A shorter step from the first reading on, or after two readings off the marks.
    [[11, 12, 13], { anchorMl: 13, stepMl: 1 }],
    [[11, 13, 14, 15, 16], { anchorMl: 16, stepMl: 1 }],
  ])('%j', (volumes, grid) => {
    const found = markGrid(volumes, plan);
    expect(found?.stepMl).toBe(grid.stepMl);
    // Any mark may stand for all of them.
    const apart = ((found?.anchorMl ?? Number.NaN) - grid.anchorMl) / grid.stepMl;
    expect(apart).toBeCloseTo(Math.round(apart), 9);
  });

  test('before the first reading there are the marks of the setup, or none', () => {
    expect(markGrid([], plan)).toBeNull();
    expect(markGrid([], { stepMl: 2, firstMarkMl: 8 })).toEqual({ anchorMl: 8, stepMl: 2 });
  });
});

describe('other marks are said once', () => {
  const from = { anchorMl: 11, stepMl: 2 };
  test('another step, or the same step from elsewhere; nothing where they are the same', () => {
    expect(gridMoved(from, { anchorMl: 21, stepMl: 5 })?.text).toBe('Calling every 5 mL');
    expect(gridMoved(from, { anchorMl: 15.5, stepMl: 2 })?.text).toMatch(/2 mL.*15\.5/);
    expect(gridMoved(from, { anchorMl: 21, stepMl: 5 })?.saying).toEqual({ kind: 'calling-every', stepMl: '5' });
    expect(gridMoved(from, { anchorMl: 15, stepMl: 2 })).toBeNull();
    expect(gridMoved(null, from)).toBeNull();
    expect(gridMoved(from, null)).toBeNull();
  });
});

describe('calls that were not understood use up marks', () => {
  const three = run('11', '13', '15');
  const next = (...calls: readonly Call[]) => nextMarkMl(three, defaultSetup, calls);

  test('where the curve stands at a mark, within a third of a step', () => {
    expect(next()).toBe(17);
    expect(next(unheard(3))).toBe(19);
    expect(next(unheard(3.3))).toBe(19);
    expect(next(unheard(3.4))).toBe(17);
    expect(next(unheard(3), unheard(4))).toBe(21);
  });

  test('not one before the last reading, of another run, of the tool itself, or that gave something else', () => {
    expect(next(unheard(2))).toBe(17);
    expect(next(unheard(3, { run: 'other' }))).toBe(17);
    expect(next(unheard(3, { overSpeech: true }))).toBe(17);
    expect(next(unheard(3, { outcome: 'command' }))).toBe(17);
  });

  test('after two readings the straight line through them tells', () => {
    expect(nextMarkMl(run('11', '13'), defaultSetup, [unheard(2)])).toBe(17);
    expect(nextMarkMl(run('11', '13'), defaultSetup, [unheard(2.5)])).toBe(15);
  });

  test('after one reading words were most likely the next mark; a sound without words tells nothing', () => {
    const words = unheard(5, {
      heard: [{ ear: 'own', alternatives: [{ text: 'mumble', p: 0.2 }], final: true, lagMs: null }],
    });
    expect(nextMarkMl(run('11'), defaultSetup, [words])).toBe(15);
    expect(nextMarkMl(run('11'), defaultSetup, [unheard(5)])).toBe(13);
  });

  test('a struck reading is no last reading', () => {
    expect(nextMarkMl(run('11', '13', '15', '40x'), defaultSetup, [unheard(3)])).toBe(19);
  });
});

describe('a reading in doubt', () => {
  test('counts as what it more likely was', () => {
    const likely = withRivals(run('12', '14', '58?'), 2, ['16', 0.7]);
    const unlikely = withRivals(run('12', '14', '58?'), 2, ['16', 0.3]);
    expect(dueMark(likely, defaultSetup)).toEqual({ markMl: 18 });
    expect(dueMark(unlikely, defaultSetup)).toEqual({ markMl: 60, otherMl: 18 });
    const several = withRivals(run('12', '14', '58?'), 2, ['16', 0.4], ['18', 0.3]);
    expect(dueMark(several, defaultSetup)).toEqual({ markMl: 18 });
  });

  test('that a person settled is sure; one that was struck is none', () => {
    expect(dueMark(run('12', '14', '58!'), defaultSetup)).toEqual({ markMl: 60 });
    expect(dueMark(run('12', '14', '58x'), defaultSetup)).toEqual({ markMl: 16 });
  });

  test('between two sure ones tells the step where it lies half-way, or one step before the next', () => {
    expect(nextMarkMl(run('10', '15?', '20'), defaultSetup)).toBe(25);
    expect(nextMarkMl(run('10', '14?', '20'), defaultSetup)).toBe(22);
    expect(nextMarkMl(run('10', '18.5?', '20.5'), defaultSetup)).toBe(22.5);
  });
});

describe('the span', () => {
  const setup = { ...defaultSetup, spanMl: 20 };
  test('is reached by sure readings alone, counted from the first one', () => {
    expect(spanReached(run('10', '30'), setup)).toBe(true);
    expect(spanReached(run('10', '29.9'), setup)).toBe(false);
    expect(spanReached(run('10', '12', '30?'), setup)).toBe(false);
    expect(spanReached(run('10', '30', '31?'), setup)).toBe(true);
    expect(spanReached(run(), setup)).toBe(false);
    expect(spanReached(run('10?'), setup)).toBe(false);
  });
});
