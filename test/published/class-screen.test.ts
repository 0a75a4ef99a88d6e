import { expect, test } from 'vitest';
import { classResult } from '../../src/class/class-result.ts';
import { entriesOfTable } from '../../src/class/class-table.ts';
import { pooledTable } from '../../src/class/class-tables.ts';
import { cellText } from '../../src/files/table-text.ts';
import { the } from '../the.ts';

/** A published set as a table that a person would drop on the Class screen. */
function pooledOf(rows: readonly (readonly [string, number, number])[], by: 'u' | 'variance' = 'u') {
  const csv = `name,value,${by}\n${rows.map((row) => row.join(',')).join('\n')}\n`;
  const read = entriesOfTable(csv);
  if (!read.ok) throw new Error(read.sentence);
  const result = classResult(read.value, 'value');
  return {
    result,
    combination: the(result.combination),
    printed: pooledTable(result).rows.map((row) => row.map(cellText)),
  };
}

// Colditz et al., JAMA 271 (1994) 698: 13 trials of the BCG vaccine (event counts from memory, proven by the pooled
// values); pooled values as printed by the tests of the R package metafor (Viechtbauer): fixed -0.4303, Q 152.2330,
// DerSimonian-Laird -0.7141 with tau^2 0.3088, I^2 92.1173 %.
test('the BCG trials give their published pooled values', () => {
  const treated = [4, 6, 3, 62, 33, 180, 8, 505, 29, 17, 186, 5, 27];
  const treatedFree = [119, 300, 228, 13536, 5036, 1361, 2537, 87886, 7470, 1699, 50448, 2493, 16886];
  const control = [11, 29, 11, 248, 47, 372, 10, 499, 45, 65, 141, 3, 29];
  const controlFree = [128, 274, 209, 12619, 5761, 1079, 619, 87892, 7232, 1600, 27197, 2338, 17825];
  const { combination, printed, result } = pooledOf(
    treated.map((a, i) => {
      const b = the(treatedFree[i]);
      const c = the(control[i]);
      const d = the(controlFree[i]);
      return [
        `trial ${i + 1}`,
        Math.log(a / (a + b) / (c / (c + d))),
        1 / a - 1 / (a + b) + 1 / c - 1 / (c + d),
      ] as const;
    }),
    'variance',
  );
  expect(combination.weighted.mean).toBeCloseTo(-0.4303, 4);
  expect(combination.q).toBeCloseTo(152.233, 3);
  expect(combination.derSimonianLaird.mean).toBeCloseTo(-0.7141, 4);
  expect(combination.derSimonianLaird.tauSquared).toBeCloseTo(0.3088, 4);
  expect(100 * combination.iSquared).toBeCloseTo(92.1173, 4);
  expect(result.rows).toHaveLength(13);
  expect(printed[0]).toContain('−0.430 ± 0.040');
  const tau = 0.5557;
  expect(Math.sqrt(combination.derSimonianLaird.tauSquared)).toBeCloseTo(tau, 4);
  expect(printed[2]).toEqual(expect.arrayContaining(['−0.71 ± 0.18', tau.toPrecision(2)]));
});

// Paule and Mandel, J. Res. NBS 87 (1982) 377: heat of vaporisation of cadmium, five laboratories (data as in the R
// package metRology). The consensus values are those of the formulas, to 1e-6 (the paper's own was not seen).
test('the cadmium laboratories of Paule and Mandel', () => {
  const { combination } = pooledOf(
    [
      ['A', 27.044, 0.003],
      ['B', 26.022, 0.076],
      ['C', 26.34, 0.464],
      ['D', 26.787, 0.003],
      ['E', 26.796, 0.014],
    ],
    'variance',
  );
  expect(combination.mandelPaule.mean).toBeCloseTo(26.712129, 5);
  expect(combination.mandelPaule.tauSquared).toBeCloseTo(0.105219, 5);
  expect(combination.birgeRatio).toBeCloseTo(2.3786, 4);
});

// Tiesinga, Mohr, Newell and Taylor, Rev. Mod. Phys. 93 (2021) 025010 (CODATA 2018): sixteen values of G in
// 1e-11 m3 kg-1 s-2, weighted mean 6.67430 and, with the expansion factor 3.9, u 0.00015.
test('the values of G that CODATA 2018 combined', () => {
  const values: [number, number][] = [
    [6.67248, 0.00043],
    [6.6729, 0.0005],
    [6.67398, 0.0007],
    [6.674255, 0.000092],
    [6.67559, 0.00027],
    [6.67422, 0.00098],
    [6.67387, 0.00027],
    [6.67222, 0.00087],
    [6.67425, 0.00012],
    [6.67349, 0.00018],
    [6.6726, 0.00025],
    [6.67554, 0.00016],
    [6.67191, 0.00099],
    [6.67435, 0.00013],
    [6.674184, 0.000078],
    [6.674484, 0.000078],
  ];
  const { combination, printed } = pooledOf(values.map(([x, u], i) => [`G ${i + 1}`, x, u] as const));
  expect(combination.weighted.mean.toFixed(5)).toBe('6.67429');
  expect(3.9 * combination.weighted.u).toBeCloseTo(0.00015, 5);
  expect(the(printed[1])[1]).toBe('6.67429 ± 0.00014');
});
