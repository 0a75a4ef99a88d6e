import { expect, test } from 'vitest';
import { Plan } from '../../src/log/plan.ts';
import { defaultSetup, type Setup } from '../../src/log/setup.ts';
import { adviceOf, type EarlierRun, inMinutes } from '../../src/planning/plan-advice.ts';
import { cautionsOf, preparedOf, strengthInWords, withU } from '../../src/planning/plan-mixture.ts';
import { emptyPlan, planTemplates } from '../../src/planning/plan-templates.ts';
import { the } from '../the.ts';

const at25: Setup = { ...defaultSetup, temperatureC: 25, pressure: { kind: 'station', hPa: 1000 } };

/** A published college hand-out's mixture (scribd 77217932): 4 mL of 3 % peroxide, 5 mL of 0.8 M KI, 16 mL of water. */
const handOut: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' }, availableMl: 50 },
    { id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.8, unit: 'mol/L' }, availableMl: 50 },
  ],
  dilutions: [],
  runs: [
    {
      label: '1',
      pours: [
        { solution: 'water', volumeMl: 16 },
        { solution: 'i', volumeMl: 5 },
        { solution: 'p', volumeMl: 4 },
      ],
    },
  ],
};

const change = (run: Partial<Plan['runs'][number]>): Plan => ({
  ...handOut,
  runs: [{ ...the(handOut.runs[0]), ...run }],
});

test('the hand-out’s mixture: concentrations, rate, first mark and ceiling as published and worked by hand', () => {
  // 3 % w/v is 30 g/L over 34.014 g/mol = 0.8820 mol/L; 4 of 25 mL: 0.1411 mol/L. 5 of 25 mL of 0.8: 0.160 mol/L.
  // d[O2]/dt = 0.0115 x 0.1411 x 0.160 = 2.597e-4 mol/L/s; in 25 mL 6.49e-6 mol/s.
  // Moist gas at 25 °C and 1000 hPa, p_w 3169.7 Pa: 8.31446 x 298.15/96830 = 25.60 L/mol, so 0.1662 mL/s.
  // Published beside it: 0.166 mL/s, first 2 mL in about 12 s, 45 mL in all.
  const { flasks } = adviceOf(handOut, at25);
  const [flask] = flasks;
  expect(flask?.totalMl).toBeCloseTo(25, 9);
  expect(flask?.species.map((entry) => [entry.key, Number(entry.molPerL.toFixed(4))])).toEqual([
    ['H2O2', 0.1411],
    ['I-', 0.16],
  ]);
  expect(flask?.course?.rateMlPerS).toBeCloseTo(0.1662, 3);
  expect(flask?.course?.firstMarkS).toBeCloseTo(12.3, 1);
  expect(flask?.course?.ceilingMl).toBeCloseTo(45.2, 1);
  // 20 of 45.2 mL: 44 %; -ln(1 - 0.4428)/3.68e-3 = 158.9 s.
  expect(flask?.course?.conversion).toBeCloseTo(0.443, 3);
  expect(flask?.course?.spanS).toBeCloseTo(158.9, 0);
});

test('where the gas above the reaction is allowed for, ceiling, times and conversion are those of water that rises against it', () => {
  // From scratch: with H of gas above the reaction and an area A of the cylinder, V displaced takes
  // n = [(p - p_w + rho g V/A)(H + V) - (p - p_w) H]/(R T) of gas; by first order it is there at -ln(1 - n/n_all)/k'.
  const backPressure = { on: true, headspaceMl: 250, cylinderBoreMm: 28.2 };
  const dry = 100_000 - 3169.7;
  const area = (Math.PI * 0.0282 ** 2) / 4;
  const moles = (m3: number): number =>
    ((dry + (997.047 * 9.80665 * m3) / area) * (250e-6 + m3) - dry * 250e-6) / (8.31446 * 298.15);
  const all = (0.1411 / 2) * 0.025;
  const secondsTo = (ml: number): number => -Math.log1p(-moles(ml * 1e-6) / all) / 3.68e-3;
  const course = the(the(adviceOf(handOut, { ...at25, backPressure }).flasks[0]).course);
  expect(moles(course.ceilingMl * 1e-6) / all).toBeCloseTo(1, 3);
  expect(course.ceilingMl).toBeCloseTo(43.1, 1);
  expect(the(course.firstMarkS) / secondsTo(2)).toBeCloseTo(1, 3);
  expect(the(course.spanS) / secondsTo(20)).toBeCloseTo(1, 3);
  expect(course.conversion).toBeCloseTo(moles(20e-6) / all, 3);
  // 1 mol is spread over 4 % less water: 0.1662/1.0405.
  expect(course.rateMlPerS).toBeCloseTo(0.1597, 3);
  const off = { ...at25, backPressure: { ...backPressure, on: false } };
  expect(JSON.stringify(adviceOf(handOut, off))).toBe(JSON.stringify(adviceOf(handOut, at25)));
});

test('a setup under which no gas can be collected over water is said, and the concentrations stay', () => {
  for (const temperatureC of [-5, 100]) {
    const { flasks, warnings } = adviceOf(handOut, { ...defaultSetup, temperatureC });
    expect(flasks[0]?.course).toBeNull();
    expect(flasks[0]?.species[1]?.molPerL).toBeCloseTo(0.16, 9);
    expect(warnings.filter((line) => line.includes('cannot be collected over water'))).toHaveLength(1);
  }
});

test('a dilution as in the textbook: 10.0 mL of 0.200 mol/L in 50.0 mL is 0.0400 mol/L', () => {
  const plan: Plan = {
    ...handOut,
    stocks: [{ id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.2, unit: 'mol/L' } }],
    dilutions: [
      { id: 'd', name: 'fifth', from: 'i', takeMl: 10, makeUpToMl: 50 },
      { id: 'e', name: 'fifth by adding', from: 'i', takeMl: 10, addWaterMl: 40 },
    ],
    runs: [],
  };
  const prepared = preparedOf(plan);
  expect(prepared.solutions.get('d')?.molPerM3).toBeCloseTo(40, 9);
  expect(prepared.solutions.get('e')?.molPerM3).toBeCloseTo(40, 9);
  // 10 mL cylinder: 0.2/sqrt 3 and 0.04 are 0.122 mL of 10, 1.22 %; 50 mL cylinder: 0.5/sqrt 3 and 0.2 are 0.351 mL of
  // 50, 0.70 %; together 1.41 % of 0.0400.
  expect(strengthInWords(prepared, 'd')).toBe('0.04000 ± 0.00056 mol/L');
});

test('uncertainty of a flask: label and vessels, by hand', () => {
  // Peroxide label 5 %; 4 mL from a 10 mL cylinder of unknown class: limit 0.2/sqrt 3 = 0.1155, level 0.2 x 0.2 = 0.04,
  // together 0.1222 mL. Total 25 mL: the 16 mL of water (25 mL cylinder: 0.34/sqrt 3 = 0.1963, level 0.1 -> 0.2203)
  // and 5 mL of iodide (10 mL cylinder, 0.1222).
  // c = C v/V: u/c = [(1/v - 1/V) u_v, u_w/V, u_i/V] = [0.21 x 0.1222, 0.2203/25, 0.1222/25] = 0.02566, 0.00881, 0.00489
  // together 0.02757; with the label's 0.05: 0.0571.
  const plan = change({
    pours: [
      { solution: 'water', volumeMl: 16, vesselMl: 25 },
      { solution: 'i', volumeMl: 5, vesselMl: 10 },
      { solution: 'p', volumeMl: 4, vesselMl: 10 },
    ],
  });
  const labelled: Plan = {
    ...plan,
    stocks: plan.stocks.map((stock) =>
      stock.id === 'p' ? { ...stock, strength: { ...stock.strength, uRelative: 0.05 } } : stock,
    ),
  };
  const entry = adviceOf(labelled, at25).flasks[0]?.species[0];
  expect((entry?.uMolPerL ?? 0) / (entry?.molPerL ?? 1)).toBeCloseTo(0.0571, 3);
});

test('ten degrees colder takes twice as long: Arrhenius with 56.1 kJ/mol', () => {
  // k(15)/k(25) = 0.00524/0.01150 (published table beside Liebhafsky & Mohammad's constant).
  const warm = adviceOf(handOut, at25).flasks[0]?.course;
  const cold = adviceOf(change({ temperatureC: 15 }), at25).flasks[0]?.course;
  expect((cold?.rateMlPerS ?? 0) / (warm?.rateMlPerS ?? 1)).toBeCloseTo(0.00524 / 0.0115, 2);
});

test('an earlier run is a better guide than a published constant', () => {
  // Measured 0.100 mL/s with the hand-out's mixture: half the iodide must give 0.050 mL/s.
  const volumes = the(handOut.runs[0]).pours.map((pour) => ({
    solution: pour.solution,
    volumeMl: pour.volumeMl,
    plannedMl: pour.volumeMl,
    vesselMl: null,
    from: 'planned' as const,
    settled: null,
    putRight: false,
  }));
  const earlier: EarlierRun = { label: '1', rateMlPerS: 0.1, volumes, temperatureC: 25 };
  const half = change({
    label: '2',
    pours: [
      { solution: 'water', volumeMl: 18.5 },
      { solution: 'i', volumeMl: 2.5 },
      { solution: 'p', volumeMl: 4 },
    ],
  });
  const advice = adviceOf(half, at25, [earlier]);
  expect(advice.flasks[0]?.course?.rateMlPerS).toBeCloseTo(0.05, 6);
  expect(advice.courseFrom).toMatch(/from run 1 of this notebook/);
});

test('a span that is 80 % conversion is called so, with a shorter one proposed', () => {
  // Ceiling 45.2 mL: 36 mL are 80 %; a fifth of it is 9.04 mL, in steps of 2: 8 mL, 18 %.
  const { warnings } = adviceOf(handOut, { ...at25, spanMl: 36 });
  expect(warnings).toContain('Run 1: 36 mL is 80 % conversion: choose a shorter span (8 mL would be 18 %).');
  expect(adviceOf(handOut, at25).warnings.join(' ')).not.toMatch(/conversion/);
});

test('a cylinder that will overflow is called so', () => {
  const small: Setup = { ...at25, cylinder: { capacityMl: 25, divisionMl: 0.5, accuracy: 'B' } };
  expect(adviceOf(handOut, small).warnings.join(' ')).toMatch(
    /Run 1: left alone, a run makes 45 mL of gas: the 25 mL cylinder will overflow/,
  );
  expect(adviceOf(handOut, { ...small, spanMl: 30 }).warnings.join(' ')).toMatch(/is full before the span of 30 mL/);
  expect(adviceOf(handOut, at25).warnings.join(' ')).not.toMatch(/overflow/);
});

test('a span that is never reached, and marks too fast to call, are called so', () => {
  expect(adviceOf(handOut, { ...at25, spanMl: 50 }).warnings.join(' ')).toMatch(
    /makes only 45 mL of gas: the span of 50 mL/,
  );
  // 0.166 mL/s: marks of 0.2 mL pass every 1.2 s.
  expect(adviceOf(handOut, { ...at25, stepMl: 0.2 }).warnings.join(' ')).toMatch(/pass every 1\.2 s, faster than/);
});

test('a fault that several runs share is named once', () => {
  const twice: Plan = { ...handOut, runs: [the(handOut.runs[0]), { ...the(handOut.runs[0]), label: '2' }] };
  const found = adviceOf(twice, { ...at25, spanMl: 36 }).warnings.filter((sentence) => /conversion/.test(sentence));
  expect(found).toHaveLength(1);
  expect(found[0]).toMatch(/^Runs 1 and 2: 36 mL is 80 %/);
});

test('no run that varies a species, and bottles too small, are among the warnings', () => {
  const thrice: Plan = {
    ...handOut,
    stocks: handOut.stocks.map((stock) => ({ ...stock, availableMl: 10 })),
    runs: ['1', '2', '3'].map((label) => ({ ...the(handOut.runs[0]), label })),
  };
  const { warnings } = adviceOf(thrice, at25);
  expect(warnings).toContain('No run varies iodide: its order cannot be found.');
  expect(warnings).toContain('The plan needs 15 mL of iodide, but there are 10 mL.');
});

test('a small volume from a large cylinder is called coarse', () => {
  const plan = change({
    pours: [
      { solution: 'water', volumeMl: 16 },
      { solution: 'i', volumeMl: 5 },
      { solution: 'p', volumeMl: 4, vesselMl: 100 },
    ],
  });
  // 1/sqrt 3 = 0.577 mL limit and 0.2 mL level: 0.611 of 4 mL is 15 %.
  expect(adviceOf(plan, at25).warnings).toContain(
    'Run 1: 4 mL is good to 15 % only with a 100 mL cylinder: take a pipette.',
  );
});

test('an unknown strength is named, and nothing is predicted from it', () => {
  const plan: Plan = {
    ...handOut,
    stocks: handOut.stocks.map((stock) =>
      stock.id === 'i' ? { ...stock, strength: { value: 0, unit: 'M-unknown' as const } } : stock,
    ),
  };
  const advice = adviceOf(plan, at25);
  expect(advice.flasks[0]?.course).toBeNull();
  expect(advice.warnings.join(' ')).toMatch(/iodide: The strength of this solution is not known/);
});

test('without a temperature an ordinary room is taken, and that is said', () => {
  expect(adviceOf(handOut, defaultSetup).courseFrom).toMatch(/No temperature is stated: 20 °C is taken/);
  expect(adviceOf(handOut, at25).courseFrom).not.toMatch(/is taken/);
});

test('templates can be stored, give their orders and fit their cylinder', () => {
  for (const { id, plan } of planTemplates) {
    expect(Plan.safeParse(plan).success).toBe(true);
    const { warnings, flasks, budget } = adviceOf(plan, at25);
    expect(flasks.every((flask) => flask.course !== null)).toBe(true);
    expect(budget.repeats).toMatch(/still possible/);
    const missing = warnings.filter((sentence) => /order cannot be found|cannot be told apart/.test(sentence));
    expect(missing).toHaveLength(id === 'temperatures' ? 2 : 0);
  }
  expect(Plan.safeParse(emptyPlan).success).toBe(true);
  expect(adviceOf(emptyPlan, at25).warnings).toEqual([]);
});

test('a plan of a reaction that is not known here says nothing wrong and predicts nothing', () => {
  const advice = adviceOf({ ...handOut, reaction: 'of-a-newer-version' }, at25);
  expect(advice.flasks[0]?.course).toBeNull();
  expect(advice.isolates).toEqual([]);
});

test('a plan shows the cautions of its gas and of its bottles, each once', () => {
  const sentences = cautionsOf(handOut).map((caution) => caution.sentence);
  expect(new Set(sentences).size).toBe(sentences.length);
  expect(sentences.join(' ')).toMatch(/goggles/);
  expect(sentences.join(' ')).toMatch(/Never close a vessel/);
  expect(sentences.join(' ')).toMatch(/no flames/);
});

test('durations read as people say them', () => {
  expect(inMinutes(45.4)).toBe('45 s');
  expect(inMinutes(128)).toBe('2 min 10 s');
  expect(inMinutes(599)).toBe('10 min');
  expect(inMinutes(2100)).toBe('35 min');
  expect(inMinutes(3 * 3600 + 20 * 60)).toBe('3 h 20 min');
});

test('a figure is rounded by its uncertainty', () => {
  expect(withU(0.14112, 0.0021)).toBe('0.1411 ± 0.0021');
  expect(withU(0.0800001, 0)).toBe('0.08');
  expect(withU(12, 3.4)).toBe('12.0 ± 3.4');
});

test('a reaction that can warm itself by a degree within the span is pointed out, with what that does to the rate', () => {
  // 20 mL at 25.60 L/mol: 0.781 mmol of oxygen, 189.3 kJ/mol, into 25 mL of 4.18 J/(mL K): 1.415 K. Ea 56.1 kJ/mol:
  // exp(6747 K x (1/298.15 - 1/299.565)) = 1.113.
  expect(adviceOf(handOut, at25).warnings).toEqual([
    ...adviceOf(handOut, at25).warnings.filter((sentence) => !sentence.includes('its own heat')),
    'Run 1: by the end of the span its own heat can warm it by up to 1.4 degrees, which makes it some 11 % faster. Call the temperature of the flask at the start and at the end of the run.',
  ]);
  const warned = (setup: Setup, plan = handOut): boolean =>
    adviceOf(plan, setup).warnings.some((sentence) => sentence.includes('its own heat'));
  // Half the gas, half the heat; twice the water likewise.
  expect(warned({ ...at25, spanMl: 12 })).toBe(false);
  const diluted = the(handOut.runs[0]).pours.map((pour) =>
    pour.solution === 'water' ? { ...pour, volumeMl: 41 } : pour,
  );
  expect(warned(at25, change({ pours: diluted }))).toBe(false);
  // No more heat than the peroxide has, however long the span: 45.2 mL, 3.2 K.
  expect(adviceOf(handOut, { ...at25, spanMl: 100 }).warnings.join(' ')).toMatch(/up to 3\.2 degrees/);
});

test('of a reaction whose heat is not known, or of a flask that is not, nothing is said of warming', () => {
  const own: Plan = {
    ...handOut,
    reaction: 'own',
    own: { name: 'Ours', gas: 'O2', gasPerLimiting: 0.5, limiting: 'H2O2', orderSpecies: ['H2O2', 'I-'] },
  };
  for (const plan of [own, change({ pours: [] }), { ...handOut, reaction: 'carbonate-acid' }])
    expect(adviceOf(plan, at25).warnings.join(' ')).not.toMatch(/own heat/);
});

test('magnesium in acid, whose amount no bottle tells, is warned of by the gas of the span, without a figure for the rate', () => {
  const plan: Plan = {
    reaction: 'magnesium-acid',
    stocks: [{ id: 'a', name: 'acid', species: 'HCl', strength: { value: 1, unit: 'mol/L' } }],
    dilutions: [],
    runs: [{ label: '1', pours: [{ solution: 'a', volumeMl: 50 }] }],
  };
  // 0.781 mmol at 467 kJ/mol into 50 mL: 1.75 K.
  expect(adviceOf(plan, at25).warnings.join(' ')).toMatch(/can warm it by up to 1\.7 degrees\. Call the temperature/);
});
