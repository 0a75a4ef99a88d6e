import { expect, test } from 'vitest';
import { the } from '../the.ts';
import { type TestBench, testBench } from './bench.ts';

/** A run whose first readings were 31, 33 and 35. */
async function inRun(): Promise<TestBench> {
  const bench = await testBench();
  await bench.say('start run one', 5);
  for (const [k, text] of ['thirty one', 'thirty three', 'thirty five'].entries())
    await own(bench, 20 + 20 * k, { [text]: 0.97 });
  return bench;
}

/** Words that the ear hears by itself so surely, from a voice that counts for `nearness` beside the caller's calls. */
const own = (bench: TestBench, atS: number, said: Record<string, number>, nearness?: number): Promise<void> =>
  bench.say('', atS, {
    ear: 'own',
    alternatives: Object.entries(said).map(([text, p]) => ({ text, confidence: (nearness ?? 1) * p })),
    ...(nearness === undefined ? {} : { nearness }),
  });
/** Some 6 dB below the caller's calls, and 8 dB. */
const [soft, softer] = [0.46, 0.1];

const values = (bench: TestBench): string[] => bench.run('1').readings.map(({ value }) => value);

test.for([
  [{ seven: 0.14, two: 0.02 }],
  [{ twenty: 0.34, 'twenty one': 0.14 }],
  [{ zero: 0.6 }],
  [{ 'thirty four': 0.68, four: 0.15 }],
  [{ nineteen: 0.35 }],
  [{ one: 0.21, two: 0.03, 'one one': 0.02 }],
])('numbers in the talk of others are kept and not asked about (%j)', async ([said = {}]) => {
  const bench = await inRun();
  const [cues, shown] = [bench.cues.length, bench.session.view().exchange];
  await own(bench, 75, said, soft);
  expect(values(bench)).toEqual(['31', '33', '35']);
  expect(bench.cues).toHaveLength(cues);
  expect(bench.session.view().exchange).toEqual(shown);
  const call = bench.state().calls.at(-1);
  expect(call?.outcome).toBe('not-a-reading');
  expect(call?.heard.at(-1)?.alternatives[0]?.text).toBe(Object.keys(said)[0]);
});

// A caller who turns away is softer by 6 dB: nothing of what was plainly said may be lost.
test.for([
  ['due', 'thirty seven', '37'],
  ['off the marks', 'thirty eight', '38'],
] as const)('a number %s is asked about or taken, however softly it was said', async ([, said, value]) => {
  for (const nearness of [soft, softer]) {
    const bench = await inRun();
    const cues = bench.cues.length;
    await own(bench, 80, { [said]: 0.97 }, nearness);
    const { value: is, rivals } = the(bench.run('1').readings.at(-1));
    const mayBe = rivals.flatMap(({ meaning }) => (meaning.kind === 'reading' ? meaning.values[0]?.value : []));
    expect([is, ...mayBe]).toContain(value);
    expect(bench.cues.length).toBeGreaterThan(cues);
  }
});

test('the first number of a run and a number that is due are asked about where they were hardly heard, too', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await own(bench, 20, { 'twenty two': 0.4 }, 1);
  expect(bench.run('1').readings.length + bench.cues.filter(({ cue }) => cue === 'unresolved').length).toBe(1);
  const run = await inRun();
  await own(run, 80, { 'thirty seven': 0.4 }, 1);
  expect(run.run('1').readings.at(-1)).toMatchObject({ value: '37' });
});

test('a lower number after a leak is asked about too', async () => {
  const bench = await inRun();
  await own(bench, 70, { leak: 0.97 });
  const cues = bench.cues.length;
  await own(bench, 80, { 'thirty four': 0.97 }, soft);
  expect(bench.cues.length).toBeGreaterThan(cues);
});

test.for(['start run two', 'temperature twenty one', 'correction thirty six', 'baseline thirty'])(
  '“%s” is never left without an answer',
  async (said) => {
    for (const nearness of [soft, softer]) {
      const bench = await inRun();
      const cues = bench.cues.length;
      await own(bench, 80, { [said]: 0.9 }, nearness);
      expect(bench.cues.length).toBeGreaterThan(cues);
    }
  },
);

test('a digit of others is no second half of the number before it', async () => {
  const bench = await inRun();
  await own(bench, 80, { forty: 0.97 });
  await own(bench, 81, { one: 0.3 }, soft);
  expect(values(bench).at(-1)).toBe('40');
});

// Its third reading was in doubt itself, and 34 of others' talk lay between that and the one before.
test('a number in talk that is less than a reading in doubt is not asked about', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await own(bench, 20, { 'thirty one': 0.97 });
  await own(bench, 40, { 'thirty three': 0.97 });
  await own(bench, 60, { 'thirty five': 0.3, thirty: 0.04 });
  await own(bench, 70, { 'thirty four': 0.74, four: 0.15 }, soft);
  expect(values(bench)).toEqual(['31', '33', '35']);
});

test('what the caller said and the ear did not make out is asked about', async () => {
  const bench = await inRun();
  const cues = bench.cues.length;
  await own(bench, 75, { seven: 0.04, two: 0.02 });
  expect(bench.cues.length).toBeGreaterThan(cues);
});

// They were taken for a run of their own, 1, 3, 5, 7 and 9, after 35.
test('numbers that were hardly heard do not make readings below those before them', async () => {
  const bench = await inRun();
  const talk = [
    { twenty: 0.34, 'twenty one': 0.14, one: 0.06 },
    { three: 0.06, eight: 0.02, twelve: 0.01 },
    { nineteen: 0.35, ninety: 0.03 },
    { one: 0.07, 'one one': 0.02 },
    { nine: 0.03, eight: 0.02 },
    // The last is taken for a reading in doubt, and those before it are judged again.
    { seven: 0.14, two: 0.01, ten: 0.01 },
  ];
  for (const [k, said] of talk.entries()) await own(bench, 73 + 8 * k, said);
  const last = bench.state().calls.at(-1)?.id;
  const others = bench.run('1').readings.filter(({ call }) => call !== last);
  expect(others.map(({ value }) => value)).toEqual(['31', '33', '35']);
});
