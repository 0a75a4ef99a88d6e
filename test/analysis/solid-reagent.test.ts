/** A reagent that is a solid: its ceiling, its share of the uncertainty, and what the law says of it. */
import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { ceilingOf } from '../../src/analysis/gas-frame.ts';
import { inputsToMove } from '../../src/analysis/inputs.ts';
import type { Experiment, RunData, SolidReagent } from '../../src/analysis/run-data.ts';

const magnesium = (grams: number, uGrams = 0, uCommonRelative = 0): SolidReagent => ({
  mol: grams / 24.305,
  u: uGrams / 24.305,
  uCommonRelative,
  gPerMol: 24.305,
});

/** Metal in plenty of acid: the rate falls as (1 - x)^(2/3), so (1 - x)^(1/3) falls evenly. Ends at 90 %. */
function runOf(label: string, acid: number, solid: SolidReagent): RunData {
  const bare: RunData = {
    label,
    readings: [],
    baselineM3: { value: 0, u: 0.1e-6 },
    concentrations: { HCl: { value: acid, u: 0, uCommonRelative: 0.01 } },
    solids: { Mg: solid },
    temperatureK: { value: 298.15, u: 0 },
    gas: {
      solutionM3: { value: 50e-6, u: 0.1e-6 },
      gasPerLimiting: 1,
      limiting: 'Mg',
      pressurePa: { value: 101_325, u: 0 },
    },
  };
  const ceiling = ceilingOf(bare)?.value ?? Number.NaN;
  // dx/dt = 3 c (1 - x)^(2/3), c in proportion to the acid.
  const c = 4e-6 * acid;
  const noise = [0.3, -0.5, 0.1, 0.6, -0.2, -0.4, 0.5, 0, -0.3, 0.2, -0.1];
  return {
    ...bare,
    readings: noise.map((error, i) => {
      const x = 0.05 + i * 0.08;
      return { timeS: (1 - Math.cbrt(1 - x)) / c + 0.1 * error, volumeM3: x * ceiling, uTimeS: 0.1, uVolumeM3: 0.1e-6 };
    }),
  };
}

test('0.10 g of magnesium in plenty of acid gives 103.9 mL of moist hydrogen at 25 °C and 1013.25 hPa', () => {
  // By hand: 0.10 g/24.305 g/mol = 4.1144 mmol; water at 25 °C has 31.69 hPa, so the hydrogen 981.56 hPa;
  // V = n R T/p = 4.1144e-3 * 8.31446 * 298.15/98156 m3 = 103.91 mL. Weighed to 5 mg: 5 %, 5.2 mL.
  const ceiling = ceilingOf(runOf('1', 500, magnesium(0.1, 0.005)));
  expect((ceiling?.value ?? 0) * 1e6).toBeCloseTo(103.91, 1);
  expect((ceiling?.u ?? 0) * 1e6).toBeCloseTo(5.2, 1);
});

test('the volume of the solution does not count towards the gas of a solid', () => {
  const run = runOf('1', 500, magnesium(0.1));
  const twice = { ...run, gas: { ...run.gas!, solutionM3: { value: 100e-6, u: 10e-6 } } };
  expect(ceilingOf(twice)).toEqual(ceilingOf(run));
});

const experiment = (masses: readonly number[]): Experiment => ({
  runs: [250, 500, 1000, 500].map((acid, i) => runOf(String(i + 1), acid, magnesium(masses[i] ?? 0.1, 0.001, 0.02))),
});
const alike = experiment([0.1, 0.1, 0.1, 0.1]);

test('the order in the acid is found, none is fitted in the solid, and the verdict says why', () => {
  const { law, whole, verdict, within } = analyseExperiment(alike);
  if (!law.ok) throw new Error(law.sentence);
  expect(Object.keys(law.orders)).toEqual(['HCl']);
  expect(law.orders.HCl?.value).toBeCloseTo(1, 1);
  expect(whole).toMatchObject({ ok: false, reason: 'solid' });
  expect(within?.form).toBe('shrinking-solid');
  const codes = verdict.reasons.map(({ code }) => code);
  expect(codes).toContain('solid');
  expect(codes).toContain('form');
  expect(codes).not.toContain('within-differs');
  expect(codes).not.toContain('solids-differ');
});

test('runs with other masses, or other pieces, have other surfaces: a reservation', () => {
  const codesOf = (given: Experiment): string[] => analyseExperiment(given).verdict.reasons.map(({ code }) => code);
  expect(codesOf(experiment([0.1, 0.1, 0.1, 0.06]))).toContain('solids-differ');
  const runs = alike.runs.map((run, i) => ({
    ...run,
    solids: { Mg: { ...magnesium(0.1, 0.001), pieces: i === 0 ? 'powder' : 'ribbon' } },
  }));
  expect(codesOf({ runs })).toContain('solids-differ');
});

test('weighing moves one run, the mass per length of the ribbon all of them', () => {
  const inputs = inputsToMove(alike);
  const weighed = inputs.find(({ name }) => name === 'weighed Mg, run 2');
  const ribbon = inputs.find(({ name }) => name === 'mass per length of Mg');
  const molOf = (moved: Experiment): number[] => moved.runs.map(({ solids }) => (solids?.Mg?.mol ?? 0) * 24.305);
  expect(weighed?.shared).toBe(false);
  expect(molOf(weighed!.move(alike, 1)).map((g) => g.toFixed(4))).toEqual(['0.1000', '0.1010', '0.1000', '0.1000']);
  expect(ribbon?.shared).toBe(true);
  expect(molOf(ribbon!.move(alike, 1)).map((g) => g.toFixed(4))).toEqual(['0.1020', '0.1020', '0.1020', '0.1020']);
  const { law } = analyseExperiment(alike);
  const sources = law.ok ? (law.accepted?.shares ?? []).map(({ source }) => source) : [];
  expect(sources).toContain('weighed solids');
  expect(sources).toContain('mass per length of Mg');
});

test('an uncertain purity is shared by all runs and has a share in the budget', () => {
  const runs = alike.runs.map((run) => ({
    ...run,
    solids: { Mg: { ...magnesium(0.1, 0.001), purity: 0.95, uPurityRelative: 0.02 } },
  }));
  const purity = inputsToMove({ runs }).find(({ name }) => name === 'purity of Mg');
  expect(purity?.shared).toBe(true);
  expect(purity?.move({ runs }, 1).runs.map(({ solids }) => ((solids?.Mg?.mol ?? 0) * 24.305).toFixed(4))).toEqual(
    Array(4).fill('0.1020'),
  );
  const [run] = runs;
  const exact = ceilingOf(runOf('1', 250, magnesium(0.1, 0.001)));
  const ceiling = run && ceilingOf(run);
  expect((ceiling?.u ?? 0) / (ceiling?.value ?? 1)).toBeCloseTo(
    Math.hypot(0.02, (exact?.u ?? 0) / (exact?.value ?? 1)),
    9,
  );
  const { law } = analyseExperiment({ runs });
  const sources = law.ok ? (law.accepted?.shares ?? []).map(({ source }) => source) : [];
  expect(sources).toContain('purity of Mg');
});
