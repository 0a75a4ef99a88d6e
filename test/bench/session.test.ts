import { expect, test } from 'vitest';
import { makeUnderstanding } from '../../src/bench/understanding.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';
import { nextRunLabel } from '../../src/log/runs.ts';
import { the } from '../the.ts';
import { testBench } from './bench.ts';

const values = (readings: readonly { value: string; struck: boolean }[]): string[] =>
  readings.filter((reading) => !reading.struck).map((reading) => reading.value);

test('a called number becomes a reading at the onset of its sound', async () => {
  const bench = await testBench();
  await bench.say('start run one', 10);
  await bench.say('twelve', 20.25);
  await bench.say('fourteen', 31);
  const run = bench.run('1');
  expect(run.readings.map((reading) => [reading.value, reading.timeMs, reading.timing])).toEqual([
    ['12', 20250, 'sound'],
    ['14', 31000, 'sound'],
  ]);
});

test('the cue sounds only when the reading is on disk', async () => {
  const bench = await testBench();
  await bench.say('start run one', 10);
  await bench.say('12', 20);
  const stored = await bench.store.load(bench.journal.id);
  expect(bench.cues.at(-1)).toEqual({ cue: 'taken', events: stored.events.length });
});

test('a reading that could not be stored gets the trouble cue, stays in memory, and is stored with the next', async () => {
  const bench = await testBench();
  await bench.say('start run one', 10);
  bench.breakStorage(true);
  await bench.say('12', 20);
  expect(bench.cues.at(-1)?.cue).toBe('trouble');
  expect(values(bench.run('1').readings)).toEqual(['12']);
  bench.breakStorage(false);
  await bench.say('14', 30);
  expect(bench.cues.at(-1)?.cue).toBe('taken');
  const stored = await bench.store.load(bench.journal.id);
  expect(stored.events).toEqual(bench.journal.events());
});

test('a call is durable before any words have come', async () => {
  const bench = await testBench();
  await bench.say('start run one', 10);
  bench.session.hear({
    kind: 'call',
    call: {
      id: 'u-early',
      onsetMs: 20_000,
      endMs: 20_400,
      timing: 'sound',
      uOnsetMs: 15,
      utterance: null,
      heard: [],
      settled: false,
    },
  });
  await bench.session.idle();
  const stored = await bench.store.load(bench.journal.id);
  expect(stored.events.at(-1)?.body).toMatchObject({ kind: 'called', onsetMs: 20_000 });
  expect(bench.state().calls.at(-1)?.outcome).toBe('waiting');
});

test('a sound without words is an unresolved call with the next mark proposed', async () => {
  const bench = await testBench();
  await bench.say('start run one', 10);
  await bench.say('12', 20);
  await bench.say('', 30);
  const call = the(bench.state().calls.at(-1));
  expect(call.outcome).toBe('unresolved');
  expect(call.rivals[0]?.meaning).toMatchObject({ kind: 'reading', values: [{ value: '14' }] });
  expect(bench.cues.at(-1)?.cue).toBe('unresolved');
  expect(values(bench.run('1').readings)).toEqual(['12']);
});

test('with sound marks every sound is the next mark', async () => {
  const bench = await testBench();
  bench.prefer({ soundMarks: true });
  await bench.session.press({ kind: 'start-run', run: '1' }, 5000);
  await bench.say('', 10);
  // The first sound keeps its moment; its volume is asked for.
  expect(bench.session.view().exchange?.answer).toBe('At what volume do you start? Say the number.');
  await bench.session.press({ kind: 'correction', value: '63' }, 12_000);
  for (let i = 1; i < 4; i++) await bench.say('', 10 + 10 * i);
  expect(bench.run('1').readings.map((reading) => [reading.value, reading.outcome, reading.timeMs])).toEqual([
    ['63', 'taken', 10_000],
    ['65', 'taken', 20_000],
    ['67', 'taken', 30_000],
    ['69', 'taken', 40_000],
  ]);
});

test('while no ear knows words a sound is taken as the next mark, in doubt', async () => {
  const bench = await testBench({ hearsWords: false });
  await bench.session.press({ kind: 'start-run', run: '1' }, 5000);
  await bench.session.press({ kind: 'reading', values: [{ value: '41' }] }, 8000);
  await bench.say('', 20);
  expect(bench.run('1').readings[1]).toMatchObject({ value: '43', outcome: 'doubtful' });
});

test('"mark" takes the next expected mark', async () => {
  const bench = await testBench();
  await bench.say('baseline ten', 2);
  await bench.say('start run one', 5);
  await bench.say('11', 10);
  await bench.say('mark', 20);
  expect(bench.run('1').readings.map((reading) => [reading.value, reading.outcome, reading.marked])).toEqual([
    ['11', 'taken', false],
    ['13', 'taken', true],
  ]);
  expect(bench.state().calls.at(-1)?.outcome).toBe('taken');
  expect(bench.run('1').baseline).toBe('10');
});

test('a mark after a jump that is in doubt is in doubt too, beside the one by the sure readings, until a call tells', async () => {
  const bench = await testBench();
  const shown = () =>
    bench.run('1').readings.map(({ value, outcome }) => `${value}${outcome === 'doubtful' ? '?' : ''}`);
  await bench.say('start run one', 5);
  for (const [k, text] of ['12', '14', '16', '28', 'mark'].entries()) await bench.say(text, 10 + 10 * k);
  expect(shown()).toEqual(['12', '14', '16', '28?', '30?']);
  const marked = bench.run('1').readings.at(-1);
  expect(marked).toMatchObject({ marked: true, rivals: [{ meaning: { values: [{ value: '20' }] } }] });
  expect(bench.session.view().exchange).toMatchObject({ tone: 'doubtful', answer: '30 or 20 mL?' });
  // It was 18, as the next calls show.
  await bench.say('22', 60);
  await bench.say('24', 70);
  expect(bench.run('1').readings.map(({ value }) => value)).toEqual(['12', '14', '16', '18', '20', '22', '24']);
});

test('"correction" replaces the value of the latest reading and leaves its time', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('15', 20);
  await bench.say('correction fourteen', 24);
  const run = bench.run('1');
  expect(run.readings.map((reading) => [reading.value, reading.timeMs])).toEqual([
    ['12', 10000],
    ['14', 20000],
  ]);
  expect(run.readings[1]?.history.map((change) => change.what)).toEqual(['judged', 'corrected']);
});

test('"disregard" strikes the latest unstruck reading, twice the one before it too; nothing is deleted', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('14', 20);
  await bench.say('disregard', 24);
  expect(values(bench.run('1').readings)).toEqual(['12']);
  await bench.say('disregard', 28);
  expect(values(bench.run('1').readings)).toEqual([]);
  expect(bench.run('1').readings).toHaveLength(2);
  await bench.say('disregard', 30);
  expect(bench.session.view().exchange?.answer).toBe('There is no reading to strike');
});

test('"disregard" after a sound that was not understood strikes that sound, not the good reading before it', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('', 14);
  await bench.say('disregard', 16);
  expect(values(bench.run('1').readings)).toEqual(['12']);
  expect(bench.state().calls[2]?.outcome).toBe('not-a-reading');
});

test('"correction" after a sound that was not understood gives that sound its value at its own moment', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('', 20);
  await bench.say('correction fourteen', 23);
  expect(bench.run('1').readings.map((reading) => [reading.value, reading.timeMs])).toEqual([
    ['12', 10000],
    ['14', 20000],
  ]);
});

test('a number while no run is open is kept as a call, not taken, and the tool says what to say', async () => {
  const bench = await testBench();
  await bench.say('twelve', 10);
  expect(bench.state().runs).toEqual([]);
  expect(bench.state().calls[0]).toMatchObject({ outcome: 'not-a-reading', reason: 'No run is open: say “start run”' });
  expect(bench.cues.at(-1)?.cue).toBe('trouble');
});

test('a start said or pressed twice leaves no empty run; meant for another flask, the empty run is renamed', async () => {
  const bench = await testBench();
  await bench.session.press({ kind: 'start-run', run: nextRunLabel(bench.state()) }, 5000);
  await bench.session.press({ kind: 'start-run', run: nextRunLabel(bench.state()) }, 6000);
  await bench.say('start run', 7);
  await bench.say('start run one', 8);
  expect(bench.state().runs.map((run) => [run.label, run.startedMs])).toEqual([['1', 8000]]);
  await bench.say('baseline ten', 9);
  await bench.say('start run three', 10);
  expect(bench.state().runs.map((run) => [run.label, run.baseline])).toEqual([['3', '10']]);
  expect(bench.session.view().exchange?.answer).toBe('Run 1 had no readings: it is run 3 now');
  await bench.say('12', 20);
  await bench.session.press({ kind: 'start-run', run: nextRunLabel(bench.state()) }, 30_000);
  expect(bench.state().runs.map((run) => [run.label, run.readings.length])).toEqual([
    ['3', 1],
    ['4', 0],
  ]);
});

test('a run in which sounds were heard is not empty, though none of them gave a reading', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('', 12);
  await bench.say('start run two', 30);
  expect(bench.state().runs.map((run) => run.label)).toEqual(['1', '2']);
});

test('hints use the words of the language', async () => {
  const bench = await testBench({ words: de, shownIn: 'en' });
  bench.prefer({ language: 'de-DE' });
  await bench.say('zwölf', 10);
  expect(bench.session.view().exchange?.answer).toBe('No run is open: say “Start Lauf”');
  await bench.say('start lauf eins', 20);
  await bench.say('warten', 30);
  expect(bench.session.view().exchange?.answer).toContain('“weitermachen”');
  await bench.say('zwölf', 40);
  expect(bench.session.view().exchange?.answer).toBe('Standing by: say “weitermachen” to take readings');
});

test('what a person said or wrote stays as it is, though it begins as words to say do', async () => {
  const bench = await testBench({ words: de, shownIn: 'en' });
  bench.prefer({ language: 'de-DE' });
  const answerTo = async (text: string, atS: number): Promise<string | undefined> => {
    await bench.say(text, atS);
    return bench.session.view().exchange?.answer;
  };
  expect(await answerTo('notiz temperature fällt', 10)).toBe('Noted: “temperature fällt”');
  expect(await answerTo('notiz done', 20)).toBe('Noted: “done”');
  await bench.session.undo();
  expect(bench.session.view().exchange?.answer).toBe('Taken back: the note “done”');
  await bench.session.undo();
  expect(bench.session.view().exchange?.answer).toBe('Taken back: the note “temperature fällt”');
});

test('starting a run ends the open one; the same number again gets a letter', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('start run one', 60);
  expect(bench.state().runs.map((run) => [run.label, run.endedMs])).toEqual([
    ['1', 60000],
    ['1b', null],
  ]);
});

test('a run starts when it was called: what is called before the words are understood belongs to it', async () => {
  const bench = await testBench();
  const call = (id: string, onsetMs: number) => ({
    id,
    onsetMs,
    endMs: onsetMs + 400,
    timing: 'sound' as const,
    uOnsetMs: 15,
    utterance: null,
    heard: [],
    settled: false,
  });
  bench.session.hear({ kind: 'call', call: call('a', 10_000) });
  bench.session.hear({ kind: 'call', call: call('b', 11_200) });
  await bench.say('start run one', 10, { id: 'a' });
  await bench.say('12', 11.2, { id: 'b' });
  expect(bench.run('1').startedMs).toBe(10_000);
  expect(bench.run('1').readings.map((reading) => [reading.value, reading.timeMs])).toEqual([['12', 11200]]);
});

test('standing by, numbers are kept as calls and not taken; times go on', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('stand by', 12);
  await bench.say('14', 15);
  await bench.say('go ahead', 18);
  await bench.say('16', 30);
  expect(bench.run('1').readings.map((reading) => [reading.value, reading.timeMs])).toEqual([
    ['12', 10000],
    ['16', 30000],
  ]);
  expect(bench.state().calls[3]?.outcome).toBe('not-a-reading');
});

test('a command is carried out once, though its words come again', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('14', 20);
  await bench.say('disregard', 24, { id: 'd' });
  await bench.say('this regard', 24, { id: 'd' });
  expect(values(bench.run('1').readings)).toEqual(['12']);
});

test('words that come late give an unresolved call its value', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('', 20, { id: 'late' });
  await bench.say('fourteen', 20, { id: 'late' });
  expect(bench.run('1').readings.map((reading) => [reading.value, reading.timeMs])).toEqual([
    ['12', 10000],
    ['14', 20000],
  ]);
});

test('a call timed by its words moves to its sound when that comes', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10.6, { id: 'w', timing: 'words', uOnsetMs: 250 });
  await bench.say('12', 10, { id: 'w' });
  expect(bench.run('1').readings.map((reading) => [reading.timeMs, reading.uTimeMs, reading.timing])).toEqual([
    [10000, 15, 'sound'],
  ]);
});

test('a number cut short by the end of a recogniser session is in doubt', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('twelve', 10, { tentative: true });
  expect(bench.run('1').readings[0]?.outcome).toBe('doubtful');
});

test('temperature, happenings and notes are timed events of the run', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('temperature twenty two decimal five', 7);
  await bench.say('swirling', 8);
  await bench.say('note the stopper is loose', 9);
  expect(bench.run('1').timed.map((event) => [event.kind, event.timeMs])).toEqual([
    ['temperature', 7000],
    ['happened', 8000],
    ['note', 9000],
  ]);
  expect(bench.run('1').timed[0]).toMatchObject({ value: '22.5' });
});

test('what was poured is recorded as open and handed to whoever checks it', async () => {
  const bench = await testBench();
  await bench.say('poured five of peroxide', 3);
  expect(bench.state().timed[0]).toMatchObject({ kind: 'poured', value: '5', reagent: 'peroxide', settled: 'open' });
  const checked = await testBench({
    decisions: {
      decide: () => ({ events: [], reply: { tone: 'doubtful', text: 'Plan says ten: pour five more?' } }),
      lead: (_earlier, _state, _done, reply) => reply,
    },
  });
  await checked.say('poured five of peroxide', 3);
  expect(checked.session.view().exchange?.answer).toBe('Plan says ten: pour five more?');
});

test('reaching the span is cued once', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  for (let i = 0; i <= 11; i++) await bench.say(String(10 + 2 * i), 10 + 10 * i);
  expect(bench.cues.filter(({ cue }) => cue === 'span-reached')).toHaveLength(1);
});

test('"say again" is spoken even when read-back is off', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  expect(bench.said).toEqual([]);
  await bench.say('14', 20);
  await bench.say('say again', 25);
  expect(bench.said).toHaveLength(1);
  expect(bench.said[0]).toContain('one four');
  expect(bench.said[0]).toContain('0:10');
});

test('keys do what words do, and the latest act can be taken back', async () => {
  const bench = await testBench();
  await bench.session.press({ kind: 'start-run', run: '1' }, 1000);
  await bench.session.press({ kind: 'reading', values: [{ value: '0' }] }, 10_000);
  await bench.session.press({ kind: 'mark' }, 20_000);
  await bench.session.press({ kind: 'correction', value: '2.5' }, 22_000);
  expect(values(bench.run('1').readings)).toEqual(['0', '2.5']);
  expect(bench.run('1').readings[0]).toMatchObject({ timing: 'key', timeMs: 10_000 });
  await bench.session.undo();
  expect(values(bench.run('1').readings)).toEqual(['0', '2']);
});

test('undo never takes back a run with readings, or the run sheet, unasked', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.say('14', 20);
  await bench.session.undo();
  expect(bench.run('1').readings).toHaveLength(2);
  expect(bench.session.view().exchange).toMatchObject({
    tone: 'doubtful',
    answer: 'Take back the start of run 1 (2 readings would be in no run)? Undo once more to do so.',
  });
  await bench.session.undo();
  expect(bench.state().runs).toEqual([]);
  expect(bench.state().calls.map((call) => call.outcome)).toEqual(['command', 'taken', 'taken']);
});

test('an act that came between makes undo ask again', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('12', 10);
  await bench.session.undo();
  await bench.session.press({ kind: 'correction', value: '12.5' }, 20_000);
  await bench.session.undo();
  expect(values(bench.run('1').readings)).toEqual(['12']);
  await bench.session.undo();
  expect(bench.state().runs).toHaveLength(1);
});

test('a change of mind about an earlier reading is an event, cued and shown', async () => {
  const plain = await testBench();
  const bench = await testBench({
    understanding: {
      ...makeUnderstanding(() => en),
      judge: (words) => ({
        outcome: 'taken',
        meaning: { kind: 'reading', values: [{ value: the(words[0]).text }] },
        rivals: [],
        reason: 'heard',
      }),
      propose: () => [],
      rejudge: (run, state) => {
        const first = state.runs.find((known) => known.id === run)?.readings[0];
        if (first?.value !== '50') return [];
        const meaning = { kind: 'reading' as const, values: [{ value: '15' }] };
        return [{ call: first.call, verdict: { outcome: 'doubtful', meaning, rivals: [], reason: 'off the trend' } }];
      },
    },
  });
  await bench.session.press({ kind: 'start-run', run: '1' }, 1000);
  await bench.say('50', 10);
  expect(bench.run('1').readings[0]).toMatchObject({ value: '15', outcome: 'doubtful' });
  expect(bench.run('1').readings[0]?.history.map((change) => change.by)).toEqual(['ear', 'expectation']);
  expect(bench.session.view().exchange?.answer).toContain('50 at 0:00 now taken as 15');
  expect(plain.cues).toEqual([]);
});

test('clatter between runs is kept and shown, and cued once, not each time', async () => {
  const bench = await testBench();
  for (let i = 0; i < 5; i++) await bench.say('', 10 + 5 * i);
  expect(bench.state().calls).toHaveLength(5);
  expect(bench.cues).toHaveLength(1);
});

test.each(['voice', 'keys'])(
  '50, then 48, then 120 by %s: what falls is in doubt, what the cylinder cannot show is no value',
  async (way) => {
    const bench = await testBench();
    await bench.say('start run one', 5);
    for (const [k, value] of ['50', '48', '120'].entries()) {
      const atS = 10 + 10 * k;
      if (way === 'voice') await bench.say(value, atS);
      else await bench.session.press({ kind: 'reading', values: [{ value }] }, 1000 * atS);
    }
    const calls = bench.state().calls.slice(-3);
    expect(calls.map((call) => call.outcome).slice(1)).not.toContain('taken');
    if (way === 'keys') expect(calls[2]?.outcome).toBe('unresolved');
    expect(calls[2]?.onsetMs).toBe(30_000);
    const sure = bench.run('1').readings.filter((reading) => reading.outcome === 'taken');
    expect(sure.every((reading, k) => k === 0 || reading.volumeMl > the(sure[k - 1]).volumeMl)).toBe(true);
    expect(bench.run('1').readings.every((reading) => reading.volumeMl <= 100)).toBe(true);
  },
);

test('a doubt names its cause: what was heard, and what fits', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  for (const [k, text] of ['11', '13', '50'].entries()) await bench.say(text, 10 + 10 * k);
  expect(bench.session.view().exchange).toMatchObject({ tone: 'doubtful', answer: 'Heard 50; 15 fits. Which?' });
  bench.prefer({ readBack: 'when-doubtful' });
  await bench.say('fifty', 33);
  expect(bench.run('1').readings.at(-1)).toMatchObject({ value: '50', settled: true });
});

test('other marks are said once, aloud, when two readings agree on them', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  const moved: string[] = [];
  for (const text of ['41', '43', '44', '45', '46', '47', '48']) {
    await bench.say(text, 10 * (Number(text) - 40));
    const answer = bench.session.view().exchange?.answer ?? '';
    if (answer.includes('Calling every')) moved.push(`${text}: ${answer}`);
  }
  expect(moved).toEqual(['46: 46 mL at 0:50. Calling every 1 mL']);
  expect(bench.said).toContain('calling every one millilitres');
});

test('sound marks before the first volume ask for it once, and every moment is kept', async () => {
  const bench = await testBench();
  bench.prefer({ soundMarks: true });
  await bench.say('start run one', 5);
  const cues = bench.cues.length;
  for (const atS of [10, 14, 18]) await bench.say('', atS);
  expect(bench.said.filter((said) => said.includes('At what volume'))).toHaveLength(1);
  expect(bench.cues.length - cues).toBe(1);
  expect(bench.state().calls.filter(({ outcome }) => outcome === 'unresolved')).toHaveLength(3);
  await bench.say('63', 22);
  await bench.say('', 42);
  expect(bench.run('1').readings.map(({ value }) => value)).toEqual(['63', '65']);
});

test.each([
  ['63', '65', 'disregard', ['63']],
  ['35', '36', 'no, 37', ['35', '37']],
])(
  'two calls 0.4 s apart are two readings with their own moments; “%3$s” means the last of them',
  async (first, second, word, left) => {
    const bench = await testBench();
    await bench.say('start run one', 5);
    await bench.say(first, 10);
    await bench.say(second, 10.9);
    expect(bench.run('1').readings.map(({ value, timeMs }) => [value, timeMs])).toEqual([
      [first, 10_000],
      [second, 10_900],
    ]);
    await bench.say(word, 14);
    const counting = bench.run('1').readings.filter(({ struck }) => !struck);
    expect(counting.map(({ value }) => value)).toEqual(left);
    expect(counting.map(({ timeMs }) => timeMs)).toEqual([10_000, 10_900].slice(0, left.length));
  },
);

test('one breath that an ear wrote as one text: two readings; a correction in it has the moment of the first word', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await bench.say('31', 10);
  await bench.say('33', 20);
  await bench.say('thirty five thirty six', 30, { endMs: 31_600 });
  await bench.say('thirty seven, no, thirty eight', 42, { endMs: 44_000 });
  const { readings } = bench.run('1');
  expect(readings.map(({ value }) => value)).toEqual(['31', '33', '35', '36', '38']);
  expect(readings.map(({ outcome }) => outcome)).toEqual(['taken', 'taken', 'taken', 'taken', 'taken']);
  expect(readings[2]?.timeMs).toBe(30_000);
  expect(readings[3]?.timeMs).toBeGreaterThan(30_300);
  expect(readings[4]?.timeMs).toBe(42_000);
});

test('one ear that changes its mind about a command does not take it back; two ears that differ do', async () => {
  for (const ears of [1, 2]) {
    const bench = await testBench();
    await bench.say('start run one', 5);
    await bench.say('12', 10);
    await bench.say('disregard', 15, { id: 'x' });
    expect(bench.run('1').readings[0]?.struck).toBe(true);
    const heard = (ear: 'browser' | 'own', text: string) => ({
      ear,
      generation: 1,
      phrase: `x-${ear}-${text}`,
      alternatives: [{ text, confidence: ear === 'own' ? 0.97 : null }],
      final: true,
      tentative: false,
      firstWordsMs: 15_600,
      atMs: 16_900,
      utterance: 'x',
    });
    const all = ears === 1 ? [heard('browser', '14')] : [heard('browser', 'disregard'), heard('own', '14')];
    bench.session.hear({
      kind: 'call',
      call: {
        id: 'x',
        onsetMs: 15_000,
        endMs: 15_500,
        timing: 'sound',
        uOnsetMs: 15,
        utterance: null,
        heard: all,
        settled: true,
      },
    });
    await bench.session.idle();
    expect(bench.run('1').readings[0]?.struck, `${ears}`).toBe(ears === 1);
  }
});
