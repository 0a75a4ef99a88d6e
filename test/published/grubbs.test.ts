import { expect, test } from 'vitest';
import { classResult } from '../../src/class/class-result.ts';
import { entriesOfTable } from '../../src/class/class-table.ts';
import { pooledTable } from '../../src/class/class-tables.ts';
import { grubbsCritical, grubbsTest } from '../../src/numerics/grubbs.ts';
import { the } from '../the.ts';

test('critical values of Grubbs, one- and two-sided, at 5 % and 1 %', () => {
  /*
   * n, one-sided 5 %, 1 %, two-sided 5 %, 1 %. One-sided: ASTM E178 Table 1; two-sided: ISO 5725-2 Table 5. Values to
   * five decimals recomputed from the t distribution. A printed table on the web has 2.202 for n = 7 (digits
   * transposed, 2.020) and 2.755 for n = 15 (a repeat of n = 14): errors of that page.
   */
  const table: [number, number, number, number, number][] = [
    [3, 1.15312, 1.15464, 1.1543, 1.15468],
    [4, 1.4625, 1.4925, 1.48125, 1.49625],
    [5, 1.67139, 1.74886, 1.71504, 1.76368],
    [6, 1.82212, 1.94425, 1.88715, 1.97282],
    [7, 1.93813, 2.0973, 2.01997, 2.13911],
    [8, 2.03165, 2.22083, 2.12665, 2.27437],
    [9, 2.10956, 2.32315, 2.215, 2.38681],
    [10, 2.17607, 2.40972, 2.28995, 2.48208],
    [11, 2.23391, 2.48428, 2.35473, 2.56412],
    [12, 2.28495, 2.54942, 2.41156, 2.63573],
    [13, 2.33054, 2.60702, 2.46203, 2.69897],
    [14, 2.37165, 2.65848, 2.50732, 2.75537],
    [15, 2.40904, 2.70486, 2.54831, 2.80611],
    [20, 2.55658, 2.88382, 2.70825, 3.0008],
    [25, 2.66287, 3.00864, 2.82168, 3.13533],
    [30, 2.74513, 3.1029, 2.90847, 3.23608],
    [50, 2.95697, 3.33662, 3.12825, 3.48246],
    [100, 3.20952, 3.6002, 3.38408, 3.754],
  ];
  for (const [n, one5, one1, two5, two1] of table) {
    expect(grubbsCritical(n, 0.05, 'one-sided')).toBeCloseTo(one5, 5);
    expect(grubbsCritical(n, 0.01, 'one-sided')).toBeCloseTo(one1, 5);
    expect(grubbsCritical(n, 0.05, 'two-sided')).toBeCloseTo(two5, 5);
    expect(grubbsCritical(n, 0.01, 'two-sided')).toBeCloseTo(two1, 5);
  }
});

test('worked example of the NIST/SEMATECH e-Handbook, 1.3.5.17.1 (Tietjen and Moore 1972)', () => {
  const values = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
  const one = grubbsTest(values, 'one-sided');
  expect(values[one.index]).toBe(245.57);
  expect(one.statistic).toBeCloseTo(2.4687, 3); // printed
  expect(one.statistic).toBeCloseTo(2.46876461121245, 12);
  expect(grubbsCritical(8, 0.05, 'one-sided')).toBeCloseTo(2.031652, 6);
  expect(one.probability).toBeCloseTo(1.501319341e-7, 13);
  expect(grubbsTest(values).probability).toBeCloseTo(3.00263868e-7, 13);
  // As eight groups of a class.
  const read = entriesOfTable(`name,value,u\n${values.map((value, i) => `group ${i + 1},${value},1`).join('\n')}\n`);
  if (!read.ok) throw new Error(read.sentence);
  const result = classResult(read.value, 'value');
  expect(the(result.rows[the(result.grubbs).index]).quantity.value).toBe(245.57);
  expect(pooledTable(result).notes[0]).toMatch(/2\.47 standard deviations away.*< 0\.0001/);
  expect(result.rows.filter(({ standsOut }) => standsOut).map(({ quantity }) => quantity.value)).toEqual([245.57]);
});
