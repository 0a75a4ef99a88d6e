import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { peroxideIodide, simulateExperiment, usualErrors } from '../../src/analysis/simulate.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { the } from '../the.ts';

const exact = {
  ...usualErrors,
  timeS: 1e-3,
  volumeM3: 1e-10,
  baselineVolumeM3: 0,
  gainRelative: 0,
  pourRelative: 0,
  stockRelative: 0,
};

test('what is left of a reading on the curve of all runs is the reading less the curve, in its own unit', () => {
  const { experiment } = simulateExperiment(peroxideIodide, exact, createRandom(4));
  const toldS = 0.1;
  const at = 5;
  const added = 0.05e-6;
  const runs = experiment.runs.map((run, r) => ({
    ...run,
    readings: run.readings.map((reading, i) => ({
      ...reading,
      volumeM3: reading.volumeM3 + (r === 1 && i === at ? added : 0),
      uTimeS: toldS,
      uVolumeM3: 1e-7,
    })),
  }));
  const { runs: analysed } = analyseExperiment({ ...experiment, runs }, { withoutWhole: true, withoutFlags: true });
  for (const [r, run] of analysed.entries()) {
    if (!run.ok || !run.used) throw new Error('no rate');
    const { residualsM3 } = run.used;
    expect(residualsM3).toHaveLength(11);
    for (const [i, residual] of residualsM3.entries()) {
      const wanted = r === 1 && i === at ? added : 0;
      // The one reading draws its curve along by a part of itself.
      expect(Math.abs(residual - wanted), `run ${r + 1}, reading ${i + 1}`).toBeLessThan(0.4 * added);
    }
    if (r === 1) expect(Math.max(...residualsM3)).toBe(the(residualsM3[at]));
  }
});
