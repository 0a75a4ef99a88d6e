import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { classColumns, groupLines } from '../../src/class/class-columns.ts';
import { type ClassEntry, entryOf } from '../../src/class/class-entry.ts';
import { gradebookCsv } from '../../src/class/class-files.ts';
import { addEntries, classArrival, classEntries } from '../../src/class/class-import.ts';
import { namesakesOf, namesOf } from '../../src/class/class-names.ts';
import { type ClassRow, classResult, quantitiesOf } from '../../src/class/class-result.ts';
import { entriesOfTable } from '../../src/class/class-table.ts';
import { classForest, classTable, pooledTable } from '../../src/class/class-tables.ts';
import { classSentence, differenceText, whyText } from '../../src/class/class-texts.ts';
import { forestSvg } from '../../src/class/forest-svg.ts';
import { notebookLink } from '../../src/files/link.ts';
import { tableCsv, tableMarkdown } from '../../src/files/table-text.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { svgText } from '../../src/results/svg.ts';
import { groupNotebook } from './class-notebooks.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const said = ({ differences }: ClassRow): string => plain(differences.map((one) => differenceText(one)).join('; '));

const ordinary = Array.from({ length: 8 }, (_, i) => entryOf(groupNotebook(i + 1)));

test('a simulated class finds the rate constant that was put in', () => {
  const result = classResult(ordinary, 'k');
  expect(result.rows).toHaveLength(8);
  const { mean, u } = result.combination!.mandelPaule;
  expect(Math.abs(mean - 0.0087)).toBeLessThan(3 * u);
  expect(result.unit).toBe('L/(mol s)');
  expect(quantitiesOf(ordinary)).toEqual(expect.arrayContaining(['k', 'order in H₂O₂', 'order in I⁻']));
});

test('k and orders are those that the notebook shows first', () => {
  for (const notebook of [groupNotebook(3), groupNotebook(4, { factorInRun2: 1.03 })]) {
    const { headline, law } = analysisOf(reduce(notebook.events)).analysis;
    const entry = entryOf(notebook);
    expect(headline?.from).toBe('all-readings');
    expect(entry.quantities.k?.value).toBe(headline?.k?.value);
    expect(entry.quantities.k?.u).toBe(headline?.k?.u);
    expect(entry.quantities['order in I⁻']?.value).toBe(headline?.orders['I-']?.value);
    // The starting rates alone say something else: the test would not see which one was taken.
    expect(law.ok && law.accepted?.k).not.toBe(headline?.k?.value);
  }
});

test('a group whose readings do not follow its law is not averaged in, and the reason is said in both languages', () => {
  const odd = entryOf(groupNotebook(50, { lateEverySecondS: 6 }));
  expect(odd.lack?.code).toBe('does-not-fit');
  const { apart } = classResult([...ordinary, odd], 'k');
  const why = apart.find(({ entry }) => entry === odd)?.why;
  if (!why) throw new Error('averaged in');
  expect(whyText(why)).toMatch(/do not follow its rate law.*uncertainties allow/);
  expect(whyText(why, 'de')).toMatch(/folgen ihrem Geschwindigkeitsgesetz nicht/);
});

test('a group with other volumes stands out, and what it poured is said', () => {
  // It poured 5 mL and its notebook knows it; its own k is wrong by an error nobody recorded.
  const odd = entryOf(groupNotebook(99, { iodideInRun2: 5, factor: 1.6 }));
  const result = classResult([...ordinary, odd], 'k');
  const out = result.rows.filter((row) => row.standsOut);
  expect(out.map(({ entry }) => entry.name)).toEqual(['Bench 99']);
  expect(said(out[0]!)).toMatch(/^run 2 got 5 mL of iodide where most poured 10 mL/);
  expect(said(out[0]!)).toMatch(/all its runs went at 1\.[56] times the rate of the class/);
});

test('a warmer bench agrees once its k is brought to the temperature of the class', () => {
  // exp(Ea/R (1/295.65 - 1/302.15)) with 56.1 kJ/mol.
  const warm = entryOf(groupNotebook(98, { temperatureC: 29, factor: 1.634 }));
  const result = classResult([...ordinary, warm], 'k');
  expect(result.rows.filter((row) => row.standsOut)).toEqual([]);
  expect(result.kind?.referenceK).toBeCloseTo(295.65, 6);
});

test('where no activation energy is known, a class at unlike temperatures says that its k are not comparable', () => {
  const warm = entryOf(groupNotebook(98, { temperatureC: 29, factor: 1.634 }));
  const without = [...ordinary, warm].map((entry) => ({ ...entry, activation: null }));
  const sentence = (entries: readonly ClassEntry[], quantity = 'k', language: 'en' | 'de' = 'en') =>
    plain(classSentence(classResult(entries, quantity), namesOf(entries, false), language));
  expect(sentence(without)).toMatch(/worked at 22\.5 to 29\.0 °C\. No activation energy .* part of the differences/);
  expect(sentence(without, 'k', 'de')).toMatch(/bei 22,5 bis 29,0 °C\. Nicht für alle/);
  expect(sentence(without, 'order in I⁻')).not.toMatch(/°C/);
  expect(sentence([...ordinary, warm])).not.toMatch(/°C/);
  expect(sentence(without.slice(0, -1))).not.toMatch(/°C/);
});

test('a bench with a wrong thermometer is named as such, and one that did everything alike as well', () => {
  const warm = entryOf(groupNotebook(98, { temperatureC: 29 }));
  const alike = entryOf(groupNotebook(97, { factor: 0.5 }));
  const out = classResult([...ordinary, warm, alike], 'k').rows.filter((row) => row.standsOut);
  const causes = new Map(out.map((row) => [row.entry.name, said(row)]));
  expect(causes.get('Bench 98')).toMatch(/worked at 29\.0 °C, the middle of the class at 22\.5 °C/);
  expect(causes.get('Bench 97')).toMatch(
    /all its runs went at about half the rate of the class.*are as in the rest of the class/,
  );
});

test('a group that allows for the gas above the reaction where the others do not is named, and the other way round', () => {
  const otherHeadspace = entryOf(groupNotebook(95, { headspaceMl: 1500 }));
  const [out] = classResult([...ordinary, otherHeadspace], 'k').rows.filter((row) => row.entry === otherHeadspace);
  expect(out?.standsOut).toBe(true);
  expect(out && said(out)).toMatch(/allows for the gas above the reaction, most do not/);
  const most = Array.from({ length: 8 }, (_, i) => entryOf(groupNotebook(i + 1, { headspaceMl: 1500 })));
  const one = entryOf(groupNotebook(94));
  const [left] = classResult([...most, one], 'k').rows.filter((row) => row.entry === one);
  expect(left && said(left)).toMatch(/does not allow for the gas above the reaction, most do/);
});

test('groups of the same name stay apart, each with a number', () => {
  const named = (id: string, name: string) => ({ ...ordinary[0]!, id, name });
  const groups = [named('a', 'Bench'), named('b', 'Bench'), named('c', 'Bench (1)'), named('d', 'Other')];
  expect(namesakesOf(groups)).toEqual(['Bench']);
  expect([...namesOf(groups, false).values()]).toEqual(['Bench (2)', 'Bench (3)', 'Bench (1)', 'Other']);
  expect(new Set(namesOf(groups, true).values()).size).toBe(4);
});

test('two tables of values with the same names are different groups; the same table again is not', () => {
  const read = (text: string) => {
    const table = entriesOfTable(text);
    if (!table.ok) throw new Error(table.sentence);
    return table.value;
  };
  const first = read('name,value,u\nA,1,0.1\nB,2,0.1\n');
  const second = read('name,value,u\nA,3,0.1\nB,4,0.1\n');
  expect(addEntries(first, second).entries).toHaveLength(4);
  expect(addEntries(first, first).entries).toHaveLength(2);
});

test('a group with another rate law is not averaged in, and the reason is said', () => {
  const other = entryOf(groupNotebook(96, { factorInRun2: 2 }));
  const result = classResult([...ordinary, other], 'k');
  expect(result.rows.map(({ entry }) => entry.name)).not.toContain('Bench 96');
  expect(result.apart.map(({ entry }) => entry.name)).toEqual(['Bench 96']);
  expect(whyText(result.apart[0]!.why)).toMatch(
    /Its own runs give another law: rate = k \[H₂O₂\]\. The class has rate = k (?:\[I⁻\] \[H₂O₂\]|\[H₂O₂\] \[I⁻\])\. Run 2 went at about twice the rate/,
  );
  expect(result.beside.map(({ entry }) => entry.name)).toEqual(['Bench 96']);
});

test('with numbers in place of names no name is in the table, the picture or the file', () => {
  const result = classResult(ordinary, 'k');
  const names = namesOf(ordinary, true);
  const all = [
    tableCsv(classTable(result, names)),
    tableMarkdown(classTable(result, names)),
    svgText(forestSvg(classForest(result, names))),
  ].join('\n');
  expect(all).not.toMatch(/Bench/);
  expect(all).toMatch(/Group 8/);
  // The numbers do not follow the order in which the groups came.
  expect(ordinary.map((entry) => names.get(entry.id))).not.toEqual(ordinary.map((_, i) => `Group ${i + 1}`));
});

test('the same notebook twice counts once, and the longer log of two is kept', () => {
  const whole = groupNotebook(1);
  const part = { id: whole.id, events: whole.events.slice(0, -20) };
  const both = addEntries(addEntries([], [entryOf(whole)]).entries, [entryOf(part), entryOf(whole)]);
  expect(both.entries.map(({ events }) => events)).toEqual([whole.events.length]);
  expect(both.doubles.map(({ kind }) => kind)).toEqual(['shorter', 'same']);
  const more = addEntries([entryOf(part)], [entryOf(whole)]);
  expect(more.entries.map(({ events }) => events)).toEqual([whole.events.length]);
  expect(more.doubles).toEqual([{ name: 'Bench 1', as: 'Bench 1', kind: 'longer' }]);
});

test('files, links and tables come in; what is none of them is refused with a sentence', () => {
  const notebook = groupNotebook(3);
  expect(classEntries(classArrival(bytes(notebookToJson(notebook))))).toMatchObject({
    ok: true,
    value: [{ name: 'Bench 3' }],
  });
  expect(classEntries(classArrival(bytes(notebookLink('https://x.example/', notebook))))).toMatchObject({
    ok: true,
    value: [{ name: 'Bench 3' }],
  });
  expect(classEntries(classArrival(bytes('name;value;u\nA;1,5;0,1\n')))).toMatchObject({
    ok: true,
    value: [{ name: 'A', quantities: { value: { value: 1.5, u: 0.1 } } }],
  });
  for (const text of [
    '',
    'hello',
    'name,value,u\n',
    'name,value,u\nA,x,1',
    'name,value,u\nA,1,0',
    '{"format":"meniscall-notebook"}',
  ])
    expect(classEntries(classArrival(bytes(text)))).toMatchObject({
      ok: false,
      sentence: expect.stringMatching(/^[A-Z].*\.$/),
    });
});

test('one group alone has nothing to be combined with, and nothing fails', () => {
  const result = classResult(ordinary.slice(0, 1), 'k');
  expect(pooledTable(result).notes).toEqual(['One group: there is nothing to combine.']);
  expect(svgText(forestSvg(classForest(result, namesOf(ordinary, false))))).toMatch(/^<\?xml/);
  expect(classResult([], 'k')).toMatchObject({ rows: [], combination: null });
  expect(svgText(forestSvg(classForest(classResult([], 'k'), new Map())))).not.toMatch(/NaN|Infinity/);
});

test('a table of values with columns in another order and a variance is read', () => {
  const read = entriesOfTable('Variance,NAME,note,Value\n0.04,"Lab, north",x,10\n0.01,=cmd(),y,11\n');
  expect(read).toMatchObject({
    ok: true,
    value: [{ name: 'Lab, north', quantities: { value: { value: 10, u: 0.2 } } }, {}],
  });
  if (!read.ok) return;
  const csv = tableCsv(classTable(classResult(read.value, 'value'), namesOf(read.value, false)));
  expect(csv).toMatch(/^"Lab, north",/m);
  expect(csv).toMatch(/^'=cmd\(\),/m);
});

test('what the class shows of a group is one list of columns, whose cells agree in every place', () => {
  const result = classResult(ordinary, 'k');
  const names = namesOf(ordinary, false);
  const lines = groupLines(result);
  // Each group once, in one standing or another.
  expect(lines.map(({ entry }) => entry.id).sort()).toEqual(ordinary.map(({ id }) => id).sort());
  for (const language of ['en', 'de'] as const)
    for (const place of ['screen', 'copies', 'grades'] as const)
      for (const { key, label, cell } of classColumns(result, names, place, language)) {
        expect(label, key).not.toBe('');
        for (const line of lines) expect(JSON.stringify(cell(line)), key).not.toMatch(/NaN|undefined/);
      }
  const [header = '', ...rows] = gradebookCsv(ordinary, names, false).trim().split(/\r?\n/);
  expect(header.split(',')).toEqual(
    classColumns(result, names, 'grades').flatMap(({ key, uKey }) => (uKey ? [key, uKey] : [key])),
  );
  expect(rows).toHaveLength(ordinary.length);
  // The class's own value is nought per cent from itself: the groups lie on both sides of it.
  const percents = rows.map((row) => Number(row.split(',')[header.split(',').indexOf('percent_from_class')]));
  expect(Math.min(...percents)).toBeLessThan(0);
  expect(Math.max(...percents)).toBeGreaterThan(0);
  expect(gradebookCsv(ordinary, namesOf(ordinary, true), true)).not.toMatch(/Bench/);
});
