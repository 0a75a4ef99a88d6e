import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type BlockedProblem, fitBlocks, responseOf } from '../../src/numerics/blocked-least-squares.ts';
import { NonConvergence } from '../../src/numerics/errors.ts';
import { fitLinear } from '../../src/numerics/least-squares.ts';
import { fitNonlinear } from '../../src/numerics/nonlinear-least-squares.ts';
import { the } from '../the.ts';

/** Blocks of y = shared0 x + shared1 x² + own0 + own1 z, each reading with its own weight. */
interface Blocks {
  readonly x: readonly (readonly number[])[];
  readonly z: readonly (readonly number[])[];
  readonly y: readonly (readonly number[])[];
  readonly weights: readonly (readonly number[])[];
}

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const blocks: fc.Arbitrary<Blocks> = fc
  .array(fc.array(fc.tuple(real(-3, 3), real(0.5, 4)), { minLength: 5, maxLength: 8 }), { minLength: 2, maxLength: 4 })
  .map((given) => ({
    x: given.map((block, r) => block.map((_, i) => i + 0.3 * r)),
    z: given.map((block, r) => block.map((_, i) => Math.cos(2 * i + r))),
    y: given.map((block, r) => block.map(([noise], i) => 2 * i - 0.1 * i * i + r + noise)),
    weights: given.map((block) => block.map(([, weight]) => weight)),
  }));

const problemOf = ({ x, z, y, weights }: Blocks, more: Partial<BlockedProblem> = {}): BlockedProblem => ({
  blocks: y.length,
  evaluate: (block, [slope = 0, bend = 0, height = 0, wave = 0]) => ({
    residuals: the(y[block]).map((value, i) => {
      const at = the(the(x[block])[i]);
      return value - slope * at - bend * at * at - height - wave * the(the(z[block])[i]);
    }),
    weights: the(weights[block]),
  }),
  sharedStart: [0, 0],
  ownStart: y.map(() => [0, 0]),
  scales: [1, 1, 1, 1],
  ...more,
});

/** The same readings as one plain linear fit: a column for each block's own parameters. */
function inOne({ x, z, y, weights }: Blocks, precision: readonly number[] = []) {
  const rows = y.flatMap((block, r) => block.map((_, i) => [r, i] as const));
  const prior = precision.map((_, j) => j);
  const filled = (of: (r: number, i: number) => number, priors: (j: number) => number = () => 0) => [
    ...rows.map(([r, i]) => of(r, i)),
    ...prior.map(priors),
  ];
  const columns = [
    filled(
      (r, i) => the(the(x[r])[i]),
      (j) => Number(j === 0),
    ),
    filled(
      (r, i) => the(the(x[r])[i]) ** 2,
      (j) => Number(j === 1),
    ),
    ...y.flatMap((_, own) => [filled((r) => Number(r === own)), filled((r, i) => (r === own ? the(the(z[r])[i]) : 0))]),
  ];
  return fitLinear(
    columns,
    filled((r, i) => the(the(y[r])[i])),
    { weights: [...rows.map(([r, i]) => the(the(weights[r])[i])), ...precision] },
  );
}

const near = (found: number | undefined, wanted: number | undefined, digits = 1e-7): void =>
  expect(Math.abs(the(found) - the(wanted))).toBeLessThanOrEqual(digits * Math.max(1, Math.abs(the(wanted))));

const derivatives =
  ({ x, z }: Blocks): NonNullable<BlockedProblem['derivatives']> =>
  (block) => [
    the(x[block]).map((value) => -value),
    the(x[block]).map((value) => -value * value),
    the(x[block]).map(() => -1),
    the(z[block]).map((value) => -value),
  ];

test('a linear model of many blocks is one weighted linear fit with columns for each block', () => {
  fc.assert(
    fc.property(blocks, fc.boolean(), fc.option(fc.tuple(real(0, 50), real(0, 50))), (data, told, prior) => {
      const precision = prior ?? undefined;
      const known = told ? { derivatives: derivatives(data) } : {};
      const fit = the(fitBlocks(problemOf(data, { ...known, ...(precision ? { precision } : {}) })));
      const one = inOne(data, precision);
      const all = [...fit.shared, ...fit.own.flat()];
      for (const [j, value] of all.entries()) near(value, one.coefficients[j]);
      for (let a = 0; a < 2; a++) for (let b = 0; b < 2; b++) near(fit.covariance[a]?.[b], one.cofactor[a]?.[b]);
      for (const [r, own] of fit.ownCovariance.entries())
        for (let a = 0; a < 2; a++)
          for (let b = 0; b < 2; b++) near(own[a]?.[b], one.cofactor[2 + 2 * r + a]?.[2 + 2 * r + b]);
      // The prior knowledge is part of the plain fit's sum, and told apart here.
      near(fit.sumOfSquares + fit.penalty, one.sumOfSquares);
      near(
        fit.penalty,
        fit.shared.reduce((sum, value, j) => sum + (precision?.[j] ?? 0) * value * value, 0),
      );
    }),
    { numRuns: 60 },
  );
});

test('blocks with the shared parameters held are fits of their own, and take their uncertainty over', () => {
  fc.assert(
    fc.property(blocks, fc.boolean(), (data, told) => {
      const held = [
        [0.04, -0.003],
        [-0.003, 0.0009],
      ];
      const known = told ? { derivatives: derivatives(data) } : {};
      const fit = the(fitBlocks(problemOf(data, { ...known, sharedStart: [1.5, -0.05], held })));
      expect(fit.shared).toEqual([1.5, -0.05]);
      expect(fit.covariance).toEqual(held);
      for (const [r, y] of data.y.entries()) {
        const [x, z, weights] = [the(data.x[r]), the(data.z[r]), the(data.weights[r])];
        const own = (slope: number, bend: number) =>
          fitLinear(
            [x.map(() => 1), z],
            y.map((value, i) => value - slope * the(x[i]) - bend * the(x[i]) ** 2),
            { weights },
          );
        const alone = own(1.5, -0.05);
        // A linear fit answers to the held values in a straight line: their covariance is passed on by differences.
        const moves = [own(2.5, -0.05), own(1.5, 0.95)].map(({ coefficients }) =>
          coefficients.map((value, j) => value - the(alone.coefficients[j])),
        );
        for (let a = 0; a < 2; a++) {
          near(fit.own[r]?.[a], alone.coefficients[a]);
          for (let b = 0; b < 2; b++) {
            near(fit.ownAlone[r]?.[a]?.[b], alone.cofactor[a]?.[b]);
            const passed = held.flatMap((row, i) => row.map((c, j) => c * the(moves[i]?.[a]) * the(moves[j]?.[b])));
            near(
              fit.ownCovariance[r]?.[a]?.[b],
              passed.reduce((sum, value) => sum + value, the(alone.cofactor[a]?.[b])),
            );
          }
        }
      }
    }),
    { numRuns: 40 },
  );
});

test('the answer to changed readings is what a new fit of a linear model finds', () => {
  fc.assert(
    fc.property(blocks, fc.array(real(-2, 2), { minLength: 8, maxLength: 8 }), (data, by) => {
      const first = the(fitBlocks(problemOf(data)));
      const respond = the(responseOf(problemOf(data), first));
      for (const changed of [[0], [1], [0, 1]]) {
        const y = data.y.map((block, r) => (changed.includes(r) ? block.map((v, i) => v + the(by[i])) : block));
        const again = the(fitBlocks(problemOf({ ...data, y })));
        const residuals = new Map(
          changed.map((r) => [r, the(first.states[r]).residuals.map((value, i) => value + the(by[i]))] as const),
        );
        for (const [j, change] of respond(residuals).entries())
          near(change, the(again.shared[j]) - the(first.shared[j]), 1e-6);
      }
    }),
    { numRuns: 40 },
  );
});

/** First-order rises with one rate constant and a height each; noise that repeats. */
const times = [0.5, 1, 2, 3, 5, 8];
const rises = [20, 45, 8].map((height, r) =>
  times.map((t, i) => height * (1 - Math.exp(-0.4 * t)) + 0.2 * Math.sin(7 * i + 3 * r)),
);
const curve = (block: number, [rate = 0, height = 0]: readonly number[]) => ({
  residuals: the(rises[block]).map((y, i) => y - height * (1 - Math.exp(-rate * the(times[i])))),
  weights: times.map(() => 1),
});

test.each([0.05, 0.4, 1.5])('a shared rate constant is that of one fit of all parameters (start %d)', (start) => {
  const fit = the(
    fitBlocks({
      blocks: 3,
      evaluate: curve,
      sharedStart: [start],
      ownStart: rises.map(() => [10]),
      scales: [0.1, 10],
    }),
  );
  const one = fitNonlinear({
    residuals: ([rate = 0, ...heights]: readonly number[]) =>
      heights.flatMap((height, block) => curve(block, [rate, height]).residuals),
    start: [0.4, 20, 45, 8],
  });
  near(fit.shared[0], one.parameters[0], 1e-8);
  near(fit.sumOfSquares, one.sumOfSquares, 1e-8);
  near(fit.covariance[0]?.[0], one.cofactor[0]?.[0], 1e-6);
  for (const [r, own] of fit.own.entries()) near(own[0], one.parameters[r + 1], 1e-8);
});

test('weights that follow the fit: at the end every parameter is balanced with the weights found there', () => {
  const evaluate: BlockedProblem['evaluate'] = (block, [rate = 0, height = 0]) => {
    const { residuals } = curve(block, [rate, height]);
    if (rate <= 0 || height <= 0) return null;
    return { residuals, weights: times.map((t) => 1 / (height * (1 - Math.exp(-rate * t)))) };
  };
  const fit = the(
    fitBlocks({ blocks: 3, evaluate, sharedStart: [0.2], ownStart: rises.map(() => [15]), scales: [0.1, 10] }),
  );
  const rate = the(fit.shared[0]);
  let balance = 0;
  for (const [block, own] of fit.own.entries()) {
    const { residuals, weights } = the(fit.states[block]);
    const pulls = residuals.map((r, i) => r * the(weights[i]));
    const sum = (of: (t: number) => number): number => pulls.reduce((s, pull, i) => s + pull * of(the(times[i])), 0);
    expect(Math.abs(sum((t) => 1 - Math.exp(-rate * t)))).toBeLessThan(1e-8);
    balance += sum((t) => the(own[0]) * t * Math.exp(-rate * t));
  }
  expect(Math.abs(balance)).toBeLessThan(1e-7);
});

test('one step is enough from the solution of a linear model, and is all that is taken where one is asked for', () => {
  const data = the(fc.sample(blocks, { seed: 7, numRuns: 1 })[0]);
  const [settled, one, none] = [undefined, 1, 0].map((steps) =>
    fitBlocks(problemOf(data, { derivatives: derivatives(data), ...(steps === undefined ? {} : { steps }) })),
  );
  for (const [j, value] of the(settled).shared.entries()) near(one?.shared[j], value);
  // Without a step there is no normal matrix yet.
  expect(none).toBeNull();
  const curved = { blocks: 3, evaluate: curve, sharedStart: [0.2], ownStart: rises.map(() => [15]), scales: [0.1, 10] };
  expect(Math.abs(the(fitBlocks({ ...curved, steps: 1 })?.shared[0]) - 0.4)).toBeGreaterThan(0.01);
});

test('where the model ends a derivative is taken on the side that has a value', () => {
  const found = (sign: number): number | undefined =>
    fitBlocks({
      blocks: 1,
      evaluate: (_, [height = 0]) =>
        sign * height < 0 ? null : { residuals: [sign * 1 - height, sign * 3 - height], weights: [1, 1] },
      sharedStart: [],
      ownStart: [[0]],
      scales: [1],
    })?.own[0]?.[0];
  expect(found(1)).toBeCloseTo(2, 9);
  expect(found(-1)).toBeCloseTo(-2, 9);
});

test('what the readings cannot tell apart is no fit; a sum that falls for ever does not pass for one', () => {
  const twins: BlockedProblem = {
    blocks: 1,
    evaluate: (_, [a = 0, b = 0, c = 0]) => ({
      residuals: [1, 3, 5, 8].map((y, x) => y - (a + b) * x - c),
      weights: [1, 1, 1, 1],
    }),
    sharedStart: [0, 0],
    ownStart: [[0]],
    scales: [1, 1, 1],
  };
  expect(fitBlocks({ ...twins, steps: 1 })).toBeNull();
  expect(fitBlocks({ ...twins, evaluate: () => null })).toBeNull();
  expect(responseOf(twins, { shared: [0, 0], own: [[0]] })).toBeNull();
  expect(responseOf({ ...twins, evaluate: () => null }, { shared: [0, 0], own: [[0]] })).toBeNull();
  // exp(-a): each step of Gauss and Newton is 1, on and on.
  expect(() =>
    fitBlocks({
      blocks: 1,
      evaluate: (_, [a = 0]) => ({ residuals: [Math.exp(-a)], weights: [1] }),
      sharedStart: [0],
      ownStart: [[]],
      scales: [1],
    }),
  ).toThrow(NonConvergence);
});
