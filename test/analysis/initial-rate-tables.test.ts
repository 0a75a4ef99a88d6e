/**
 * Tables of starting rates of the kind that general-chemistry texts print, as `npm run rates` gets them: the orders that
 * everyone reads from them, and k within its own uncertainty. Figures from memory; the tables of OpenStax with their
 * source are in test/published.
 */
import { expect, test } from 'vitest';
import { ratesOfFile } from '../../src/commands/rates.ts';

// biome-ignore lint/suspicious/noExplicitAny: the answer is read as whoever reads JSON reads it
function lawOf(species: readonly string[], rows: readonly string[]): any {
  const answer = ratesOfFile(
    `run,rate,${species.map((name) => `conc_${name}_M`).join(',')}\n${rows.map((row, i) => `${i + 1},${row.replaceAll(' ', ',')}`).join('\n')}\n`,
  );
  if (!answer.ok) throw new Error(answer.sentence);
  return JSON.parse(JSON.stringify(answer.json)).law;
}

interface Printed {
  readonly what: string;
  readonly orders: Readonly<Record<string, number>>;
  readonly k: number;
  readonly rows: readonly string[];
}

test.each<Printed>([
  {
    what: 'nitrogen monoxide and hydrogen',
    orders: { NO: 2, H2: 1 },
    k: 1.2,
    rows: ['1.23e-3 0.10 0.10', '2.46e-3 0.10 0.20', '4.92e-3 0.20 0.10'],
  },
  {
    what: 'the same when hot: figures of two digits beside one of three',
    orders: { NO: 2, H2: 1 },
    k: 250,
    rows: ['1.3e-5 5.0e-3 2.0e-3', '5.0e-5 10.0e-3 2.0e-3', '10.0e-5 10.0e-3 4.0e-3'],
  },
  {
    what: 'two reagents of which one does not matter',
    orders: { A: 2, B: 0 },
    k: 4e-3,
    rows: ['4.0e-5 0.100 0.100', '4.0e-5 0.100 0.200', '16.0e-5 0.200 0.100'],
  },
  {
    what: 'ammonium and nitrite, six runs',
    orders: { NH4: 1, NO2: 1 },
    k: 2.7e-4,
    rows: [
      '5.4e-7 0.0100 0.200',
      '10.8e-7 0.0200 0.200',
      '21.5e-7 0.0400 0.200',
      '10.8e-7 0.200 0.0202',
      '21.6e-7 0.200 0.0404',
      '43.3e-7 0.200 0.0808',
    ],
  },
  {
    what: 'bromate, bromide and acid: three orders from four runs',
    orders: { BrO3: 1, Br: 1, H: 2 },
    k: 8,
    rows: ['8.0e-4 0.10 0.10 0.10', '1.6e-3 0.20 0.10 0.10', '3.2e-3 0.20 0.20 0.10', '3.2e-3 0.10 0.10 0.20'],
  },
  {
    what: 'persulfate and iodide',
    orders: { S2O8: 1, I: 1 },
    k: 0.081,
    rows: ['2.2e-4 0.080 0.034', '1.1e-4 0.080 0.017', '2.2e-4 0.16 0.017'],
  },
  {
    what: 'fluorine and chlorine dioxide',
    orders: { F2: 1, ClO2: 1 },
    k: 1.2,
    rows: ['1.2e-3 0.10 0.010', '4.8e-3 0.10 0.040', '2.4e-3 0.20 0.010'],
  },
  {
    what: 'trichloromethane and chlorine: a half order',
    orders: { CHCl3: 1, Cl2: 0.5 },
    k: 3.5,
    rows: ['0.0035 0.010 0.010', '0.0069 0.020 0.010', '0.0098 0.020 0.020', '0.027 0.040 0.040'],
  },
  {
    what: 'nitrogen dioxide and carbon monoxide: a zero order',
    orders: { NO2: 2, CO: 0 },
    k: 0.21,
    rows: ['0.0021 0.10 0.10', '0.0082 0.20 0.10', '0.0083 0.20 0.20', '0.033 0.40 0.10'],
  },
  {
    what: 'hypochlorite and iodide in alkali: a negative order',
    orders: { OCl: 1, I: 1, OH: -1 },
    k: 60.4,
    rows: [
      '3.06e-4 1.62e-3 1.62e-3 0.52',
      '5.44e-4 1.62e-3 2.88e-3 0.52',
      '3.16e-4 2.71e-3 1.62e-3 0.84',
      '3.11e-4 1.62e-3 2.88e-3 0.91',
    ],
  },
  {
    what: 'propanone and bromine in acid',
    orders: { acetone: 1, Br2: 0, H: 1 },
    k: 3.8e-3,
    rows: [
      '5.7e-5 0.30 0.050 0.050',
      '5.7e-5 0.30 0.10 0.050',
      '1.2e-4 0.30 0.050 0.10',
      '3.1e-4 0.40 0.050 0.20',
      '7.6e-5 0.40 0.050 0.050',
    ],
  },
  {
    what: 'mercury(II) chloride and oxalate',
    orders: { HgCl2: 1, ox: 2 },
    k: 7.6e-3,
    rows: ['1.8e-5 0.105 0.15', '7.1e-5 0.105 0.30', '3.5e-5 0.052 0.30'],
  },
  {
    what: 'ethanal, one species, second order',
    orders: { A: 2 },
    k: 8.5,
    rows: ['0.085 0.10', '0.34 0.20', '0.76 0.30', '1.4 0.40'],
  },
  {
    what: 'replicates',
    orders: { A: 2, B: 1 },
    k: 1.23,
    rows: ['1.23e-3 0.10 0.10', '1.25e-3 0.10 0.10', '2.46e-3 0.10 0.20', '2.44e-3 0.10 0.20', '4.92e-3 0.20 0.10'],
  },
])('$what', ({ orders, k, rows }) => {
  const law = lawOf(Object.keys(orders), rows);
  expect(law.accepted.orders).toEqual(orders);
  expect(Math.abs(law.accepted.k - k)).toBeLessThan(Math.max(2 * law.accepted.u, 0.02 * k));
  // Rounding of the figures is in every uncertainty, in designs without a run to spare too; none is nil or missing.
  for (const [name, order] of Object.entries(orders)) {
    const told = law.orders[name];
    expect(told.u).toBeGreaterThan(1e-4);
    expect(told.low95 - 0.06).toBeLessThan(order);
    expect(told.high95 + 0.06).toBeGreaterThan(order);
  }
  expect(law.accepted.u).toBeGreaterThan(0);
  expect(JSON.stringify(law)).not.toMatch(/NaN|Infinity/);
});

test('three species in three runs of which one never changes: the others get orders, that one is named', () => {
  const law = lawOf(['A', 'B', 'C'], ['1.0 0.10 0.10 0.10', '2.0 0.20 0.10 0.10', '2.0 0.10 0.20 0.10']);
  expect(law.k).toBeNull();
  expect(law.accepted).toBeNull();
  expect(law.cannot_tell.map(({ species }: { species: string }) => species)).toEqual(['C']);
  expect(law.with_constants_in_k.orders).toEqual({ A: 1, B: 1 });
});

test('a run without any of a reagent, or without a rate, is left out by name', () => {
  const law = lawOf(['A'], ['0 0', '1.0 0.10', '2.0 0.20', '4.0 0.40']);
  expect(law.left_out).toHaveLength(1);
  expect(law.accepted.orders).toEqual({ A: 1 });
});

test('the same figures in other units give the same orders, and k in those units', () => {
  const plain = lawOf(['A'], ['0.085 0.10', '0.34 0.20', '0.76 0.30', '1.40 0.40']);
  const scaled = lawOf(['A'], ['8.5e-5 0.10', '3.4e-4 0.20', '7.6e-4 0.30', '1.40e-3 0.40']);
  expect(scaled.orders.A.value).toBeCloseTo(plain.orders.A.value, 12);
  expect(scaled.orders.A.u).toBeCloseTo(plain.orders.A.u, 12);
  expect(scaled.accepted.k * 1000).toBeCloseTo(plain.accepted.k, 9);
});
