/**
 * Tables without a fault in them, as `npm run rates` gets them: written to few figures, lying on their line or curve to
 * the last one, or bending as another order than the first does. None of their readings may be flagged.
 */
import { expect, test } from 'vitest';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { the } from '../the.ts';

type Rows = readonly (readonly [time: number | string, volume: number | string])[];

function flagsOf(rows: Rows): { index: number; cause: string }[] {
  const answer = ratesOfFile(`run,time_s,volume_mL\n${rows.map((row) => `1,${row.join(',')}`).join('\n')}\n`);
  if (!answer.ok) throw new Error(answer.sentence);
  return JSON.parse(JSON.stringify(answer.json)).runs[0].flags;
}

const zip = (times: readonly number[], volumes: readonly number[]): Rows => times.map((t, i) => [t, the(volumes[i])]);
const marks = Array.from({ length: 11 }, (_, i) => 2 + 2 * i);

test.each([
  {
    what: 'three of eleven times a tenth or two off',
    times: [20, 40, 60.2, 80, 100, 119.8, 140, 160, 180.1, 200, 220],
  },
  { what: 'one time a tenth off', times: [20, 40, 60, 80, 100.1, 120, 140, 160, 180, 200, 220] },
  { what: 'one time a second off', times: [20, 40, 60, 80, 101, 120, 140, 160, 180, 200, 220] },
  { what: 'two times a second off', times: [20, 40, 61, 80, 100, 120, 139, 160, 180, 200, 220] },
  { what: 'first order to whole seconds', times: marks.map((v) => Math.round(-250 * Math.log(1 - v / 54))) },
  { what: 'second order to tenths', times: marks.map((v) => Number(((400 * v) / (54 - v)).toFixed(1))) },
  { what: 'half order to hundredths', times: marks.map((v) => Number((400 * (1 - Math.sqrt(1 - v / 54))).toFixed(2))) },
  { what: 'a run that warms, to tenths', times: marks.map((v) => Number((250 * Math.log(1 + v / 54)).toFixed(1))) },
])('marks of 2 mL: $what', ({ times }) => {
  expect(flagsOf(zip(times, marks))).toEqual([]);
});

test.each([
  { what: 'a volume a tenth off among ten', volumes: [0, 1, 2, 3, 4.1, 5, 6, 7, 8, 9] },
  { what: 'two volumes a tenth off among ten', volumes: [0, 1.1, 2, 3, 4, 5, 5.9, 7, 8, 9] },
  {
    what: 'a gas syringe to whole millilitres, until the reaction is over',
    volumes: [0, 14, 25, 33, 38, 40, 40, 40, 40],
  },
  { what: 'the same, slowing all the way', volumes: [0, 24, 40, 50, 56, 58, 60, 60] },
  {
    what: 'second order at equal times to tenths',
    volumes: Array.from({ length: 12 }, (_, i) => Number(((60 * i) / (10 + i)).toFixed(1))),
  },
])('every ten seconds: $what', ({ volumes }) => {
  expect(flagsOf(volumes.map((volume, i) => [10 * i, volume] as const))).toEqual([]);
});

// Concentrations over time of general-chemistry texts, as gas: volume = what has gone, in a handy unit. OpenStax
// Chemistry 2e, 12.4 for the first two (butadiene, hydrogen peroxide); the others from memory.
test.each([
  { what: 'butadiene, second order', times: [0, 1600, 3200, 4800, 6200], left: [1, 0.504, 0.337, 0.253, 0.208] },
  { what: 'hydrogen peroxide, halved every six hours', times: [0, 6, 12, 18, 24], left: [1, 0.5, 0.25, 0.125, 0.0625] },
  {
    what: 'butadiene, eight readings',
    times: [0, 1000, 1800, 2800, 3600, 4400, 5200, 6200],
    left: [1, 0.625, 0.476, 0.37, 0.313, 0.27, 0.241, 0.208],
  },
  {
    what: 'nitrogen dioxide, second order',
    times: [0, 50, 100, 150, 200, 250, 300, 350, 400],
    left: [1, 0.79, 0.65, 0.55, 0.48, 0.43, 0.38, 0.34, 0.31],
  },
  {
    what: 'dinitrogen pentoxide in tetrachloromethane',
    times: [0, 184, 319, 526, 867, 1198, 1877, 2315, 3144],
    left: [1, 0.893, 0.82, 0.717, 0.584, 0.476, 0.309, 0.236, 0.146],
  },
  {
    what: 'dinitrogen pentoxide, six readings',
    times: [0, 50, 100, 200, 300, 400],
    left: [1, 0.708, 0.5, 0.25, 0.125, 0.0625],
  },
  {
    what: 'butyl chloride and water',
    times: [0, 50, 100, 150, 200, 300, 400, 500, 800],
    left: [1, 0.905, 0.82, 0.741, 0.671, 0.549, 0.448, 0.368, 0.2],
  },
  {
    what: 'sulfuryl chloride',
    times: [0, 500, 1000, 1500, 2000, 2500, 3000, 3500, 4000],
    left: [1, 0.857, 0.734, 0.629, 0.539, 0.461, 0.395, 0.339, 0.29],
  },
  {
    what: 'hydrogen peroxide, seven readings',
    times: [0, 200, 400, 600, 1200, 1800, 3000],
    left: [1, 0.866, 0.741, 0.642, 0.422, 0.267, 0.108],
  },
])('a textbook table: $what', ({ times, left }) => {
  const volumes = left.map((share) => Number((50 * (1 - share)).toFixed(2)));
  expect(flagsOf(zip(times, volumes))).toEqual([]);
});

test('second-order runs deep into the curve, written to a tenth of a millilitre, are not late calls: under 5 % of 100 flagged', () => {
  const random = createRandom('second order');
  let flagged = 0;
  for (let run = 0; run < 100; run++) {
    const rows = Array.from({ length: 11 }, (_, i) => {
      const x = 0.24 * i;
      return [60 * i, ((54 * x) / (1 + x) + random.normal(0, 0.04)).toFixed(1)] as const;
    });
    if (flagsOf(rows).length > 0) flagged++;
  }
  expect(flagged).toBeLessThan(5);
});
