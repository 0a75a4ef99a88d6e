import { describe, expect, test } from 'vitest';
import type { TroubleKind } from '../../src/hearing/ear.ts';
import { type BenchOptions, type EarBench, makeEarBench } from './ear-bench.ts';

/**
 * The ways in which a recogniser has been seen, or must be expected, to behave: one script each (times in ms from
 * `start()`; the language of scripts is in scripted-recogniser.ts). What is asserted is what reaches the next room:
 * phrases, whether they are final or tentative, what the person hears, how often the engine is started.
 */
interface Sequence {
  readonly name: string;
  readonly sessions: readonly string[];
  readonly options?: BenchOptions;
  /** What is done, besides starting at 0: time (ms) and deed. */
  readonly deeds?: readonly (readonly [number, (bench: EarBench) => void | Promise<void>])[];
  readonly untilMs: number;
  readonly finals?: readonly string[];
  readonly tentative?: readonly string[];
  readonly starts?: number;
  readonly mostStarts?: number;
  readonly phase?: string;
  readonly told?: readonly TroubleKind[];
  readonly check?: (bench: EarBench) => void;
}

async function play(sequence: Sequence): Promise<EarBench> {
  const bench = makeEarBench(sequence.sessions, sequence.options);
  bench.supervisor.start();
  let now = 0;
  for (const [at, deed] of sequence.deeds ?? []) {
    await bench.clock.advance(at - now);
    now = at;
    // Not awaited: what it waits for comes with time.
    void deed(bench);
  }
  await bench.clock.advance(sequence.untilMs - now);
  return bench;
}

const hidden = (value: boolean) => (bench: EarBench) => bench.setHidden(value);

const sequences: readonly Sequence[] = [
  {
    name: 'S01 one phrase a session on a desktop: one reading, and a restart',
    sessions: ['180 A\n900 S\n1100 i"2"\n1300 i"25"\n1500 i"25.5"\n2300 s\n2310 a\n2650 f"25.5"@0.93\n2660 E'],
    untilMs: 4000,
    finals: ['25.5'],
    starts: 2,
    phase: 'listening',
  },
  {
    name: 'S02 several indices in one event: two readings, spaces trimmed',
    sessions: [
      '150 A\n800 S\n1000 [i"twenty"] ri0\n1250 [i"25", i" point"] ri0\n1900 [f"25.5"@.9, i" 26"] ri0\n2900 [f"25.5"@.9, f" 26.1"@.88] ri1\n18000 s a E',
    ],
    untilMs: 19000,
    finals: ['25.5', '26.1'],
    starts: 2,
  },
  {
    name: 'S03 an end after silence, without error: restarted, nobody hears of it',
    sessions: ['150 A\n800 S\n2000 f"7"@.9\n17000 s a E'],
    untilMs: 18000,
    finals: ['7'],
    starts: 2,
    phase: 'listening',
    told: [],
  },
  {
    name: 'S04 an end without result: restarted, nothing is saved',
    sessions: ['150 A\n500 S\n2500 s a E'],
    untilMs: 5000,
    finals: [],
    starts: 2,
    phase: 'listening',
  },
  {
    name: 'S05 nothing said, five times: restarted quietly, then a hint, more slowly where each start beeps',
    sessions: Array.from({ length: 5 }, () => '0 start\n200 A\n8200 a\n8201 X:no-speech\n8202 E'),
    options: { oneShot: true },
    untilMs: 60000,
    finals: [],
    told: ['cannot-hear-you'],
    mostStarts: 8,
  },
  {
    name: 'S06 words in the gap of a restart: it does not claim to listen before the engine does',
    sessions: ['150 A\n4990 s a\n5000 E', '750 A'],
    untilMs: 7000,
    finals: [],
    starts: 2,
    check: ({ phases }) => {
      const listening = phases.filter(({ phase }) => phase === 'listening').map(({ atMs }) => atMs);
      expect(listening).toHaveLength(2);
      expect(listening[1]).toBeGreaterThanOrEqual(5150 + 750 - 10);
      const gap = phases.filter(({ atMs }) => atMs >= 5000 && atMs < 5890).map(({ phase }) => phase);
      expect(gap).not.toContain('listening');
    },
  },
  {
    name: 'S07 interim words and an end: tentative',
    sessions: ['150 A\n1000 i"25"\n1400 i"25."\n2000 E'],
    untilMs: 3000,
    finals: [],
    tentative: ['25.'],
  },
  {
    name: 'S08 a list that shrinks: the ghost is withdrawn, one reading',
    sessions: ['150 A\n1000 [f"5"@.9, i" 6 7", i" to"] ri0\n1300 [f"5"@.9] ri1\n16000 a E'],
    untilMs: 17000,
    finals: ['5'],
    tentative: [],
    check: (bench) => expect(bench.phrases().map(({ how }) => how)).toEqual(['final', 'withdrawn']),
  },
  {
    name: 'S09 interim words revised, and a final that differs: one phrase with all its alternatives',
    sessions: ['150 A\n1000 i"15"\n1200 i"50"\n1400 i"15"\n1900 f"50"@.91|"15"@0|"fifty"@0\n16000 a E'],
    untilMs: 3000,
    finals: ['50'],
    tentative: [],
    check: ({ heard }) => expect(heard.at(-1)?.alternatives.map(({ text }) => text)).toEqual(['50', '15', 'fifty']),
  },
  {
    name: 'S10 guesses marked as final, each at a new index, then all of it again: one reading',
    sessions: [
      '150 A\n1000 [f"25"@0] ri0\n1300 [f"25"@0, f"25 point"@0] ri1\n1600 [f"25"@0, f"25 point"@0, f"25.5"@0] ri2\n2000 [f"25"@0, f"25 point"@0, f"25.5"@0, f"25.5"@.92] ri3\n2100 s a E',
    ],
    untilMs: 4000,
    finals: ['25.5'],
    tentative: [],
    check: ({ engine }) => expect(engine.settings.map(({ continuous }) => continuous)).toEqual([true, false]),
  },
  {
    name: 'S11 the same with the index of change stuck at 0',
    sessions: [
      '150 A\n1000 [f"25"@0] ri0\n1300 [f"25"@0, f"25 point"@0] ri0\n1600 [f"25"@0, f"25 point"@0, f"25.5"@0] ri0\n2000 [f"25"@0, f"25 point"@0, f"25.5"@0, f"25.5"@.92] ri0\n2100 s a E',
    ],
    untilMs: 4000,
    finals: ['25.5'],
    tentative: [],
  },
  {
    name: 'S12 guesses that grow to three numbers: the three once',
    sessions: ['150 A\n1000 f"25"@0\n1500 f"25 27"@0\n2000 f"25 27 30"@0\n2600 f"25 27 30"@.9\n2700 s a E'],
    untilMs: 4000,
    finals: ['25 27 30'],
  },
  {
    name: 'S13 an extra result that joins the earlier ones: nothing twice',
    sessions: [
      '150 A\n1000 [f"25"@.9] ri0\n1100 [f"25"@.9, f"25."@.9] ri1\n1200 [f"25"@.9, f"25."@.9, f"25 "@.9] ri2\n1500 [f"25"@.9, f"25."@.9, f"25 "@.9, f"25 26"@.9] ri3\n1550 E',
    ],
    untilMs: 3000,
    finals: ['25', '26'],
  },
  {
    name: 'S13b the same final again at a new index at once: one reading',
    sessions: ['150 A\n1500 [f"12"@.9] ri0\n1620 [f"12"@.9, f"12"@.9] ri1\n1650 E'],
    untilMs: 3000,
    finals: ['12'],
  },
  {
    name: 'S13c the same number in a new session: two readings',
    sessions: ['150 A\n1500 f"12"@.9\n1650 E', '150 A\n1700 f"12"@.9\n1750 E'],
    untilMs: 6000,
    finals: ['12', '12'],
  },
  {
    name: 'S14 final only when asked to stop: saved once',
    sessions: ['150 A\n900 i"25"\n1000 i"25"\nstop:\n50 s\n200 f"25"@.87\n220 a\n230 E'],
    untilMs: 6000,
    finals: ['25'],
    tentative: [],
    check: ({ engine }) => expect(engine.stops).toBe(1),
  },
  {
    name: 'S15 several finals, late: each once',
    sessions: [
      '150 A\n900 i"25"\n1900 i"25 26"\n4000 f"25 26"@.8\n4600 [f"25 26"@.8, i" 27"] ri1\n5400 [f"25 26"@.8, f" 27"@.8] ri1\n20000 a E',
    ],
    untilMs: 8000,
    finals: ['25 26', '27'],
    tentative: [],
  },
  {
    name: 'S16 interim words that begin afresh without a final: the first are kept as tentative, the others apart',
    sessions: ['150 A\n900 i"25"\n1100 i"25.5"\n2100 i"3"\n2300 i"31"\n2900 f"31"@.8\n16000 a E'],
    untilMs: 4000,
    finals: ['31'],
    tentative: ['25.5'],
  },
  {
    name: 'S17 a session of one phrase that does not end, and repeats itself: made to end, one reading',
    sessions: [
      '150 A\n1500 [f"8"@.9] ri0\n2100 [f"8"@.9, f"8"@.9] ri1\n2400 [f"8"@.9, f"8"@.9, f"8"@.9] ri2\n9000 [f"8"@.9, f"8"@.9, f"8"@.9, f"8"@.9] ri3\nstop: never\nabort: never',
    ],
    options: { oneShot: true },
    untilMs: 9500,
    finals: ['8'],
    starts: 2,
    phase: 'listening',
    check: ({ engine }) => {
      expect(engine.stops).toBe(1);
      expect(engine.objects).toBe(2);
    },
  },
  {
    name: 'S18 another request on the page: no loop',
    sessions: ['0 start\n120 A\n200 X:aborted/Another\n210 a\n215 E'],
    untilMs: 5000,
    starts: 2,
    phase: 'listening',
    told: [],
  },
  {
    name: 'S19 two pages that take the ear from each other: stopped with a sentence, no ping-pong',
    sessions: ['100 A\n250 X:aborted\n251 E', '100 A\n250 X:aborted\n251 E', '100 A\n250 X:aborted\n251 E'],
    untilMs: 60000,
    starts: 3,
    phase: 'stopped',
    told: ['recogniser-busy'],
  },
  {
    name: 'S19 (second page) another page has the place: not even started',
    sessions: [],
    options: { otherPage: true },
    untilMs: 10000,
    starts: 0,
    phase: 'stopped',
    told: ['recogniser-busy'],
  },
  {
    name: 'S20 the page is hidden: its words are kept as tentative, it says so, and goes on when shown',
    sessions: ['150 A\n800 i"25"\n910 X:aborted\n915 a\n920 E'],
    deeds: [
      [900, hidden(true)],
      [5000, hidden(false)],
    ],
    untilMs: 7000,
    tentative: ['25'],
    starts: 2,
    phase: 'listening',
    told: ['page-hidden'],
    check: ({ phases }) => {
      const before = phases.filter(({ atMs }) => atMs > 920 && atMs < 5000).map(({ phase }) => phase);
      expect(before).not.toContain('listening');
    },
  },
  {
    name: 'S21 start while running or stopping: one start, once it has ended',
    sessions: ['100 A\nstop:\n300 E'],
    deeds: [
      [5, ({ supervisor }) => supervisor.start()],
      [2000, ({ supervisor }) => supervisor.stop()],
      [2010, ({ supervisor }) => supervisor.start()],
    ],
    untilMs: 4000,
    starts: 2,
    phase: 'listening',
    check: ({ engine }) => expect(engine.refused).toBe(0),
  },
  {
    name: 'S22 blocked at once: stopped',
    sessions: ['30 X:not-allowed\n31 E'],
    untilMs: 30000,
    starts: 1,
    phase: 'stopped',
    told: ['microphone-refused'],
  },
  {
    name: 'S22 (no end) blocked at once and no end: stopped',
    sessions: ['30 X:not-allowed'],
    untilMs: 30000,
    starts: 1,
    phase: 'stopped',
    told: ['microphone-refused'],
  },
  {
    name: 'S23 asked, and refused after a while: stopped; no watchdog while the question stands',
    sessions: ['6400 X:not-allowed\n6401 E'],
    deeds: [
      [0, (bench) => bench.setPermission('prompt')],
      [6300, (bench) => bench.setPermission('denied')],
    ],
    untilMs: 30000,
    starts: 1,
    phase: 'stopped',
    told: ['microphone-refused'],
    check: ({ engine }) => expect(engine.aborts).toBe(0),
  },
  {
    name: 'S23 (no end) refused after a while, and no end',
    sessions: ['6400 X:not-allowed'],
    deeds: [
      [0, (bench) => bench.setPermission('prompt')],
      [6300, (bench) => bench.setPermission('denied')],
    ],
    untilMs: 30000,
    starts: 1,
    phase: 'stopped',
    told: ['microphone-refused'],
  },
  {
    name: 'S24 still busy with the session before: tried once more, and well',
    sessions: ['100 A\n900 f"5"@.9\n1000 E', '90 X:not-allowed\n91 E', '100 A\n700 f"7"@.9\n800 E'],
    options: { oneShot: true },
    untilMs: 5000,
    finals: ['5', '7'],
    told: [],
  },
  {
    name: 'S25 dictation is switched off in the system: stopped, no end needed',
    sessions: ['40 X:service-not-allowed/Siri'],
    untilMs: 30000,
    starts: 1,
    phase: 'stopped',
    told: ['recogniser-refused'],
  },
  {
    name: 'S26 no network, for ever: slower and slower, told, at last stopped; never "listening" in between',
    sessions: [],
    options: { after: '200 A\n300 a\n700 X:network\n701 E' },
    untilMs: 300000,
    phase: 'stopped',
    mostStarts: 6,
    check: ({ told, engine }) => {
      expect(told.at(-1)).toEqual({ kind: 'recogniser-network', stopped: true });
      const gaps = engine.starts.slice(1).map((at, index) => at - (engine.starts[index] ?? 0));
      expect(gaps.at(-1)).toBeGreaterThan(30000);
    },
  },
  {
    name: 'S27 the network goes in mid-speech: the words are tentative, the next session is well',
    sessions: ['150 A\n900 i"25"\n1200 i"25.5"\n1290 a\n1300 X:network\n1301 E', '150 A\n2000 f"27"@.9'],
    untilMs: 5000,
    finals: ['27'],
    tentative: ['25.5'],
    starts: 2,
  },
  {
    name: 'S28 the microphone is pulled: words kept, told, taken up when a device comes',
    sessions: ['150 A\n800 i"25"\n1000 X:audio-capture\n1001 a\n1002 E'],
    deeds: [[20000, ({ supervisor }) => supervisor.devicesChanged()]],
    untilMs: 22000,
    tentative: ['25'],
    starts: 2,
    phase: 'listening',
    told: ['microphone-lost'],
  },
  {
    name: 'S28 (muted) the source is muted by another page: the same, and no end',
    sessions: ['150 A\n800 i"25"\n1000 X:audio-capture/Source is muted'],
    untilMs: 22000,
    tentative: ['25'],
    starts: 1,
    phase: 'waiting',
    told: ['microphone-lost'],
  },
  {
    name: 'S29 the language is not known, and no end: the base language is tried, no hang',
    sessions: ['60 X:language-not-supported', '150 A\n900 f"25"@.9'],
    options: { language: 'en-IN' },
    untilMs: 5000,
    finals: ['25'],
    starts: 2,
    check: ({ engine }) => expect(engine.settings.map(({ lang }) => lang)).toEqual(['en-IN', 'en-US']),
  },
  {
    name: 'S29 (for good) no language is left: stopped; sound that was to stay on the device never leaves it instead',
    sessions: ['60 X:language-not-supported', '60 X:language-not-supported'],
    options: { language: 'en-GB', local: true },
    untilMs: 10000,
    starts: 2,
    phase: 'stopped',
    told: ['recogniser-language'],
    check: ({ engine }) => expect(engine.settings.every(({ processLocally }) => processLocally === true)).toBe(true),
  },
  {
    name: 'S30 phrases are refused before anything began: goes on without them',
    sessions: ['1 X:phrases-not-supported\n180 A\n900 S\n1100 i"25"\n2650 f"25.5"@0.93\n2660 E'],
    options: { local: true, phrases: ['disregard'] },
    untilMs: 3500,
    finals: ['25.5'],
    told: [],
  },
  {
    name: 'S30 (and an end) phrases are refused and the session ends: started again without them',
    sessions: ['1 X:phrases-not-supported\n5 E', '180 A\n1100 f"25"@0.93\n2660 E'],
    options: { local: true, phrases: ['disregard'] },
    untilMs: 3500,
    finals: ['25'],
    told: [],
  },
  {
    name: 'S31a started and then nothing; an abort ends it: given up after three',
    sessions: [],
    options: { after: '5 start' },
    untilMs: 60000,
    starts: 3,
    phase: 'stopped',
    told: ['recogniser-silent'],
  },
  {
    name: 'S31b started and then nothing, not even after an abort: a new object, given up after three',
    sessions: [],
    options: { after: '5 start\nabort: never' },
    untilMs: 60000,
    starts: 3,
    phase: 'stopped',
    told: ['recogniser-silent'],
    check: ({ engine }) => expect(engine.objects).toBe(3),
  },
  {
    name: 'S31 (well after one) one hang, then healthy',
    sessions: ['5 start\nabort: never', '150 A\n900 f"25"@.9'],
    untilMs: 15000,
    finals: ['25'],
    starts: 2,
    phase: 'listening',
    told: [],
  },
  {
    name: 'S31c heard before, and now starts from a timer bring nothing: a tap is asked for, and then it goes on',
    sessions: ['150 A\n900 f"25"@.9\n1000 a E', '5 start', '5 start\nabort: never', '150 A\n900 f"27"@.9'],
    deeds: [[40000, ({ supervisor }) => supervisor.start()]],
    untilMs: 45000,
    finals: ['25', '27'],
    starts: 4,
    phase: 'listening',
    told: ['needs-tap'],
  },
  {
    name: 'S32 sound but no words, three times: another owner of the microphone is suspected, and told',
    sessions: Array.from({ length: 3 }, () => '200 A\n700 S\n9000 s a E'),
    deeds: [
      [3000, ({ supervisor }) => supervisor.soundEnded()],
      [13000, ({ supervisor }) => supervisor.soundEnded()],
      [23000, ({ supervisor }) => supervisor.soundEnded()],
    ],
    untilMs: 30000,
    told: ['recogniser-silent'],
    check: ({ others }) => expect(others).toEqual(['contention']),
  },
  {
    name: 'S33 speech start in silence: no sign of having heard',
    sessions: ['150 A\n250 S\n15000 s\n15100 a E'],
    untilMs: 15500,
    check: ({ heard, others }) => {
      expect(heard).toEqual([]);
      expect(others).toEqual([]);
    },
  },
  {
    name: 'S34 no match, with a list that is null: said, no exception',
    sessions: ['150 A\n900 S\n1800 s a\n2500 N\n2510 E'],
    untilMs: 4000,
    finals: [],
    check: ({ others }) => expect(others).toEqual(['not-understood']),
  },
  {
    name: 'S35 a zoo of alternatives: all handed on, best first, without doubles',
    sessions: [
      '150 A\n900 f"50"@.93|"15"@0|"fifty"@0|"5 0"@0|"50"@0|"5050"@0\n2000 [f"50"@.93, f"27"@.9] ri1\n16000 a E',
    ],
    untilMs: 3000,
    finals: ['50', '27'],
    check: ({ heard }) => {
      expect(heard[0]?.alternatives).toEqual([
        { text: '50', confidence: 0.93 },
        { text: '15', confidence: null },
        { text: 'fifty', confidence: null },
        { text: '5 0', confidence: null },
        { text: '5050', confidence: null },
      ]);
      expect(heard[1]?.alternatives).toHaveLength(1);
    },
  },
  {
    name: 'S36 masked, empty and odd texts: handed on as they are, the empty ones not at all',
    sessions: ['150 A\n900 f"s** point 5"@.7\n2900 f""@0\n3900 f" "@.5\n5900 f"Ding!"@.8\n16000 a E'],
    untilMs: 8000,
    finals: ['s** point 5', 'Ding!'],
    check: ({ heard }) => expect(heard).toHaveLength(2),
  },
  {
    name: 'S37 an engine that lets a second start pass: it is never given one',
    sessions: ['500 A'],
    options: { local: true },
    deeds: [
      [10, ({ supervisor }) => supervisor.start()],
      [20, ({ supervisor }) => supervisor.start()],
    ],
    untilMs: 2000,
    starts: 1,
    phase: 'listening',
  },
  {
    name: 'S38 two readings run together: one phrase, as it came',
    sessions: ['150 A\n900 f"2527"@.92\n16000 a E'],
    untilMs: 3000,
    finals: ['2527'],
  },
  {
    name: 'S39 a number written as a time of day: one phrase, as it came',
    sessions: ['150 A\n900 i"1"\n1100 i"130"\n1600 f"1:30"@.9\n16000 a E'],
    untilMs: 3000,
    finals: ['1:30'],
  },
  {
    name: 'S40 a decimal split over two sessions: two phrases in order, with their times',
    sessions: ['150 A\n1500 f"25"@.9\n1700 E', '250 A\n1350 f"point 5"@.9'],
    untilMs: 5000,
    finals: ['25', 'point 5'],
    check: ({ heard }) => expect((heard[1]?.firstWordsMs ?? 0) - (heard[0]?.firstWordsMs ?? 0)).toBeLessThan(2000),
  },
  {
    name: 'S41 the voice of the tool comes back: passed on, and told from a call where the language is known',
    sessions: ['150 A', '150 A\n200 i"recorded"\n700 f"recorded 25"@.9'],
    deeds: [
      [2000, ({ supervisor }) => supervisor.pause()],
      [3500, ({ supervisor }) => supervisor.resume()],
    ],
    untilMs: 8000,
    finals: ['recorded 25'],
    starts: 2,
    check: ({ heard }) => expect(heard.every(({ firstWordsMs }) => firstWordsMs > 3500)).toBe(true),
  },
  {
    name: 'S41b the same number, called by the person: kept',
    sessions: ['150 A', '150 A\n2100 f"25"@.9'],
    deeds: [
      [2000, ({ supervisor }) => supervisor.pause()],
      [3500, ({ supervisor }) => supervisor.resume()],
    ],
    untilMs: 8000,
    finals: ['25'],
  },
  {
    name: 'S42 the last final after the person stopped: taken',
    sessions: ['150 A\n1800 i"30"\nstop:\n350 f"13"@.9\n400 E'],
    deeds: [[2000, ({ supervisor }) => supervisor.stop()]],
    untilMs: 6000,
    finals: ['13'],
    tentative: [],
    starts: 1,
    phase: 'off',
  },
  {
    name: 'S43 a final after an abort: ignored; what was there before is tentative',
    sessions: ['150 A\n1800 i"30"\nabort:\n50 f"30"@.9\n60 X:aborted\n61 E'],
    deeds: [[2000, ({ supervisor }) => supervisor.pause()]],
    untilMs: 3000,
    finals: [],
    tentative: ['30'],
    phase: 'waiting',
  },
  {
    name: 'S44 a command in the stream: one phrase with all its words',
    sessions: ['150 A\n900 i"25 un"\n1500 f"25 undo"@.9\n16000 a E'],
    untilMs: 3000,
    finals: ['25 undo'],
  },
  {
    name: 'S46 no use is made of the time in events (there is none): page time orders all',
    sessions: ['150 A\n900 i"25"\n1500 f"25"@.9\n16000 a E'],
    untilMs: 3000,
    finals: ['25'],
    check: ({ heard, startMs }) => {
      expect(heard.map(({ atMs }) => atMs - startMs)).toEqual([900, 1500]);
      expect(heard.map(({ firstWordsMs }) => firstWordsMs - startMs)).toEqual([900, 900]);
    },
  },
  {
    name: 'S47 the screen lock is released: hearing is not touched by it',
    sessions: ['150 A\n900 f"25"@.9\n5000 f"27"@.9\n16000 a E'],
    untilMs: 7000,
    finals: ['25', '27'],
    starts: 1,
    phase: 'listening',
  },
  {
    name: 'S48 a result before any speech start: taken',
    sessions: ['150 A\n260 i"4"\n900 s a\n1200 f"45"@.9\n1210 E'],
    untilMs: 2500,
    finals: ['45'],
  },
];

describe('the scripted sequences', () => {
  test.each(sequences)('$name', async (sequence) => {
    const bench = await play(sequence);
    if (sequence.finals) expect(bench.finals()).toEqual(sequence.finals);
    if (sequence.tentative) expect(bench.tentative()).toEqual(sequence.tentative);
    if (sequence.starts !== undefined) expect(bench.engine.starts).toHaveLength(sequence.starts);
    if (sequence.mostStarts !== undefined) expect(bench.engine.starts.length).toBeLessThanOrEqual(sequence.mostStarts);
    if (sequence.phase) expect(bench.supervisor.phase()).toBe(sequence.phase);
    if (sequence.told) expect(bench.told.map(({ kind }) => kind)).toEqual(sequence.told);
    sequence.check?.(bench);
    expect(bench.lies).toEqual([]);
    if (bench.supervisor.phase() === 'listening') expect(bench.engine.hearing()).toBe(true);
    bench.supervisor.dispose();
  });

  test('S45 a long day: sixty sessions and a list of two hundred results lose and double nothing', async () => {
    const sessions = Array.from({ length: 60 }, (_, index) => `100 A\n900 f"${index}"@.9\n1500 a E`);
    const long = `100 A\n${Array.from({ length: 200 }, (_, index) => `${1000 + index * 1000} [${Array.from({ length: index + 1 }, (_, at) => `f"word ${at}"@.9`).join(', ')}] ri${index}`).join('\n')}\n202000 a E`;
    const bench = makeEarBench([...sessions, long]);
    bench.supervisor.start();
    await bench.clock.advance(60 * 1700 + 205_000);
    expect(bench.finals()).toEqual([
      ...Array.from({ length: 60 }, (_, index) => `${index}`),
      ...Array.from({ length: 200 }, (_, index) => `word ${index}`),
    ]);
    // Nothing piles up: one timer to watch the session, at most a few more.
    expect(bench.clock.pending()).toBeLessThan(6);
    bench.supervisor.dispose();
    expect(bench.supervisor.phase()).toBe('off');
  });
});
