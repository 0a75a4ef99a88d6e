/** Whole experiments of any kind: an answer or a sentence, never an exception, never NaN in what is shown. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import type { Concentration, RunData } from '../../src/analysis/run-data.ts';
import { experimentJson } from '../../src/files/rates-json.ts';
import {
  agreementSentence,
  budgetSentence,
  flagsSentence,
  lawSentence,
  runSentence,
} from '../../src/results/sentences.ts';

const amount = fc.oneof(fc.constantFrom(0, 100, 150, 300), fc.double({ min: 0, max: 2000, noNaN: true }));
const concentration: fc.Arbitrary<Concentration> = fc.record({
  value: amount,
  u: fc.constantFrom(0, 1),
  uCommonRelative: fc.constantFrom(0, 0.01),
});

const anyRun = fc
  .record({
    label: fc.constantFrom('1', '2', '3', '4'),
    times: fc.array(fc.oneof(fc.integer({ min: 0, max: 600 }), fc.double({ min: -10, max: 900, noNaN: true })), {
      maxLength: 12,
    }),
    step: fc.constantFrom(2, 0, -1, 5),
    jumps: fc.array(fc.integer({ min: -3, max: 3 }), { maxLength: 12 }),
    baseline: fc.option(fc.constantFrom(0, 10, 40)),
    ceiling: fc.option(fc.constantFrom(5, 48, 500)),
    species: fc.array(fc.tuple(fc.constantFrom('A', 'B', 'C'), concentration), { maxLength: 3 }),
    kelvin: fc.option(fc.constantFrom(288.15, 298.15, 400)),
    pressure: fc.option(fc.constantFrom(100_000, 2_000)),
    aside: fc.boolean(),
  })
  .map(({ label, times, step, jumps, baseline, ceiling, species, kelvin, pressure, aside }): RunData => {
    const sorted = [...times].sort((a, b) => a - b);
    return {
      label,
      readings: sorted.map((timeS, i) => ({
        timeS,
        volumeM3: (10 + step * i + (jumps[i] ?? 0)) * 1e-6,
        uTimeS: 0.1,
        uVolumeM3: 1e-7,
        ...(aside && i === 1 ? { setAside: 'own-judgement' } : {}),
      })),
      ...(baseline === null ? {} : { baselineM3: { value: baseline * 1e-6, u: 1e-7 } }),
      ...(ceiling === null ? {} : { ceilingM3: { value: ceiling * 1e-6, u: 1e-6 } }),
      ...(species.length > 0 ? { concentrations: Object.fromEntries(species) } : {}),
      gainURelative: 0.005,
      ...(kelvin === null ? {} : { temperatureK: { value: kelvin, u: 0.3 } }),
      ...(pressure === null
        ? {}
        : {
            gas: {
              solutionM3: { value: 25e-6, u: 0 },
              gasPerLimiting: 0.5,
              limiting: 'A',
              pressurePa: { value: pressure, u: 100 },
            },
          }),
    };
  });

const labelled = (runs: readonly RunData[]): RunData[] => {
  const seen = new Set<string>();
  return runs.filter(({ label }) => !seen.has(label) && seen.add(label));
};

test('any experiment is answered in figures or in words', () => {
  fc.assert(
    fc.property(fc.array(anyRun, { maxLength: 4 }), fc.boolean(), (runs, activation) => {
      const analysis = analyseExperiment({
        runs: labelled(runs),
        ...(activation ? { activationJPerMol: { value: 56_000, u: 2_000 } } : {}),
      });
      const words = [
        ...analysis.runs.map((run) => runSentence(run)),
        ...analysis.runs.map((run) => (run.ok ? flagsSentence(run, 'en') : null)),
        lawSentence(analysis),
        budgetSentence(analysis),
        agreementSentence(analysis),
      ];
      for (const sentence of words) {
        if (sentence === null) continue;
        expect(sentence).not.toMatch(/NaN|undefined|Infinity/);
        expect(sentence).toMatch(/[.!]$/);
      }
      const bad = (value: unknown): boolean =>
        typeof value === 'number'
          ? Number.isNaN(value)
          : typeof value === 'object' && value !== null && Object.values(value).some(bad);
      expect(bad(experimentJson(analysis))).toBe(false);
    }),
    { numRuns: 250 },
  );
}, 120_000);
