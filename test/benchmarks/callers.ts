import { pathToFileURL } from 'node:url';
import { nextMarkMl } from '../../src/bench/marks.ts';
import type { EventOf } from '../../src/log/event.ts';
import { createRandom, type Random } from '../../src/numerics/random.ts';
import { type Offer, sessionInMemory } from '../bench/session-in-memory.ts';
import { type Caller, type CallerKind, everyKind, makeCaller } from './caller.ts';
import { channelOfTheTarget, hear, mishear } from './hearing.ts';

/**
 * Callers of every kind through the whole session: starts from 0 to 60 in wholes, halves and tenths; steps of 0.5 to
 * 5 mL; baseline called or not; a mark left out; a reading in between; the step changed in mid-run; surges.
 *
 * `npm run bench -- callers` takes 400 runs a row, `--quick` 60, `--runs=N` any number. `--half=choose` takes the even
 * runs alone, by which rules were chosen, `--half=report` the odd ones. `--show` prints what went wrong, `--run=K` one run,
 * `--only=NAME` one ear, `--calm` without surges.
 */
interface Ear {
  readonly name: string;
  readonly is: 'browser' | 'own';
  offer(value: string, random: Random): Offer;
  /** The right value was heard clearly: by the ear's own word nothing else was likely. */
  clear(offer: Offer, value: string): boolean;
}

const numberIn = (text: string): number | null => {
  const digits = /^\D*(\d+(?:\.\d+)?)\D*$/.exec(text)?.[1];
  return digits === undefined ? null : Number(digits);
};

const perfect: Ear = {
  name: 'an ear that is always right',
  is: 'browser',
  offer: (value) => [{ text: value, p: 0.9 }],
  clear: () => true,
};

/** One alternative alone is clear; where the engine itself names other numbers, it is not. */
const engine: Ear = {
  name: 'an engine, 10 % wrong at first',
  is: 'browser',
  offer: (value, random) =>
    random.uniform() < channelOfTheTarget.restarting ? [] : hear(value, channelOfTheTarget, random),
  clear: (offer, value) => offer.length === 1 && numberIn(offer[0]?.text ?? '') === Number(value),
};

/** Shares that are true: of all calls with 0.9 on the first, nine in ten are that number. 7 % wrong at first. */
const calibrated: Ear = {
  name: 'a calibrated ear, 7 % wrong at first',
  is: 'own',
  offer(value, random) {
    if (random.uniform() < channelOfTheTarget.restarting) return [];
    const top = random.uniform() < 0.8 ? 0.99 + 0.0099 * random.uniform() : 0.4 + 0.55 * random.uniform();
    const others: string[] = [];
    for (let k = 0; k < 12 && others.length < 3; k++) {
      const other = mishear(value, random);
      if (numberIn(other) !== null && Number(other) !== Number(value) && !others.includes(other)) others.push(other);
    }
    const ranks = [value, ...others];
    // The right one stands first as often as the ear says it does, else further down, sometimes nowhere.
    const place = random.uniform() < top ? 0 : 1 + random.integer(3);
    const order = [...others.slice(0, place), value, ...others.slice(place)].slice(0, 4);
    if (order.length < ranks.length && place === 0) order.unshift(value);
    const rest = (1 - top) / 3;
    return order.slice(0, 3).map((text, k) => ({ text, p: k === 0 ? top : rest * 0.9 }));
  },
  clear: (offer, value) => (offer[0]?.p ?? 0) >= 0.95 && Number(offer[0]?.text) === Number(value),
};

interface Tally {
  runs: number;
  calls: number;
  silentlyWrong: number;
  clear: number;
  /** Heard right and clearly, yet doubted or overridden at any moment. */
  clearDoubted: number;
  marks: number;
  marksRight: number;
  doubts: number;
  unresolved: number;
  /** Taken for talk or a procedure word. */
  notReadings: number;
  lost: number;
  doubled: number;
  surges: number;
  surgesKept: number;
}

async function hearCaller(caller: Caller, ear: Ear, random: Random, tally: Tally, show: boolean): Promise<void> {
  const { capacityMl, plannedStepMl } = caller;
  const setup = {
    stepMl: plannedStepMl,
    spanMl: 10 * plannedStepMl,
    cylinder: { capacityMl, divisionMl: 1, accuracy: 'B' as const },
  };
  const bench = await sessionInMemory(setup);
  if (caller.baselineMl !== null) {
    await bench.session.press({ kind: 'baseline', value: String(caller.baselineMl) }, 1000);
  }
  const clearOnsets = new Map<number, number>();
  const offers: Offer[] = [];
  for (const [k, { timeS, value, nextMl, surge }] of caller.calls.entries()) {
    const offer = ear.offer(value, random);
    offers.push(offer);
    if (ear.clear(offer, value)) clearOnsets.set(1000 * timeS, Number(value));
    if (ear.clear(offer, value) && surge) tally.surges++;
    await bench.say(offer, timeS, ear.is);
    if (k < 1 || nextMl === null) continue;
    tally.marks++;
    const due = nextMarkMl(bench.run(), bench.state().setup, bench.state().calls);
    if (due !== null && Math.abs(due - nextMl) < 1e-6) tally.marksRight++;
    else if (show)
      console.log(
        '  next mark',
        due,
        'meant',
        nextMl,
        'after',
        caller.calls
          .slice(0, k + 1)
          .map((call) => call.value)
          .join(' '),
        'step',
        plannedStepMl,
        'last',
        JSON.stringify(offer).slice(0, 150),
        bench
          .run()
          .readings.slice(-3)
          .map((one) => `${one.value}${one.outcome === 'taken' ? '' : '?'}`)
          .join(' '),
      );
  }
  tally.runs++;
  tally.calls += caller.calls.length;
  tally.clear += clearOnsets.size;
  count(bench.events(), clearOnsets, caller, tally, show ? offers : null);
}

type Judged = EventOf<'judged'>;

function count(
  events: readonly { readonly body: { readonly kind: string } }[],
  clear: ReadonlyMap<number, number>,
  caller: Caller,
  tally: Tally,
  offers: readonly Offer[] | null,
): void {
  const onsets = new Map<string, number>();
  const judged = new Map<string, Judged[]>();
  for (const { body } of events) {
    if (body.kind === 'called') onsets.set((body as EventOf<'called'>).call, (body as EventOf<'called'>).onsetMs);
    if (body.kind === 'judged') {
      const one = body as Judged;
      judged.set(one.call, [...(judged.get(one.call) ?? []), one]);
    }
  }
  const byOnset = new Map([...onsets].map(([call, onset]) => [onset, call]));
  for (const [k, { timeS, value, surge }] of caller.calls.entries()) {
    const list = judged.get(byOnset.get(1000 * timeS) ?? '') ?? [];
    const last = list.at(-1);
    if (!last) {
      tally.lost++;
      continue;
    }
    const valuesIn = ({ meaning }: Judged): number[] =>
      meaning?.kind === 'reading' ? meaning.values.map((one) => Number(one.value)) : [];
    const right = (one: Judged) => valuesIn(one).length === 1 && valuesIn(one)[0] === Number(value);
    if (valuesIn(last).length > 1) tally.doubled++;
    if (last.outcome === 'unresolved') tally.unresolved++;
    if (last.outcome === 'not-a-reading' || last.outcome === 'command') tally.notReadings++;
    const wrong = last.outcome === 'taken' && !right(last);
    if (wrong) tally.silentlyWrong++;
    const doubts = list.filter(
      ({ outcome }, j) => outcome === 'doubtful' && list[j - 1]?.outcome !== 'doubtful',
    ).length;
    tally.doubts += doubts;
    const isClear = clear.has(1000 * timeS);
    const upset = isClear && list.some((one) => one.outcome !== 'taken' || !right(one));
    if (upset) tally.clearDoubted++;
    if (surge && isClear && right(last)) tally.surgesKept++;
    if (offers && (wrong || upset || doubts > 0))
      console.log(
        `${wrong ? 'SILENT ' : ''}${upset ? 'UPSET ' : ''}said ${value} offered ${JSON.stringify(offers[k])}`,
        list.map((one) => `${one.outcome} ${valuesIn(one)} (${one.reason})`).join(' → '),
        '| run:',
        caller.calls.map((call) => call.value).join(' '),
      );
  }
}

/** Which of the runs are judged. */
type Which = (run: number) => boolean;

async function row(
  ear: Ear,
  kind: CallerKind,
  runs: number,
  seed: string,
  show: boolean,
  which: Which,
): Promise<Tally> {
  const tally: Tally = {
    runs: 0,
    calls: 0,
    silentlyWrong: 0,
    clear: 0,
    clearDoubted: 0,
    marks: 0,
    marksRight: 0,
    doubts: 0,
    unresolved: 0,
    notReadings: 0,
    lost: 0,
    doubled: 0,
    surges: 0,
    surgesKept: 0,
  };
  for (let k = 0; tally.runs < runs && k < 2 * runs + 10_000; k++) {
    if (!which(k)) continue;
    if (show) console.log(`# ${k}`);
    const random = createRandom(`${seed} ${k}`);
    await hearCaller(makeCaller(random, kind), ear, random, tally, show);
  }
  return tally;
}

/** The table as text. */
export async function callersTable(
  runs: number,
  seed = 'callers',
  show = false,
  only = '',
  surges: readonly number[] = [0, 1],
  which: Which = () => true,
): Promise<string> {
  const lines = [
    `Callers of every kind, ${runs} runs a row: starts 0 to 60 mL in wholes, halves and tenths; steps 0.5 to 5 mL; with and`,
    'without a baseline; a mark left out, a reading in between (each 30 %), the step changed in mid-run (20 %). English.',
    '',
    `${''.padEnd(38)}silently  clear, yet   next mark  doubts   un-       as talk   lost  doubled  clear surges`,
    `${''.padEnd(38)}wrong     doubted      right      a run    resolved                           kept`,
    `${''.padEnd(38)}per 1,000 per 1,000    %                   per 1,000 per 1,000`,
  ];
  for (const ear of [perfect, engine, calibrated].filter(({ name }) => name.includes(only)))
    for (const surge of surges) {
      const t = await row(ear, { ...everyKind, surge }, runs, `${seed} ${surge}`, show, which);
      const name = `${ear.name}${surge > 0 ? ', surge' : ''}`;
      lines.push(
        `${name.padEnd(38)}${((1000 * t.silentlyWrong) / t.calls).toFixed(2).padEnd(10)}${((1000 * t.clearDoubted) / t.clear).toFixed(2).padEnd(13)}${((100 * t.marksRight) / t.marks).toFixed(2).padEnd(11)}${(t.doubts / t.runs).toFixed(2).padEnd(9)}${((1000 * t.unresolved) / t.calls).toFixed(1).padEnd(10)}${((1000 * t.notReadings) / t.calls).toFixed(1).padEnd(10)}${String(t.lost).padEnd(6)}${String(t.doubled).padEnd(9)}${t.surges > 0 ? `${((100 * t.surgesKept) / t.surges).toFixed(1)} % of ${t.surges}` : '-'}`,
      );
    }
  return lines.join('\n');
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const startMs = performance.now();
  const option = (name: string) =>
    process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3);
  const size = option('runs');
  const runs =
    option('run') !== undefined ? 1 : size !== undefined ? Number(size) : process.argv.includes('--quick') ? 60 : 400;
  const half = option('half');
  const single = option('run');
  const which: Which = (run) =>
    single !== undefined ? run === Number(single) : half === undefined || run % 2 === (half === 'choose' ? 0 : 1);
  console.log(
    await callersTable(
      runs,
      'callers',
      process.argv.includes('--show'),
      option('only') ?? '',
      process.argv.includes('--calm') ? [0] : [0, 1],
      which,
    ),
  );
  console.log(`(${((performance.now() - startMs) / 1000).toFixed(1)} s)`);
}
