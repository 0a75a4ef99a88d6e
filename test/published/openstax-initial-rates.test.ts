/**
 * Method of initial rates: tables of OpenStax Chemistry 2e, section 12.3 (module m68789) and its end of chapter, with
 * the answers printed there. Where the book works with rounded figures the tolerance is that of its printed digits.
 */
import { expect, test } from 'vitest';
import type { LawRow } from '../../src/analysis/law-row.ts';
import { type RateLaw, rateLaw } from '../../src/analysis/rate-law.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { the } from '../the.ts';

function lawOf(columns: Record<string, readonly number[]>, rates: readonly number[]): RateLaw {
  const rows: LawRow[] = rates.map((rate, i) => ({
    label: String(i + 1),
    rate,
    uRate: null,
    dfRate: Number.POSITIVE_INFINITY,
    concentrations: Object.fromEntries(
      Object.entries(columns).map(([name, values]) => [name, { value: the(values[i]), u: 0, uCommonRelative: 0 }]),
    ),
  }));
  const law = rateLaw(rows);
  if (!law.ok) throw new Error(law.sentence);
  return law;
}

test('NO and ozone: first order in each, k = 2.20e7 L/mol/s (example of five runs)', () => {
  const law = lawOf(
    { NO: [1e-6, 1e-6, 1e-6, 2e-6, 3e-6], O3: [3e-6, 6e-6, 9e-6, 9e-6, 9e-6] },
    [6.6e-5, 1.32e-4, 1.98e-4, 3.96e-4, 5.94e-4],
  );
  expect(the(law.orders.NO).value).toBeCloseTo(1, 6);
  expect(the(law.orders.O3).value).toBeCloseTo(1, 6);
  expect(the(law.accepted).orders).toEqual({ NO: 1, O3: 1 });
  expect(the(law.accepted).k / 2.2e7).toBeCloseTo(1, 3);
});

test('acetaldehyde: second order, k = 6.73e-6 L/mol/s', () => {
  const law = lawOf({ CH3CHO: [1.75e-3, 3.5e-3, 7e-3] }, [2.06e-11, 8.24e-11, 3.3e-10]);
  expect(the(law.orders.CH3CHO).value).toBeCloseTo(2.00087, 4);
  expect(the(law.orders.CH3CHO).u).toBeCloseTo(0.00051, 5);
  expect(law.k).toBeCloseTo(6.7626e-6, 9);
  expect(the(law.accepted).orders).toEqual({ CH3CHO: 2 });
  expect(the(law.accepted).k / 6.73e-6).toBeCloseTo(1, 3);
});

test('NO and chlorine, three runs for three unknowns: orders 2 and 1 exactly, k = 3.0', () => {
  const law = lawOf({ NO: [0.1, 0.1, 0.15], Cl2: [0.1, 0.15, 0.1] }, [0.003, 0.0045, 0.00675]);
  expect(the(law.orders.NO).value).toBeCloseTo(2, 10);
  expect(the(law.orders.Cl2).value).toBeCloseTo(1, 10);
  expect(the(law.accepted).k).toBeCloseTo(3, 10);
  // Nothing is stated and no scatter is left: the uncertainty is not known, and not said to be zero.
  expect(law.u).toBeNull();
});

test('hypochlorite and iodide (Check Your Learning): orders 2 and 1, k = 5.75e4', () => {
  const law = lawOf({ OCl: [0.004, 0.002, 0.002], I: [0.002, 0.004, 0.002] }, [0.00184, 0.00092, 0.00046]);
  expect(the(law.accepted).orders).toEqual({ OCl: 2, I: 1 });
  expect(the(law.accepted).k / 5.75e4).toBeCloseTo(1, 3);
});

test.each([
  { name: 'NOCl', c: [0.1, 0.2, 0.3], r: [8e-10, 3.2e-9, 7.2e-9], order: 2, k: 8e-8 },
  { name: 'A to 2 C', c: [1.33e-2, 2.66e-2, 3.99e-2], r: [3.8e-7, 1.52e-6, 3.42e-6], order: 2, k: 2.1482e-3 },
  { name: 'A to B + C', c: [0.23, 0.356, 0.557], r: [4.17e-4, 9.99e-4, 2.44e-3], order: 2, k: 7.88e-3 },
  { name: 'ethanol', c: [4.4e-2, 3.3e-2, 2.2e-2], r: [2e-2, 2e-2, 2e-2], order: 0, k: 2e-2 },
])('$name: order $order, k = $k', ({ c, r, order, k }) => {
  const law = lawOf({ A: c }, r);
  expect(the(law.accepted).orders.A).toBe(order);
  expect(the(law.accepted).k / k).toBeCloseTo(1, 2);
});

test('iodide and hypochlorite, end of chapter: rounded figures allow orders 1 and 1, k = 6.1e-2', () => {
  // The exact solution of the three equations gives 1.0235 and 1.0160; only the rounding of the printed figures says
  // that 1 and 1 are allowed.
  const answer = ratesOfFile(
    'run,rate,conc_I_M,conc_OCl_M\n1,3.05e-4,0.10,0.050\n2,6.20e-4,0.20,0.050\n3,1.83e-4,0.30,0.010\n',
  );
  expect(answer).toMatchObject({
    ok: true,
    json: { law: { orders: { I: {}, OCl: {} }, accepted: { orders: { I: 1, OCl: 1 } } } },
  });
  const law = lawOf({ I: [0.1, 0.2, 0.3], OCl: [0.05, 0.05, 0.01] }, [3.05e-4, 6.2e-4, 1.83e-4]);
  expect(the(law.orders.I).value).toBeCloseTo(1.0235, 4);
  expect(the(law.orders.OCl).value).toBeCloseTo(1.016, 4);
  expect(law.k).toBeCloseTo(0.0675, 3);
  expect(the(law.accepted).k).toBeCloseTo(0.061, 2);
});

test('peroxide and iodide, rates of the loss of peroxide: first order in each, k = 0.0115', () => {
  const law = lawOf({ H2O2: [0.1, 0.1, 0.2, 0.2], I: [0.1, 0.2, 0.1, 0.2] }, [1.15e-4, 2.3e-4, 2.3e-4, 4.6e-4]);
  expect(the(law.accepted).orders).toEqual({ H2O2: 1, I: 1 });
  expect(the(law.accepted).k).toBeCloseTo(0.0115, 8);
});
