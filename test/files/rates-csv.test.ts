import { expect, test } from 'vitest';
import { ratesTable } from '../../src/files/rates-csv.ts';

const readings = [0, 10, 20, 30].map((t) => `${t},${14 + t / 5}`);

/** Four readings with more columns; each row has the same. */
function table(more: Readonly<Record<string, string | number>>): string {
  const names = Object.keys(more);
  return [
    ['time_s', 'volume_mL', ...names].join(','),
    ...readings.map((row) => [row, ...names.map((name) => more[name])].join(',')),
  ].join('\n');
}

function refusal(more: Readonly<Record<string, string | number>>): string {
  const read = ratesTable(table(more));
  return read.ok ? '' : read.sentence;
}

test.each([
  [{ temperature_Cel: 296 }, /^Line 2, temperature_Cel: 296 °C cannot be right; it looks like 296 K/],
  [{ pressure_hPa: 100500 }, /looks like 100500 Pa/],
  [{ pressure_hPa: 100.5 }, /looks like 100\.5 kPa/],
  [{ solution_mL: 0.05 }, /looks like 0\.05 L/],
  [{ conc_H2O2_M: 100 }, /looks like 100 mmol\/L/],
  [{ conc_H2O2_M: -1 }, /cannot be right/],
])('a column in another unit is refused, and the slip is named', (more, sentence) => {
  expect(refusal(more)).toMatch(sentence);
});

test('a substance cannot bear a name that every object has', () => {
  expect(refusal({ conc_constructor_M: 0.1 })).toMatch(/cannot be used as a name/);
  expect(refusal({ conc___proto___M: 0.1 })).toMatch(/cannot be used as a name/);
  expect(refusal({ conc_A_M: 0.1, limiting: 'constructor' })).toMatch(/no conc_NAME_M or mass_NAME_g of it/);
});

test('standard uncertainties of a run are read, in the units of their columns', () => {
  const read = ratesTable(
    table({
      'conc_I-_M': 0.1,
      'u_conc_I-_M': 0.002,
      'u_stock_I-_percent': 1,
      baseline_mL: 12,
      u_baseline_mL: 0.1,
      temperature_Cel: 22,
      u_temperature_Cel: 0.5,
      pressure_hPa: 1005,
      u_pressure_hPa: 2,
      solution_mL: 50,
      u_solution_mL: 0.3,
      limiting: 'I-',
      gas_per_limiting: 1,
      u_scale_percent: 0.5,
    }),
  );
  if (!read.ok || read.kind !== 'readings') throw new Error('not read');
  const [run] = read.experiment.runs;
  expect(run?.concentrations?.['I-']).toEqual({ value: 100, u: 2, uCommonRelative: 0.01 });
  expect(run?.baselineM3?.u).toBeCloseTo(1e-7, 15);
  expect(run?.temperatureK?.u).toBe(0.5);
  expect(run?.gas?.pressurePa.u).toBe(200);
  expect(run?.gas?.solutionM3.u).toBeCloseTo(3e-7, 15);
  expect(run?.gainURelative).toBe(0.005);
});

test('an uncertainty without its concentration, a negative one, or one given twice is refused', () => {
  expect(refusal({ u_conc_X_M: 0.1 })).toMatch(/no column conc_X_M/);
  expect(refusal({ conc_X_M: 1, u_conc_X_M: -0.1 })).toMatch(/cannot be negative/);
  const twice = ratesTable('time_s,volume_mL,conc_X_M,u_conc_X_M,u_conc_X_M\n0,1,1,0.1,0.1\n1,2,1,0.1,0.1');
  expect(twice.ok ? '' : twice.sentence).toMatch(/comes twice/);
});

test.each(['1,1e300,14', '1,10,1e300', '1,-1e200,14'])(
  'a reading that no clock or cylinder gives is refused by its line: %s',
  (row) => {
    expect(ratesTable(`run,time_s,volume_mL\n1,0,12\n${row}\n1,20,16`)).toMatchObject({
      ok: false,
      sentence: expect.stringMatching(/^Line 3: .* is too large to be true\.$/),
    });
  },
);
