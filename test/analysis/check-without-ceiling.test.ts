import { expect, test } from 'vitest';
import { analyseRun } from '../../src/analysis/analyse-run.ts';
import { checkWithoutCeiling } from '../../src/analysis/check-without-ceiling.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { runSentence } from '../../src/results/sentences.ts';

/** V = 60 mL (1 - exp(-t/200 s)) to two time constants, with errors of 0.1 mL. @param ceilingMl as somebody states it */
function longRun(seed: number, ceilingMl: number, spanS = 400, count = 15): RunData {
  const random = createRandom(seed);
  const readings = Array.from({ length: count }, (_, i) => {
    const timeS = ((i + 1) * spanS) / count;
    const volumeM3 = (-60 * Math.expm1(-timeS / 200) + random.normal(0, 0.1)) * 1e-6;
    return { timeS, volumeM3, uTimeS: 0.01, uVolumeM3: 1e-7 };
  });
  return { label: '1', readings, baselineM3: { value: 0, u: 0 }, ceilingM3: { value: ceilingMl * 1e-6, u: 0 } };
}

function checkOf(run: RunData) {
  const analysis = analyseRun(run, { withoutFlags: true });
  if (!analysis.ok) throw new Error(analysis.sentence);
  return { analysis, check: checkWithoutCeiling(analysis) };
}

test('a right ceiling passes, and the intervals of both methods hold the true constant', () => {
  let differ = 0;
  const inside = { guggenheim: 0, timeLag: 0 };
  const count = 200;
  for (let seed = 1; seed <= count; seed++) {
    const { check } = checkOf(longRun(seed, 60));
    if (!check) throw new Error('not checked');
    differ += check.differ ? 1 : 0;
    for (const name of ['guggenheim', 'timeLag'] as const)
      inside[name] += Math.abs(check[name].perS - 1 / 200) < 2.1 * check[name].u ? 1 : 0;
  }
  expect(differ / count).toBeLessThan(0.04);
  expect(inside.guggenheim / count).toBeGreaterThan(0.9);
  expect(inside.timeLag / count).toBeGreaterThan(0.9);
});

test('a ceiling that is wrong by a fifth is seen without it', () => {
  let differ = 0;
  for (let seed = 1; seed <= 40; seed++) differ += checkOf(longRun(seed, 72)).check?.differ ? 1 : 0;
  expect(differ).toBeGreaterThan(36);
});

test('a run that ends early is not checked, a long one says so in both languages', () => {
  expect(checkOf(longRun(1, 60, 100)).check).toBeNull();
  const { analysis } = checkOf(longRun(1, 60));
  for (const language of ['en', 'de'] as const) expect(runSentence(analysis, language)).toMatch(/Guggenheim.*0[.,]005/);
});

test('only a first-order curve that begins at once is checked', () => {
  const { analysis } = checkOf(longRun(1, 60));
  const model = { order: 1, u: 0.1, runs: 3 } as const;
  const asked = (form: 'first-order' | 'power', lag: boolean): boolean =>
    checkWithoutCeiling({ ...analysis, model: { ...model, form, lag } as never }) !== null;
  expect([asked('first-order', false), asked('first-order', true), asked('power', false)]).toEqual([
    true,
    false,
    false,
  ]);
});

test('the check of a run is worked out once, for the sentence and for the file', () => {
  const { analysis, check } = checkOf(longRun(1, 60));
  expect(check).not.toBeNull();
  expect(checkWithoutCeiling(analysis)).toBe(check);
});

test('a logger run of thousands of readings is checked in a moment, and its constant is the true one', () => {
  const analysis = analyseRun(longRun(1, 60, 400, 4000), { withoutFlags: true });
  if (!analysis.ok) throw new Error(analysis.sentence);
  const { user: before } = process.cpuUsage();
  const check = checkWithoutCeiling(analysis);
  expect((process.cpuUsage().user - before) / 1e6).toBeLessThan(1);
  for (const name of ['guggenheim', 'timeLag'] as const) {
    const { perS, u } = check?.[name] ?? { perS: Number.NaN, u: Number.NaN };
    expect(u * 200).toBeLessThan(0.01);
    expect(Math.abs(perS * 200 - 1)).toBeLessThan(0.01);
  }
});
