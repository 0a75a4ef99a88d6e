/** Tables of starting rates whose figures are rounded and nothing more is stated; orders that the design leaves open. */
import { expect, test } from 'vitest';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { the } from '../the.ts';

// biome-ignore lint/suspicious/noExplicitAny: the answer is read as whoever reads JSON reads it
function lawOf(text: string): any {
  const answer = ratesOfFile(text);
  if (!answer.ok) throw new Error(answer.sentence);
  return JSON.parse(JSON.stringify(answer.json)).law;
}

/** rate = k [A]^2 [B], the figures written to so many significant digits. */
const written = (runs: readonly (readonly [number, number])[], k: number, digits: number): string =>
  `run,rate,conc_A_M,conc_B_M\n${runs
    .map(([a, b], i) => [i + 1, ...[k * a * a * b, a, b].map((x) => x.toExponential(digits - 1))].join(','))
    .join('\n')}\n`;

const three = [
  [0.1, 0.1],
  [0.2, 0.1],
  [0.1, 0.2],
] as const;
const five = [...three, [0.2, 0.2], [0.4, 0.1]] as const;

test('perfect agreement of rounded figures is no certainty: u is what the rounding leaves, with and without runs to spare', () => {
  for (const runs of [three, five]) {
    const { orders, accepted, u } = lawOf(written(runs, 3, 3));
    // Half a unit of the last of three digits over root 3 is 0.03 to 0.3 % of a figure.
    for (const name of ['A', 'B']) {
      expect(orders[name].u).toBeGreaterThan(0.001);
      expect(orders[name].u).toBeLessThan(0.03);
    }
    expect(accepted.u / accepted.k).toBeGreaterThan(0.002);
    expect(accepted.u / accepted.k).toBeLessThan(0.02);
    expect(accepted.high95 - accepted.k).toBeCloseTo(1.96 * accepted.u, 3);
    expect(u).toBeGreaterThan(accepted.u);
  }
});

test('a concentration written alike in all runs but one is one solution: its rounding is not averaged away in k', () => {
  // Second order in A: 0.060 alone is known to 0.5 of 60 over root 3, 0.48 %, twice in k.
  const law = lawOf(
    'run,rate,conc_A_M,conc_B_M\n1,0.02480,0.060,0.0300\n2,0.00827,0.020,0.0900\n3,0.08280,0.060,0.1000\n',
  );
  expect(law.accepted.orders).toEqual({ A: 2, B: 1 });
  expect(law.accepted.u / law.accepted.k).toBeGreaterThan(0.0065);
  expect(law.accepted.u / law.accepted.k).toBeLessThan(0.02);
});

test('intervals from rounding hold the truth: 300 tables rounded to two digits, three runs and five', () => {
  const random = createRandom('rounded figures');
  for (const design of [three, five]) {
    const held = { k: 0, A: 0, B: 0 };
    const tables = 300;
    for (let i = 0; i < tables; i++) {
      const k = random.rectangular(5, 4);
      // One solution for every level of a concentration, not quite what is written on it.
      const level = new Map<string, number>();
      const own = (x: number, of: string): number => {
        if (!level.has(of + x)) level.set(of + x, x * 1.3 + random.rectangular(0.025, 0.025));
        return the(level.get(of + x));
      };
      const { orders, accepted } = lawOf(
        written(
          design.map(([a, b]) => [own(a, 'A'), own(b, 'B')] as const),
          k,
          2,
        ),
      );
      const inside = (truth: number, { low95, high95 }: { low95: number; high95: number }): number =>
        Number(truth >= low95 && truth <= high95);
      held.A += inside(2, orders.A);
      held.B += inside(1, orders.B);
      held.k += accepted ? inside(k, accepted) : 1;
    }
    for (const count of Object.values(held)) expect(count / tables).toBeGreaterThan(0.92);
  }
});

test.each([
  { what: 'one run', rows: '1,0.01,0.1,0.1' },
  { what: 'two runs with the same B', rows: '1,0.01,0.1,0.1\n2,0.02,0.2,0.1' },
  { what: 'two runs in which both change together', rows: '1,0.01,0.1,0.1\n2,0.04,0.2,0.2' },
  { what: 'four runs with the same B', rows: '1,0.01,0.1,0.1\n2,0.02,0.2,0.1\n3,0.03,0.3,0.1\n4,0.04,0.4,0.1' },
])('$what: an order is open, so there is no k, and the reason is given', ({ rows }) => {
  const law = lawOf(`run,rate,conc_A_M,conc_B_M\n${rows}\n`);
  expect(law.k).toBeNull();
  expect(law.u).toBeNull();
  expect(law.accepted).toBeNull();
  expect(law.k_reason).toMatch(/^No rate constant is stated while an order is open\. .*B/);
});

test('with the same B in all runs, the rate constant with B taken into it is there under its own name', () => {
  const law = lawOf('run,rate,conc_A_M,conc_B_M\n1,0.010,0.10,0.10\n2,0.020,0.20,0.10\n3,0.030,0.30,0.10\n');
  expect(law.with_constants_in_k).toMatchObject({ orders: { A: 1 } });
  expect(law.with_constants_in_k.k).toBeCloseTo(0.1, 9);
});
