import { hearSamples } from '../../src/hearing/ear/hear-samples.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { createRandom, type Random } from '../../src/numerics/random.ts';
import { testBench } from '../bench/bench.ts';
import type { Voice } from '../browser/speech-sound.ts';
import { type Condition, cardinal, conditions, meaningsOf, prepare, spelled, utter, voices } from './ear-sound.ts';
import { callRun, type Moment, type Trouble } from './hearing.ts';

/**
 * The embedded ear with expectation: whole runs are spoken by the engine that is held out, heard by the ear, and taken
 * by the very session of the app, call by call and again as later calls arrive. Among them runs with a surge, with a
 * late call, with a spill, whose values are really off the trend.
 */
const stepsMl = [2, 2, 2, 1, 5];

const troubleOf = (random: Random): Trouble => {
  const roll = random.uniform();
  return roll < 0.6 ? 'none' : roll < 0.75 ? 'surge' : roll < 0.9 ? 'slow' : 'spill';
};

interface SpokenRun {
  readonly voice: Voice;
  readonly stepMl: number;
  readonly calls: readonly (Moment & { readonly text: string })[];
}

/** The same values and words in every condition: only the noise differs. */
function spokenRun(voice: Voice, number: number): SpokenRun {
  const random = createRandom(`ear ${voice} ${number}`);
  const { frame, moments } = callRun(troubleOf(random), random, stepsMl);
  const calls = moments.map((moment) => {
    const value = Number(moment.value);
    const words = value % 7 === 3 && value > 20 ? spelled(value) : cardinal(value);
    return { ...moment, text: random.uniform() < 0.15 ? `${words} millilitres` : words };
  });
  return { voice, stepMl: frame.stepMl ?? 1, calls };
}

interface Tally {
  calls: number;
  heardRight: number;
  takenRight: number;
  silentlyWrong: number;
  doubtedRight: number;
  doubtedWrong: number;
  unresolved: number;
  asWord: number;
  doubtsAtFirst: number;
  troubled: number;
  troubledRight: number;
}

/** One run through a session of its own. @param notes what went wrong, for looking at */
async function take(run: SpokenRun, { snrDb }: Condition, seed: number, tally: Tally, notes: string[]): Promise<void> {
  const bench = await testBench();
  await bench.journal.record({
    kind: 'set-up',
    setup: { ...defaultSetup, stepMl: run.stepMl, spanMl: run.stepMl * 20 },
  });
  await bench.say('start run one', 5);
  const startS = 20;
  const ids: string[] = [];
  for (const [index, { timeS, text, value }] of run.calls.entries()) {
    const { samples, sampleRate } = await utter(text, run.voice, snrDb, seed * 100 + index);
    const answer = hearSamples(samples, sampleRate);
    if (meaningsOf(answer)[0]?.meaning === value) tally.heardRight++;
    // As `listening` passes on what the ear says of a sound that is likely to be speech.
    const atS = startS + timeS;
    await bench.say('', atS, {
      id: `call-${index}`,
      ear: 'own',
      alternatives: answer.best.map(({ text: heard, p }) => ({ text: heard, confidence: p })),
      endMs: (atS + samples.length / sampleRate - 0.45) * 1000,
    });
    const first = bench.state().calls.at(-1);
    ids.push(first?.id ?? '');
    if (first?.outcome === 'doubtful') tally.doubtsAtFirst++;
  }
  const readings = new Map(bench.run('1').readings.map((reading) => [reading.id, reading]));
  for (const [index, { value, text, troubled }] of run.calls.entries()) {
    const taken = bench.state().calls.find(({ id }) => id === ids[index]);
    const mine = (taken?.readings ?? []).map((id) => readings.get(id)).filter((one) => one && !one.struck);
    const right = mine.length === 1 && mine[0]?.volumeMl === Number(value);
    tally.calls++;
    if (troubled) tally.troubled++;
    if (troubled && right) tally.troubledRight++;
    if (mine.length === 0) tally[taken?.outcome === 'unresolved' ? 'unresolved' : 'asWord']++;
    else if (mine.some((one) => one?.outcome === 'doubtful')) tally[right ? 'doubtedRight' : 'doubtedWrong']++;
    else tally[right ? 'takenRight' : 'silentlyWrong']++;
    if (!right)
      notes.push(
        `${run.voice}: ${text} (step ${run.stepMl}${troubled ? ', off the trend' : ''}) -> ${taken?.outcome} ${mine.map((one) => `${one?.value} ${one?.outcome}`).join()}; heard ${taken?.heard
          .flatMap(({ alternatives }) => alternatives)
          .slice(0, 4)
          .map(({ text: heard, p }) => `${heard} ${p?.toFixed(3)}`)
          .join(', ')}`,
      );
  }
}

const percent = (part: number, whole: number) => `${((100 * part) / Math.max(1, whole)).toFixed(2)}`.padStart(7);

/** @param perVoice runs of eleven calls for each voice and condition */
export async function runsTable(perVoice: number): Promise<void> {
  const runs = voices.flatMap((voice) => Array.from({ length: perVoice }, (_, number) => spokenRun(voice, number)));
  const phrases = new Map(
    runs.flatMap(({ voice, calls }) => calls.map(({ text }) => [`${voice} ${text}`, { text, voice }])),
  );
  prepare([...phrases.values()]);
  console.log(
    `With expectation: ${runs.length} simulated runs of 11 calls in each row (held-out engine, ${voices.length} voices; two runs in five with a surge, a late call or a spill), through the session of the app, % of calls`,
  );
  console.log('            first    taken  silently  doubted:            un-    taken    doubts per run   right after');
  console.log(
    '            right    right     wrong    right    wrong  solved  as word   first   at end   surge, spill',
  );
  for (const condition of conditions.slice(0, 3)) {
    const t: Tally = {
      calls: 0,
      heardRight: 0,
      takenRight: 0,
      silentlyWrong: 0,
      doubtedRight: 0,
      doubtedWrong: 0,
      unresolved: 0,
      asWord: 0,
      doubtsAtFirst: 0,
      troubled: 0,
      troubledRight: 0,
    };
    const notes: string[] = [];
    for (const [k, run] of runs.entries()) await take(run, condition, k + 1, t, notes);
    const of = (n: number) => percent(n, t.calls);
    const each = (n: number) => (n / runs.length).toFixed(2).padStart(7);
    console.log(
      `${condition.name.padEnd(9)} ${of(t.heardRight)}  ${of(t.takenRight)}   ${of(t.silentlyWrong)}  ${of(t.doubtedRight)}  ${of(t.doubtedWrong)} ${of(t.unresolved)}  ${of(t.asWord)} ${each(t.doubtsAtFirst)}  ${each(t.doubtedRight + t.doubtedWrong)}   ${t.troubledRight} of ${t.troubled}`,
    );
    if (process.env.MISSES) console.log(notes.join('\n'));
  }
  console.log();
}

if (process.argv[1]?.endsWith('ear-runs.ts')) await runsTable(process.argv.includes('--quick') ? 6 : 24);
