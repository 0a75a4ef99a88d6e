import { expect, test } from 'vitest';
import {
  chiSquareCdf,
  chiSquareQuantile,
  fisherCdf,
  fisherQuantile,
  normalCdf,
  normalQuantile,
  normalUpperTail,
  studentCdf,
  studentQuantile,
  studentUpperQuantile,
  studentUpperTail,
} from '../../src/numerics/distributions.ts';
import { OutOfRange } from '../../src/numerics/errors.ts';
import { the } from '../the.ts';

// Expected quantiles: mpmath with 40 digits from the definitions, 15 shown; they agree with the printed tables.

function expectRelative(value: number, expected: number, tolerance: number): void {
  expect(Math.abs(value - expected)).toBeLessThanOrEqual(tolerance * Math.max(Math.abs(expected), 1e-300));
}

test('normal quantiles agree with 16-digit values', () => {
  const table: [number, number][] = [
    [0.75, 0.6744897501960817],
    [0.8, 0.8416212335729142],
    [0.9, 1.2815515655446],
    [0.95, 1.644853626951473],
    [0.975, 1.959963984540054],
    [0.99, 2.326347874040841],
    [0.995, 2.575829303548901],
    [0.999, 3.090232306167814],
    [0.9995, 3.290526731491895],
  ];
  expect(normalQuantile(0.5)).toBe(0);
  for (const [p, z] of table) {
    expectRelative(normalQuantile(p), z, 2e-14);
    expectRelative(normalCdf(z), p, 1e-14);
    expectRelative(normalUpperTail(z), 1 - p, 1e-12);
  }
});

test('Student quantiles agree with 15-digit values', () => {
  const levels = [0.95, 0.975, 0.99, 0.995];
  const table: [number, number[]][] = [
    [1, [6.31375151467504, 12.7062047361747, 31.820515953774, 63.6567411628716]],
    [2, [2.91998558035373, 4.30265272974946, 6.96455673428327, 9.92484320091829]],
    [3, [2.35336343480182, 3.18244630528371, 4.54070285856813, 5.84090930973336]],
    [4, [2.13184678632665, 2.77644510519779, 3.7469473879792, 4.60409487134999]],
    [5, [2.01504837333302, 2.57058183563632, 3.36492999890722, 4.03214298355523]],
    [6, [1.9431802805153, 2.44691185114497, 3.14266840329098, 3.70742802132478]],
    [7, [1.89457860509001, 2.36462425159279, 2.99795156686853, 3.49948329735049]],
    [8, [1.8595480375309, 2.30600413520417, 2.89645944770962, 3.3553873313334]],
    [9, [1.83311293265624, 2.26215716279821, 2.82143792502581, 3.24983554159213]],
    [10, [1.81246112281168, 2.22813885198627, 2.7637694581127, 3.16927267261695]],
    [12, [1.78228755564932, 2.17881282966723, 2.68099799312091, 3.0545395893929]],
    [15, [1.75305035569257, 2.13144954555978, 2.60248029501112, 2.94671288347524]],
    [16, [1.74588367627625, 2.11990529922125, 2.58348718527599, 2.9207816224251]],
    [20, [1.72471824292079, 2.08596344726586, 2.52797700274157, 2.84533970978611]],
    [24, [1.71088207990943, 2.06389856162803, 2.49215947315776, 2.79693950477446]],
    [30, [1.69726088659396, 2.04227245630124, 2.45726154240059, 2.74999565356723]],
    [34, [1.69092425518685, 2.03224450931772, 2.44114962790648, 2.72839436707072]],
    [40, [1.68385101333565, 2.02107539030627, 2.42325677933486, 2.70445926743316]],
    [60, [1.67064886490464, 2.00029782201426, 2.39011947262491, 2.66028302885504]],
    [120, [1.65765089935524, 1.97993040508244, 2.35782461264876, 2.61742114510687]],
  ];
  for (const [df, row] of table) {
    for (const [i, level] of levels.entries()) {
      expectRelative(studentQuantile(level, df), the(row[i]), 1e-12);
      expectRelative(studentQuantile(1 - level, df), -the(row[i]), 1e-12);
      expectRelative(studentUpperTail(the(row[i]), df), 1 - level, 1e-12);
      expectRelative(studentCdf(the(row[i]), df), level, 1e-13);
    }
  }
});

test('Student with endless degrees of freedom is the normal distribution', () => {
  expectRelative(studentUpperQuantile(0.025, Number.POSITIVE_INFINITY), 1.959963984540054, 1e-14);
  expectRelative(studentUpperQuantile(0.025, 1e8), 1.959963984540054, 1e-7);
});

test('chi-square quantiles agree with 15-digit values', () => {
  const levels = [0.025, 0.05, 0.5, 0.95, 0.975, 0.99];
  const table: [number, number[]][] = [
    [
      1,
      [
        0.000982069117175256, 0.00393214000001952, 0.454936423119573, 3.84145882069413, 5.02388618731489,
        6.63489660102122,
      ],
    ],
    [
      2,
      [0.0506356159685798, 0.102586588775101, 1.38629436111989, 5.99146454710798, 7.37775890822787, 9.21034037197618],
    ],
    [3, [0.215795282623898, 0.351846317749271, 2.36597388437534, 7.81472790325118, 9.34840360449615, 11.3448667301444]],
    [4, [0.48441855708793, 0.710723021397324, 3.35669398003332, 9.48772903678116, 11.1432867818778, 13.2767041359876]],
    [5, [0.831211613486662, 1.14547622606177, 4.35146019109553, 11.0704976935164, 12.83250199403, 15.086272469389]],
    [8, [2.17973074725265, 2.73263679349966, 7.34412149770179, 15.5073130558655, 17.5345461394847, 20.0902350296632]],
    [10, [3.24697278023684, 3.94029913611906, 9.34181776559197, 18.3070380532751, 20.4831773508074, 23.2092511589544]],
    [20, [9.59077739226487, 10.8508113941826, 19.3374292294283, 31.4104328442309, 34.1696069028383, 37.5662347866251]],
    [30, [16.7907722655666, 18.4926609819535, 29.3360315166616, 43.7729718257422, 46.9792422436712, 50.8921813115171]],
  ];
  for (const [df, row] of table) {
    for (const [i, level] of levels.entries()) {
      expectRelative(chiSquareQuantile(level, df), the(row[i]), 1e-12);
      expectRelative(chiSquareCdf(the(row[i]), df), level, 1e-12);
    }
  }
});

test('F quantiles agree with 15-digit values', () => {
  const table: [number, number, number, number][] = [
    [1, 5, 6.60789097370337, 16.2581770398337],
    [1, 10, 4.96460274373071, 10.0442892733966],
    [1, 34, 4.13001774565202, 7.44413582226324],
    [2, 5, 5.78613504334997, 13.2739336120048],
    [2, 10, 4.1028210151304, 7.5594321575479],
    [3, 8, 4.06618055135116, 7.59099194759885],
    [4, 10, 3.47804969076523, 5.99433866162936],
    [5, 10, 3.32583453041301, 5.63632618766908],
    [10, 10, 2.97823701608232, 4.84914680208003],
    [1, 120, 3.92012440896992, 6.85089345085254],
  ];
  for (const [df1, df2, f95, f99] of table) {
    expectRelative(fisherQuantile(0.95, df1, df2), f95, 1e-12);
    expectRelative(fisherQuantile(0.99, df1, df2), f99, 1e-12);
    expectRelative(fisherCdf(f95, df1, df2), 0.95, 1e-12);
  }
});

test('quantile and probability undo each other, far into the tails and for broken degrees of freedom', () => {
  for (const df of [0.7, 1, 1.5, 2, 3, 7.3, 16.76, 50, 1234.5, 1e6]) {
    for (const q of [1e-12, 1e-6, 0.001, 0.2, 0.4999, 0.7, 0.999]) {
      expectRelative(studentUpperTail(studentUpperQuantile(q, df), df), q, 1e-9);
      expectRelative(chiSquareCdf(chiSquareQuantile(q, df), df), q, 1e-9);
      expectRelative(fisherCdf(fisherQuantile(q, df, 5), df, 5), q, 1e-9);
    }
  }
});

test('a probability outside 0..1 and no degrees of freedom are refused with a sentence', () => {
  expect(() => normalQuantile(1)).toThrow(OutOfRange);
  expect(() => studentQuantile(0.975, 0)).toThrow(/too few readings/);
  expect(() => chiSquareQuantile(Number.NaN, 3)).toThrow(OutOfRange);
  expect(() => fisherQuantile(0.5, -1, 3)).toThrow(OutOfRange);
});

test('normal quantiles of AS 241 and of tails as small as a number can be', () => {
  // The values by which Wichura checks PPND16 (Appl. Statist. 37 (1988) 477, from memory).
  expectRelative(normalQuantile(0.25), -0.6744897501960817, 1e-15);
  expectRelative(normalQuantile(0.001), -3.090232306167814, 1e-15);
  expectRelative(normalQuantile(1e-20), -9.262340089798409, 1e-15);
  // A relative error of z² times that of z in the tail: 1400 times at 1e-300.
  for (const p of [1e-8, 1.3e-11, 1.5e-11, 1e-15, 1e-30, 1e-100, 1e-200, 1e-300])
    expectRelative(normalCdf(normalQuantile(p)), p, 2e-12);
  expect(normalQuantile(1 - 1e-15)).toBeCloseTo(-normalQuantile(1e-15), 1);
});
