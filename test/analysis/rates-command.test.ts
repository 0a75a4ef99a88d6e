/** `npm run rates`: tables and notebooks in, JSON out, or one line of complaint. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook, demoTruth } from '../../src/rehearsal/demo.ts';
import { pearsonYork } from '../published/york-data.ts';

const folder = mkdtempSync(join(tmpdir(), 'meniscall-rates-'));
const command = fileURLToPath(new URL('../../src/commands/rates.ts', import.meta.url));

// biome-ignore lint/suspicious/noExplicitAny: the answer is read as whoever reads JSON reads it
function answerOf(text: string): any {
  const answer = ratesOfFile(text);
  if (!answer.ok) throw new Error(answer.sentence);
  return JSON.parse(JSON.stringify(answer.json));
}

const refusal = (text: string | Buffer): string => {
  const answer = ratesOfFile(String(text));
  if (answer.ok) throw new Error('was read');
  return answer.sentence;
};

const line = (n = 11, rate = 0.1): string =>
  `run,time_s,volume_mL\n${Array.from({ length: n }, (_, i) => `1,${20 * i},${2 * i * rate * 10}`).join('\n')}\n`;

test('a plain table gives the three estimates, the recommended one and no flags', () => {
  const { runs, law } = answerOf(line());
  expect(runs[0]).toMatchObject({ run: '1', recommended: 'line', flags: [] });
  expect(runs[0].line.rate_mL_per_s).toBeCloseTo(0.1, 12);
  expect(runs[0].quadratic.rate_mL_per_s).toBeCloseTo(0.1, 10);
  expect(runs[0].firstOrder).toEqual({ reason: expect.stringMatching(/ceiling/) });
  expect(law).toBeNull();
});

test("Pearson's data with York's weights give York's slope (Am. J. Phys. 72 (2004) 367)", () => {
  const { x, y, ux, uy } = pearsonYork;
  const table = `run,time_s,volume_mL,u_time_s,u_volume_mL\n${x.map((t, i) => `p,${t},${y[i]},${ux[i]},${uy[i]}`).join('\n')}\n`;
  expect(answerOf(table).runs[0].line.rate_mL_per_s).toBeCloseTo(-0.4805334074462, 10);
  expect(answerOf(table).runs[0].line.mswd).toBeCloseTo(1.4832941, 6);
});

test('first-order curve: k and the starting rate with a given ceiling, and with a fitted one', () => {
  const k = 0.004;
  const rows = [5, 15, 25, 40, 60, 80, 110, 150, 200, 260].map((t) => `1,${t},${50 * (1 - Math.exp(-k * t))}`);
  for (const table of [
    `run,time_s,volume_mL\n${rows.join('\n')}`,
    `run,time_s,volume_mL,ceiling_mL,baseline_mL\n${rows.map((r) => `${r},50,0`).join('\n')}`,
  ]) {
    const { firstOrder, recommended } = answerOf(table).runs[0];
    expect(firstOrder.k_per_s).toBeCloseTo(k, 8);
    expect(firstOrder.rate_mL_per_s).toBeCloseTo(0.2, 7);
    expect(recommended).toBe('firstOrder');
  }
});

test('columns in any order and case, byte-order mark, CR LF, quotes, empty lines and columns of no interest', () => {
  const odd =
    '\ufeffnote,VOLUME_ML,"Time_s",run\r\n"a, ""b""",0,0,"run ""one"""\r\n\r\n,2,20,"run ""one"""\r\n,4.1,40,"run ""one"""\r\n';
  const plain = 'run,time_s,volume_mL\nrun "one",0,0\nrun "one",20,2\nrun "one",40,4.1\n';
  expect(answerOf(odd)).toEqual(answerOf(plain));
});

test('semicolons with decimal commas are read; decimal commas between commas are refused in words', () => {
  const comma = 'run;time_s;volume_mL\n1;0;0\n1;20,5;2\n1;40;4,1\n';
  const point = 'run,time_s,volume_mL\n1,0,0\n1,20.5,2\n1,40,4.1\n';
  expect(answerOf(comma)).toEqual(answerOf(point));
  expect(refusal('run,time_s,volume_mL\n1,0,0\n1,20,5,2\n1,40,4,1\n')).toMatch(/decimal commas/);
});

test('a first line that names the separator, and quoted decimal commas between commas, are read', () => {
  const point = answerOf('run,time_s,volume_mL\n1,0,0\n1,20.5,2\n1,40,4.1\n');
  expect(answerOf('sep=;\r\nrun;time_s;volume_mL\r\n1;0;0\r\n1;20,5;2\r\n1;40;4,1\r\n')).toEqual(point);
  expect(answerOf('run,time_s,volume_mL\n1,0,0\n1,"20,5",2\n1,40,"4,1"\n')).toEqual(point);
});

test('falling volumes get a sentence instead of a recommended rate', () => {
  const [run] = answerOf('run,time_s,volume_mL\n1,0,10\n1,10,8\n1,20,6\n1,30,4\n').runs;
  expect(run).toMatchObject({ recommended: null, used: null, reason: expect.stringMatching(/fall with time/) });
});

test('a misheard value in a table is flagged with its index and the value that fits', () => {
  const rows = Array.from(
    { length: 11 },
    (_, i) => `1,${20 * i + [0.2, -0.3, 0.4, 0, -0.2][i % 5]!},${i === 5 ? 12 : 10 + 2 * i}`,
  );
  const { flags } = answerOf(`run,time_s,volume_mL\n${rows.join('\n')}`).runs[0];
  expect(flags).toHaveLength(1);
  expect(flags[0]).toMatchObject({ index: 5, cause: 'misheard', suggested_mL: 20 });
});

test('concentrations beside readings give the law; beside rates they give it directly', () => {
  const runs: [string, number, number][] = [
    ['1', 0.1, 0.1],
    ['2', 0.2, 0.1],
    ['3', 0.1, 0.2],
  ];
  const readings = runs.flatMap(([run, a, b]) =>
    Array.from({ length: 8 }, (_, i) => `${run},${i * 10 + (i % 3) * 0.01},${50 * a * b * i * 10},${a},${b}`),
  );
  const fromReadings = answerOf(`run,time_s,volume_mL,conc_A_M,conc_B_M\n${readings.join('\n')}`).law;
  expect(fromReadings.accepted.orders).toEqual({ A: 1, B: 1 });
  expect(fromReadings.accepted.k).toBeCloseTo(50, 1);
  expect(fromReadings.k_unit).toMatch(/mL\/s/);
  const rates = runs.map(([run, a, b]) => `${run},${3 * a * a * b},${a},${b}`);
  const direct = answerOf(`run,rate,conc_A_M,conc_B_M\n${rates.join('\n')}`).law;
  expect(direct.accepted.orders).toEqual({ A: 2, B: 1 });
  expect(direct.accepted.k).toBeCloseTo(3, 9);
  expect(direct.convention).toMatch(/twice/);
});

test.each([
  ['', /empty/],
  ['run,time_s,volume_mL\n', /no rows/],
  ['run,volume_mL\n1,1\n', /lacks the column time_s/],
  ['\n\nrun,time_s,volume_mL\n\n1,0,1\n,,\n1,x,2\n', /Line 7: "x" is not a number \(time_s\)/],
  ['some words\nand more\n', /names none of the columns/],
  ['run,time_s,volume_mL,u_volume_mL\n1,0,2,1e300\n', /Line 2: u_volume_mL is 1e\+300, .*too large/],
  ['run,time_s,volume_mL,u_time_s\n1,0,2,1e-300\n', /Line 2: u_time_s is 1e-300, .*too small/],
  ['run,time_s,volume_mL,baseline_mL\n1,0,2,1e300\n', /baseline_mL is too large/],
  ['run,rate,u_rate,conc_A_M\n1,0.1,1e300,0.1\n', /u_rate is too large/],
  ['run,time_s,volume_mL\n1,0,2\n1,"1,200",4\n', /"1,200" may have a decimal comma or mark thousands/],
  ['run,time_s,volume_mL\n1,0,abc\n', /Line 2: "abc" is not a number/],
  ['run,time_s,volume_mL\n1,NaN,1\n', /not a number/],
  ['run,time_s,volume_mL\n1,,1\n', /Line 2 has no time_s/],
  ['run,time_s,volume_mL\n1,0,Infinity\n', /not a number/],
  ['run,time_s,volume_mL,run\n1,0,1,1\n', /comes twice/],
  ['run,rate\n1,2\n', /conc_NAME_M/],
  ['run,time_s,volume_mL,baseline_mL\n1,0,1,0\n1,1,2,3\n', /differs/],
  ['run,time_s,volume_mL\n1,0,"1\n', /never closed/],
  ['{"format":"other"}', /not a Meniscall notebook/],
  ['{"format"', /not JSON/],
])('%j is refused in one sentence, in German too', (text, sentence) => {
  expect(refusal(text)).toMatch(sentence);
  const answer = ratesOfFile(text);
  if (answer.ok) throw new Error('was read');
  expect(answer.sentences.de).toMatch(/^[A-ZÄÖÜ].*\.$/);
  expect(answer.sentences.de).not.toMatch(/\b(the|is|has|of|column)\b/);
});

test('any text is answered or refused, and what is answered has no NaN', () => {
  const cell = fc.oneof(fc.constantFrom('1', '0', '2.5', '', '-3', '1e3', 'x', '"', ';'), fc.double().map(String));
  const table = fc
    .array(fc.array(cell, { minLength: 3, maxLength: 5 }), { maxLength: 9 })
    .map((rows) => `run,time_s,volume_mL,ceiling_mL,start_s\n${rows.map((row) => row.join(',')).join('\n')}`);
  fc.assert(
    fc.property(table, (text) => {
      const answer = ratesOfFile(text);
      if (answer.ok) expect(JSON.stringify(answer.json)).not.toContain('"NaN"');
      else expect(answer.sentence).not.toMatch(/\n/);
    }),
    { numRuns: 400 },
  );
});

test('the command prints JSON, and complains in one line with status 1', () => {
  const good = join(folder, 'good.csv');
  writeFileSync(good, line());
  const out = execFileSync(process.execPath, ['--import', 'tsx', command, good], { encoding: 'utf8' });
  expect(JSON.parse(out)).toEqual(answerOf(line()));
  for (const bytes of ['run,time_s\n', Buffer.from([0xff, 0xfe, 0x00, 0x81])]) {
    const bad = join(folder, 'bad.csv');
    writeFileSync(bad, bytes);
    const result = spawnSync(process.execPath, ['--import', 'tsx', command, bad], { encoding: 'utf8' });
    expect(result.status).toBe(1);
    expect(result.stdout).toBe('');
    expect(result.stderr.trim().split('\n')).toHaveLength(1);
  }
  const german = [command, join(folder, 'absent.csv'), '--language=de'];
  expect(spawnSync(process.execPath, ['--import', 'tsx', ...german], { encoding: 'utf8' }).stderr).toMatch(
    /nicht lesbar/,
  );
}, 60_000);

test('a notebook file gives what the screen computes, digit for digit, and the demo its invented truth', () => {
  const notebook = demoNotebook(1_700_000_000_000);
  const answer = answerOf(notebookToJson(notebook));
  const { analysis } = analysisOf(reduce(notebook.events));
  const first = analysis.runs[0]!;
  if (!first.ok || !first.used || !analysis.law.ok || !analysis.whole.ok) throw new Error('refused');
  expect(answer.runs[0].used.rate_mL_per_s).toBe(first.used.rateM3PerS * 1e6);
  expect(answer.law.accepted.k).toBe(analysis.law.accepted!.k);
  expect(answer.whole.accepted.u).toBe(analysis.whole.accepted!.u);
  expect(answer.law.accepted.orders).toEqual({ H2O2: demoTruth.peroxideOrder, 'I-': demoTruth.iodideOrder });
  expect(Math.abs(answer.law.accepted.k - demoTruth.k)).toBeLessThan(2 * answer.law.accepted.u);
  expect(answer.law.convention).toMatch(/d\[O2\]\/dt/);
});

test('a stated start: readings before it, a row at it, and a clock that began earlier change nothing', () => {
  const k = 0.004;
  const rows = [20, 40, 60, 90, 120, 160, 200, 260].map((t, i) => [
    t,
    10 + 50 * (1 - Math.exp(-k * t)) + [0.03, -0.02, 0.01][i % 3]!,
  ]);
  const table = (shift: number, more: string): string =>
    `run,time_s,volume_mL,baseline_mL,start_s\n${more}${rows.map(([t, v]) => `1,${t! + shift},${v},10,${shift}`).join('\n')}\n`;
  const plain = answerOf(table(0, '')).runs[0].firstOrder;
  expect(plain.k_per_s).toBeCloseTo(k, 4);
  for (const other of [table(30, ''), table(30, '1,30,10,10,30\n'), table(30, '1,30,10,10,30\n1,0,10,,\n')]) {
    const { firstOrder } = answerOf(other).runs[0];
    expect(firstOrder.k_per_s).toBeCloseTo(plain.k_per_s, 12);
    // Rounding of the times counts by the mean slope, which the row at the start is part of.
    expect(firstOrder.u_k_per_s / plain.u_k_per_s).toBeCloseTo(1, 0);
    expect(firstOrder.rate_mL_per_s).toBeCloseTo(plain.rate_mL_per_s, 10);
  }
  expect(answerOf(table(500, '').replaceAll(',500\n', ',9999\n')).runs[0].firstOrder.reason).toMatch(/after the start/);
});

test('without a column run all rows are one run, and of a table of rates each row is one', () => {
  const rows = [0, 20, 40, 60].map((t) => `${t},${2 + t / 10}`).join('\n');
  const answer = answerOf(`time_s,volume_mL\n${rows}\n`);
  expect(answer.runs).toHaveLength(1);
  expect(answer.runs[0].line.rate_mL_per_s).toBeCloseTo(0.1, 12);
  expect(answer.notes[0]).toMatch(/no column run/);
  expect(answerOf('rate,conc_A_M\n1,0.1\n2,0.2\n4,0.4\n').law.accepted.orders).toEqual({ A: 1 });
});

test("a flag's index counts its run's rows as given, struck and set-aside ones too, and its line is the file's", () => {
  const rows = Array.from(
    { length: 11 },
    (_, i) => `2,${20 * i + [0.2, -0.3, 0.4, 0, -0.2][i % 5]!},${i === 6 ? 42 : 10 + 2 * i},`,
  );
  rows[1] = '2,,,struck';
  rows[3] = `${rows[3]}set aside`;
  const table = `run,time_s,volume_mL,status\n1,0,2,\n\n1,20,4,\n${rows.join('\n')}\n`;
  const { flags } = answerOf(table).runs[1];
  expect(flags).toHaveLength(1);
  expect(flags[0]).toMatchObject({ index: 6, line: 11, cause: 'misheard', suggested_mL: 22 });
  expect(table.split('\n')[flags[0].line - 1]).toContain(',42,');
});

test('uncertainties at the ends of what is let in still give a rate', () => {
  for (const u of ['1e-12', '1e12', '0']) {
    const rows = [0, 20.4, 40, 60].map((t, i) => `1,${t},${2 + 2 * i},${u},${u}`).join('\n');
    const [run] = answerOf(`run,time_s,volume_mL,u_time_s,u_volume_mL\n${rows}\n`).runs;
    expect(run.used.rate_mL_per_s).toBeCloseTo(0.1, 3);
    expect(run.used.u).toBeGreaterThan(0);
  }
});

test('a table of several runs counts them while it is worked out', () => {
  const heard: string[] = [];
  const runs = ['a', 'b', 'c'].map((run) => [0, 2, 4, 6].map((v) => `${run},${10 * v},${v}`).join('\n'));
  ratesOfFile(`run,time_s,volume_mL\n${runs.join('\n')}\n`, 'en', (done, of) => heard.push(`${done}/${of}`));
  expect(heard).toEqual(['1/3', '2/3', '3/3']);
});
