/** Tables as a person makes them by mistake: each is taken as it is meant, or the slip is named. */
import { expect, test } from 'vitest';
import { ratesTable } from '../../src/files/rates-csv.ts';

const columns = {
  run: '1',
  time_s: (i: number) => String(20 * i),
  volume_mL: (i: number) => String(10 + 2 * i),
  baseline_mL: '8',
  conc_A_M: '0.15',
  temperature_Cel: '25',
  pressure_hPa: '1013',
  solution_mL: '50',
  limiting: 'A',
  gas_per_limiting: '0.5',
};
type Cell = string | ((i: number) => string);

function table(changed: Readonly<Record<string, Cell>>, separator = ','): string {
  const all: Readonly<Record<string, Cell>> = { ...columns, ...changed };
  const cell = (name: string, i: number): string => {
    const of = all[name] ?? '';
    return typeof of === 'string' ? of : of(i);
  };
  const names = Object.keys(all);
  const rows = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => names.map((name) => cell(name, i)).join(separator));
  return [names.join(separator), ...rows].join('\n');
}

const said = (text: string): string => {
  const read = ratesTable(text);
  if (!read.ok) return `refused: ${read.sentence}`;
  return read.kind === 'readings' ? read.notes.map(({ en }) => en).join(' ') : 'rates';
};

test('a table without a slip is taken without a word', () => {
  expect(said(table({}))).toBe('');
});

test.each<[Readonly<Record<string, Cell>>, RegExp]>([
  [
    { volume_mL: (i) => String((10 + 2 * i) / 1000), baseline_mL: '0.008' },
    /^The greatest volume: 0\.024 mL is taken as it stands; if it is 0\.024 L, write 24 mL\./,
  ],
  [{ volume_mL: (i) => String(1000 * (10 + 2 * i)) }, /^refused: .*looks like 24000 µL\. That is 24 mL/],
  [{ baseline_mL: '60' }, /^refused: Run 1: all its readings lie below its baseline of 60 mL/],
  [
    { time_s: (i) => `0:${String(10 + i)}.5` },
    /^refused: Line 2: "0:10\.5" looks like minutes and seconds; time_s takes seconds/,
  ],
  [{ time_s: (i) => `1:00:${String(10 + i)}` }, /^refused: .*looks like minutes and seconds/],
  [
    { gas_per_limiting: '50' },
    /^gas_per_limiting: 50 mol\/mol is taken as it stands; if it is 50 %, write 0\.5 mol\/mol/,
  ],
  [{ u_temperature_Cel: '25' }, /^refused: .*u_temperature_Cel: 25 °C cannot be right/],
  [{ u_pressure_hPa: '500' }, /^refused: .*looks like 500 Pa\. That is 5 hPa/],
  [{ time_s: (i) => String(i / 3) }, /^The longest run is over after 2\.33 s\. If the times are minutes/],
  [{ time_s: (i) => String(20_000 * i) }, /^A run takes 38\.9 hours\. If the times are milliseconds/],
  [{ pressure_hPa: '760' }, /^pressure_hPa: 760 hPa is taken as it stands; if it is 760 mmHg, write 1013\.25 hPa/],
  [{ temperature_Cel: '77' }, /^temperature_Cel: 77 °C is taken as it stands; if it is 77 °F, write 25 °C/],
  [{ u_time_s: '500', u_volume_mL: '0.1' }, /^Run 1: the uncertainty of its times is longer than the whole run/],
  [
    { u_time_s: '0.1', u_volume_mL: '100' },
    /^Run 1: the uncertainty of its volumes is larger than all that was displaced/,
  ],
  [{ ceiling_mL: '0.09' }, /^Run 1: more was displaced than its ceiling_mL of 0\.09/],
  [
    { temperature_C: '25', u_tmie_s: '0.1', as_taken: '10' },
    /^Not read, because no column has this name: temperature_C, u_tmie_s\.$/,
  ],
])('%o', (changed, sentence) => {
  expect(said(table(changed))).toMatch(sentence);
});

test('a point may mark thousands where the other figures are whole: which is meant is asked', () => {
  const seconds = (i: number): string => {
    const whole = 400 + 150 * i;
    return whole < 1000 ? String(whole) : `${Math.floor(whole / 1000)}.${String(whole % 1000).padStart(3, '0')}`;
  };
  expect(said(table({ time_s: seconds }, ';'))).toMatch(/^refused: Line 6: "1\.000" may have a decimal point or mark/);
  // Three decimals throughout are decimals.
  expect(said(table({ time_s: (i) => (20.125 * (i + 1)).toFixed(3) }, ';'))).toBe('');
});

test('a table with commas between its columns has decimal points, whole numbers of hundreds among them or not', () => {
  const times = ['0', '33.367', '66.733', '100', '133.467', '166.833', '200', '233.567'];
  expect(said(table({ time_s: (i) => times[i] ?? '' }))).toBe('');
  expect(said(table({ time_s: (i) => times[i] ?? '' }, ';'))).toMatch(/^refused: Line 3: "33\.367" may have/);
});

test('a run called at steps of 0.05 mL is taken, with a note on the unit', () => {
  const small = table({ volume_mL: (i) => (0.05 * i).toFixed(2), baseline_mL: '0' });
  expect(said(small)).toMatch(/^The greatest volume: 0\.35 mL is taken as it stands; if it is 0\.35 L, write 350 mL/);
});

test('thirty moles of gas for each of the limiting reagent are taken, with a note', () => {
  expect(said(table({ gas_per_limiting: '30' }))).toMatch(
    /^gas_per_limiting: 30 mol\/mol is taken as it stands; if it is 30 %/,
  );
  expect(said(table({ gas_per_limiting: '150' }))).toMatch(/^refused: .*looks like 150 %\. That is 1\.5 mol\/mol/);
});

test('a reading below the baseline by a hair, and a run without gas among others, are no slips', () => {
  expect(said(table({ volume_mL: '7.8' }))).toBe('');
  expect(said(table({ volume_mL: '0', baseline_mL: '0' }))).toBe('');
});
