import type { CsvCell, DecimalSign } from '../files/csv.ts';
import { csvText } from '../files/csv.ts';
import { fullDigits } from '../files/table-text.ts';
import { classColumns, type GroupLine, groupLines } from './class-columns.ts';
import type { ClassEntry } from './class-entry.ts';
import { type ClassResult, classResult, pooledLaw, quantitiesOf } from './class-result.ts';
import { classSentence, differenceText, methodSentences, whyText } from './class-texts.ts';

/**
 * The class for other programs. Their words are English whatever the page's language, so that a program finds them.
 * Numbers to twelve digits.
 */

/** A line of the table: one quantity of one group, of the class, or of the literature. */
interface Line {
  readonly row: 'group' | 'class' | 'method' | 'published' | 'pooled law';
  readonly name: string;
  readonly quantity: string;
  readonly unit: string;
  readonly value: number | null;
  readonly u: number | null;
  readonly inClassValue: 'yes' | 'stands apart' | 'not combined' | '';
  readonly how: string;
  readonly entry: ClassEntry | null;
}

/** Every quantity of every group with the class's values, the methods, and who was left out and why. */
export function classCsv(
  entries: readonly ClassEntry[],
  names: ReadonlyMap<string, string>,
  decimal: DecimalSign = '.',
): string {
  const columns: readonly (readonly [string, (line: Line) => CsvCell])[] = [
    ['row', ({ row }) => ({ text: row })],
    ['name', ({ name }) => ({ text: name })],
    ['quantity', ({ quantity }) => ({ text: quantity })],
    ['unit', ({ unit }) => ({ text: unit })],
    ['value', ({ value }) => number(value)],
    ['u', ({ u }) => number(u)],
    ['low95', ({ value, u }) => number(value === null || u === null ? null : value - 2 * u)],
    ['high95', ({ value, u }) => number(value === null || u === null ? null : value + 2 * u)],
    ['in_class_value', ({ inClassValue }) => ({ text: inClassValue })],
    ['why_or_how', ({ how }) => ({ text: how })],
    ['reaction', ({ entry }) => ({ text: entry?.reaction?.name ?? '' })],
    ['rate_law', ({ entry }) => ({ text: entry?.law ?? '' })],
    ['temperature [Cel]', ({ entry }) => number(entry?.referenceK ? entry.referenceK - 273.15 : null)],
    ['pressure [hPa]', ({ entry }) => number(entry?.hPa ?? null)],
    ['added_in_class', ({ entry }) => ({ text: entry?.added.join(' ') ?? '' })],
    ['runs', ({ entry }) => number(entry?.did.length ?? null)],
    ['readings_used', ({ entry }) => number(entry && sum(entry.did.map(({ used }) => used)))],
    ['readings_set_aside', ({ entry }) => number(entry && sum(entry.did.map(({ setAside }) => setAside)))],
    ['begun', ({ entry }) => ({ text: dateOf(entry) })],
    ['notebook', ({ entry }) => ({ text: entry?.id ?? '' })],
  ];
  const lines = quantitiesOrNone(entries).flatMap((quantity) => linesOf(entries, quantity, names));
  return csvText(
    [columns.map(([key]) => ({ text: key })), ...lines.map((line) => columns.map(([, cell]) => cell(line)))],
    decimal,
  );
}

/** A class in which no group has a result still says who is in it, and what each lacks. */
const quantitiesOrNone = (entries: readonly ClassEntry[]): readonly string[] => {
  const found = quantitiesOf(entries);
  return found.length > 0 ? found : ['k'];
};

function linesOf(entries: readonly ClassEntry[], quantity: string, names: ReadonlyMap<string, string>): Line[] {
  const result = classResult(entries, quantity);
  const { unit, rows, apart, value, combination, robust, published } = result;
  const base = { quantity, unit, entry: null, inClassValue: '' } as const;
  const beside = new Map(result.beside.map((row) => [row.entry, row.quantity]));
  const groups = rows.map(
    ({ entry, quantity: own, standsOut, differences }): Line => ({
      ...base,
      row: 'group',
      name: names.get(entry.id) ?? entry.name,
      value: own.value,
      u: own.u,
      inClassValue: standsOut ? 'stands apart' : 'yes',
      how: differences.map((one) => differenceText(one)).join('; '),
      entry,
    }),
  );
  const out = apart.map(({ entry, why }): Line => {
    const own = beside.get(entry) ?? entry.quantities[quantity];
    return {
      ...base,
      row: 'group',
      name: names.get(entry.id) ?? entry.name,
      unit: entry.quantities[quantity]?.unit ?? unit,
      value: own?.value ?? null,
      u: own?.u ?? null,
      inClassValue: 'not combined',
      how: whyText(why),
      entry,
    };
  });
  const method = (name: string, { mean, u }: { mean: number; u: number }): Line => ({
    ...base,
    row: 'method',
    name,
    value: mean,
    u,
    how: 'all groups with this law and unit, for comparison',
  });
  return [
    ...groups,
    ...out,
    ...(value
      ? [
          {
            ...base,
            row: 'class' as const,
            name: 'class value',
            value: value.value,
            u: value.u,
            how: `${classSentence(result, names)} ${methodSentences(result, 'en').slice(0, -1).join(' ')}`,
          },
        ]
      : []),
    ...(combination
      ? [
          method('weighted mean', combination.weighted),
          method('weighted mean, u times Birge ratio', combination.enlarged),
          method('DerSimonian-Laird', combination.derSimonianLaird),
          method('Mandel-Paule', combination.mandelPaule),
        ]
      : []),
    ...(robust ? [method('robust mean (Algorithm A)', robust)] : []),
    ...(published
      ? [{ ...base, row: 'published' as const, name: published.source, value: published.value, u: null, how: '' }]
      : []),
    ...(quantity === 'k' ? pooledLines(entries, result, names) : []),
  ];
}

function pooledLines(
  entries: readonly ClassEntry[],
  result: ClassResult,
  names: ReadonlyMap<string, string>,
): readonly Line[] {
  const pooled = pooledLaw(entries, result, names);
  if (!pooled?.law.ok) return [];
  const { law, runs, groups } = pooled;
  const base = { row: 'pooled law', entry: null, inClassValue: '', how: `${runs} runs of ${groups} groups` } as const;
  const factor = result.kind?.unit === 'volume' ? 1e6 : 1;
  return [
    ...(law.accepted
      ? [
          {
            ...base,
            name: 'one law from all runs',
            quantity: 'k',
            unit: result.unit,
            value: law.accepted.k * factor,
            u: law.accepted.u === null ? null : law.accepted.u * factor,
          },
        ]
      : []),
    ...Object.entries(law.orders).map(([species, { value, u }]) => ({
      ...base,
      name: 'one law from all runs',
      quantity: `order in ${species}`,
      unit: '',
      value,
      u,
    })),
  ];
}

/** One line a group for a list of marks, in the order they came: who, when, what they found, and whether it stands. */
export function gradebookCsv(
  entries: readonly ClassEntry[],
  names: ReadonlyMap<string, string>,
  anonymous: boolean,
  decimal: DecimalSign = '.',
): string {
  const result = classResult(entries, quantitiesOf(entries)[0] ?? 'k');
  const lines = new Map(groupLines(result).map((line) => [line.entry, line]));
  const columns = classColumns(result, names, 'grades');
  const header = columns.flatMap(({ key, uKey }) => (uKey === undefined ? [key] : [key, uKey]));
  const cells = (line: GroupLine): CsvCell[] =>
    columns.flatMap(({ key, cell, uKey }): CsvCell[] => {
      const made = cell(line);
      if (made.kind === 'text') return [{ text: anonymous && key === 'members' ? '' : made.text }];
      return uKey === undefined ? [number(made.value)] : [number(made.value), number(made.u ?? null)];
    });
  const rows = entries.flatMap((entry) => {
    const line = lines.get(entry);
    return line ? [cells(line)] : [];
  });
  return csvText([header.map((text) => ({ text })), ...rows], decimal);
}

/** The class as JSON: all quantities with their units, the judgement, the methods, and who was left out and why. */
export function classJson(
  entries: readonly ClassEntry[],
  names: ReadonlyMap<string, string>,
  anonymous: boolean,
): string {
  const nameOf = (entry: ClassEntry): string => names.get(entry.id) ?? entry.name;
  return `${JSON.stringify(
    {
      format: 'meniscall-class',
      schema: 1,
      groups: entries.map((entry) => ({
        name: nameOf(entry),
        ...(anonymous ? {} : { title: entry.title, members: entry.members, notebook: entry.id }),
        begun: dateOf(entry),
        invented: entry.invented,
        reaction: entry.reaction?.name ?? null,
        rateLaw: entry.law,
        quantities: entry.quantities,
        temperatureK: entry.referenceK,
        pressureHPa: entry.hPa,
        addedInClass: entry.added,
        bottles: entry.stocks,
        runs: entry.did,
        rates: entry.rows,
      })),
      results: quantitiesOrNone(entries).map((quantity) => {
        const result = classResult(entries, quantity);
        const { combination, robust, grubbs, agreement } = result;
        return {
          quantity,
          unit: result.unit,
          sentence: classSentence(result, names),
          value: result.value,
          agree: agreement?.agree ?? null,
          birgeRatio: agreement?.birge ?? null,
          chiSquared: agreement?.combination.q ?? null,
          degreesOfFreedom: agreement?.combination.degreesOfFreedom ?? null,
          probability: agreement?.combination.probability ?? null,
          method: methodSentences(result, 'en').slice(0, -1),
          temperatureK: result.kind?.referenceK ?? null,
          published: result.published,
          combined: result.rows.map(({ entry, quantity: own, z, standsOut, differences }) => ({
            name: nameOf(entry),
            value: own.value,
            u: own.u,
            distance: z,
            standsApart: standsOut,
            differences: differences.map((one) => differenceText(one)),
          })),
          notCombined: result.apart.map(({ entry, why }) => ({ name: nameOf(entry), why: whyText(why) })),
          otherMethods: { ofAllCombined: combination, robust, grubbs },
        };
      }),
    },
    null,
    1,
  )}\n`;
}

const number = (value: number | null): CsvCell => ({
  number: value === null || !Number.isFinite(value) ? null : fullDigits(value),
});

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

const dateOf = (entry: ClassEntry | null): string => {
  const at = entry?.begunWallMs ?? null;
  return at === null ? '' : new Date(at).toISOString();
};
