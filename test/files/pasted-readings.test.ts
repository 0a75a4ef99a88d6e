import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { type ColumnChoice, enteredEvents, pastedReadings } from '../../src/files/pasted-readings.ts';
import { experimentJson } from '../../src/files/rates-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { distinctLabel } from '../../src/log/runs.ts';
import { created, stamped } from '../log/events.ts';

const read = (text: string, choice: ColumnChoice = {}) => {
  const found = pastedReadings(text, 'en', choice);
  if (!found.ok) throw new Error(found.sentence);
  return found;
};
const shown = (text: string, choice?: ColumnChoice) =>
  read(text, choice).runs.map(
    ({ label, readings }) => `${label}: ${readings.map(({ time, value }) => `${time} ${value}`).join(', ')}`,
  );

test('one run is read in any of the ways in which columns are written', () => {
  const expected = ['1: 0 14, 65.5 16'];
  expect(shown('0\t14\n65.5\t16')).toEqual(expected);
  expect(shown('Time (s)\tVolume (mL)\n0\t14\n65.5\t16')).toEqual(expected);
  expect(shown('time_s,volume_mL\r\n0,14\r\n65.5,16\r\n')).toEqual(expected);
  expect(shown('Zeit/s;Volumen/mL\n0;14\n65,5;16')).toEqual(expected);
  expect(shown('0:00\t14\n1:05.5\t16')).toEqual(expected);
  expect(shown('0:00 14\n1:05.5 16')).toEqual(expected);
  expect(shown('14;0:00\n16;1:05,5')).toEqual(expected);
  expect(shown('V / mL\tt / min\n14\t0\n16\t1.0916666667')).toEqual(['1: 0 14, 65.500000002 16']);
});

test('several runs stand below each other, in a column, or side by side', () => {
  const expected = ['1: 0 14, 20 16', '2: 0 14, 31 16'];
  expect(shown('run,time_s,volume_mL\n1,0,14\n1,20,16\n2,0,14\n2,31,16')).toEqual(expected);
  expect(shown('time_s,volume_mL\n0,14\n20,16\n\n0,14\n31,16')).toEqual(expected);
  expect(shown('mL\tRun 1 (s)\tRun 2 (s)\n14\t0\t0\n16\t20\t31')).toEqual(expected);
  expect(shown('t1 (s)\tV1 (mL)\tt2 (s)\tV2 (mL)\n0\t14\t0\t14\n20\t16\t31\t16')).toEqual(expected);
  expect(shown('14\t0\t0\n16\t20\t31', { first: 'volume' })).toEqual(expected);
});

test('what the columns leave open is asked, and the answer is used', () => {
  expect(read('0\t14\n1.5\t16').asks).toEqual(['first', 'time-unit', 'volume-unit']);
  expect(shown('0\t14\n1.5\t16', { timeUnit: 'min' })).toEqual(['1: 0 14, 90 16']);
  expect(read('Time (s),Volume (mL)\n0,14\n20,16').asks).toEqual([]);
});

test('what cannot be read says the line and why', () => {
  const sentence = (text: string) => {
    const found = pastedReadings(text, 'en');
    return found.ok ? null : found.sentence;
  };
  expect(sentence('')).toBe('There is nothing to read here.');
  expect(sentence('just words\nand more')).toMatch(/No columns/);
  expect(sentence('time_s,volume_mL\n0,14\nsoon,16')).toBe(
    'Line 3: “soon” is neither a number nor a time such as 1:05.',
  );
  expect(sentence('5\n6\n7')).toMatch(/only one column/);
  expect(pastedReadings('', 'de')).toEqual({ ok: false, sentence: 'Hier steht nichts.' });
});

test('any text is read or refused with a sentence, never thrown', () => {
  for (const text of [
    '\0',
    '"',
    ',,,',
    '1e999\t2\n3\t4',
    '=1+1\t2',
    '1,2,3\n4,5,6\n',
    'run\ttime\n1\t2',
    '-5\t2\n-1\t3',
  ])
    expect(typeof pastedReadings(text, 'en').ok).toBe('boolean');
});

/** Three runs as a spreadsheet has them (invented figures). */
const rows = [1, 2, 3].flatMap((run) =>
  Array.from({ length: 11 }, (_, i) => [run, (i * (17 + 4.3 * run) + 0.37 * ((i * 7) % 5)).toFixed(1), 14 + 2 * i]),
);

test.each([
  ['without uncertainties', ['run', 'time_s', 'volume_mL'], rows],
  [
    'with uncertainties',
    ['run', 'time_s', 'volume_mL', 'u_time_s', 'u_volume_mL'],
    rows.map((row) => [...row, 0.2, 0.1]),
  ],
])(
  'a pasted spreadsheet of three runs, %s, gives the figures of `npm run rates` digit for digit',
  (_, header, table) => {
    const csv = [header, ...table].map((row) => row.join(',')).join('\n');
    const direct = ratesOfFile(csv);
    if (!direct.ok) throw new Error(direct.sentence);
    for (const pasted of [csv, csv.replaceAll(',', '\t'), csv.replaceAll(',', ';').replaceAll('.', ',')]) {
      const found = read(pasted);
      const how = { timing: 'file' as const, stated: found.stated, nowMs: 1_234_567.8 };
      let next = 0;
      const events = stamped(created, ...enteredEvents(found.runs, how, distinctLabel, [], () => `run-${next++}`));
      const state = reduce(events);
      const json = JSON.parse(JSON.stringify(experimentJson(analysisOf(state).analysis)));
      const expected = JSON.parse(JSON.stringify(direct.json));
      expect(ratesIn(json)).toEqual(ratesIn(expected));
      expect(ratesIn(json).length).toBe(3);
    }
  },
);

/** Each run's figures; a notebook also numbers its readings, a table its lines. */
function ratesIn(json: { runs: { label: string; rate: object; recommended: object }[] }): unknown[] {
  return json.runs.map((run) =>
    JSON.parse(
      JSON.stringify(run, (key, value) =>
        /^(reading|readings|id|ids|row|rows|line|flags)$/.test(key) ? undefined : value,
      ),
    ),
  );
}
