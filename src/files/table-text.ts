import { figureLatex, figureNumber, figureText } from '../results/round-by-uncertainty.ts';
import type { Cell, Column, Table } from '../results/table.ts';
import { type CsvCell, csvText, type DecimalSign, tsvText } from './csv.ts';

/** The forms in which a table leaves: the same digits in each, since all print the same rounding. */

/** "rate (mL/s)": how a column is headed on screen and in text. */
export const heading = (column: Column): string =>
  column.unit ? `${column.label} (${column.unit.printed})` : column.label;

export const cellText = (cell: Cell): string => (cell.kind === 'text' ? cell.text : figureText(cell.rounded));

/** A cell as the page's language writes it: figures with its decimal sign. */
export const localCell = (cell: Cell, decimal: DecimalSign): string =>
  cell.kind === 'text' ? cell.text : cellText(cell).replaceAll('.', decimal);

/**
 * For spreadsheets: a figure takes two columns, the value and its standard uncertainty, in the rounded digits; a unit
 * stands in the header only.
 */
export function tableTsv(table: Table, decimal: DecimalSign = '.'): string {
  const header = table.columns.flatMap((column): CsvCell[] =>
    column.kind === 'text'
      ? [{ text: heading(column) }]
      : [{ text: heading(column) }, { text: `u(${column.label})${column.unit ? ` (${column.unit.printed})` : ''}` }],
  );
  return tsvText([header, ...table.rows.map((row) => row.flatMap(spreadCell))], decimal);
}

function spreadCell(cell: Cell): CsvCell[] {
  if (cell.kind === 'text') return [{ text: withHyphen(cell.text) }];
  return [{ number: figureNumber(cell.rounded, 'value') }, { number: figureNumber(cell.rounded, 'u') }];
}

/** A number in a cell of text has the minus sign that spreadsheets and programs know. */
const withHyphen = (text: string): string => text.replace(/^−(?=[\d.]+$)/, '-');

/**
 * For programs: headers in ASCII with the UCUM code in square brackets; each figure as the value and its
 * standard uncertainty to twelve digits, and the two as they are stated in the table.
 */
export function tableCsv(table: Table, decimal: DecimalSign = '.'): string {
  const header = table.columns.flatMap((column): CsvCell[] => {
    const unit = column.unit ? ` [${column.unit.ucum ?? column.unit.printed}]` : '';
    if (column.kind === 'text') return [{ text: `${column.key}${unit}` }];
    return [{ text: `${column.key}${unit}` }, { text: `u_${column.key}${unit}` }, { text: `${column.key}_stated` }];
  });
  const cells = (cell: Cell): CsvCell[] => {
    if (cell.kind === 'text') return [{ text: withHyphen(cell.text) }];
    if (cell.value === null) return [{ number: null }, { number: null }, { text: cell.why ?? '' }];
    const u = cell.u !== undefined && Number.isFinite(cell.u) ? fullDigits(cell.u) : null;
    return [{ number: fullDigits(cell.value) }, { number: u }, { text: asciiFigure(cell).replaceAll('.', decimal) }];
  };
  return csvText([header, ...table.rows.map((row) => row.flatMap(cells))], decimal);
}

/**
 * Twelve digits, far more than any uncertainty here leaves; beyond the thirteenth the exponential functions of one
 * engine's version need not agree with those of the next.
 */
export const fullDigits = (value: number): string => String(Number(value.toPrecision(12)));

/** "0.0995 +/- 0.0012": a figure in characters that every program reads. */
function asciiFigure(cell: Extract<Cell, { kind: 'figure' }>): string {
  const value = figureNumber(cell.rounded, 'value');
  const u = figureNumber(cell.rounded, 'u');
  return u === null ? `${value}` : `${value} +/- ${u}`;
}

/** A Markdown table (GitHub's form), figures to the right. */
export function tableMarkdown(table: Table): string {
  const row = (cells: readonly string[]): string => `| ${cells.map(markdownText).join(' | ')} |`;
  const lines = [
    row(table.columns.map(heading)),
    `|${table.columns.map((column) => (column.kind === 'figure' ? ' ---: ' : ' --- ')).join('|')}|`,
    ...table.rows.map((cells) => row(cells.map(cellText))),
  ];
  const notes = table.notes.map((note) => `\n${markdownText(note)}\n`).join('');
  return `${lines.join('\n')}\n${notes}`;
}

/** Text that stays text in Markdown: marks escaped, line ends to spaces. */
function markdownText(text: string): string {
  return text
    .replace(/\s*[\r\n]+\s*/g, ' ')
    .replace(/[\\`*_[\]<>|#~&]/g, '\\$&')
    .replace(/^(\d+)\.(?=\s)/, '$1\\.')
    .replace(/^([-+])(?= )/, '\\$1');
}

/** A LaTeX `tabular` with rules of its own, no packages needed. */
export function tableLatex(table: Table): string {
  const head = table.columns.map((column) => {
    const label = column.latex ? `$${column.latex}$` : latexText(column.label);
    return column.unit ? `${label} / $${column.unit.latex}$` : label;
  });
  const cell = (entry: Cell): string =>
    entry.kind === 'text' ? (entry.latex ?? latexText(entry.text)) : figureLatex(entry.rounded);
  const spec = table.columns.map((column) => (column.kind === 'figure' ? 'r' : 'l')).join('');
  return [
    `\\begin{tabular}{${spec}}`,
    '\\hline',
    `${head.join(' & ')} \\\\`,
    '\\hline',
    ...table.rows.map((row) => `${row.map(cell).join(' & ')} \\\\`),
    '\\hline',
    '\\end{tabular}',
    ...table.notes.map((note) => `\n${latexText(note)}`),
    '',
  ].join('\n');
}

const latexMarks: Readonly<Record<string, string>> = {
  '\\': '\\textbackslash{}',
  '{': '\\{',
  '}': '\\}',
  $: '\\$',
  '&': '\\&',
  '#': '\\#',
  '%': '\\%',
  _: '\\_',
  '^': '\\textasciicircum{}',
  '~': '\\textasciitilde{}',
  '±': '$\\pm$',
  '×': '$\\times$',
  '−': '$-$',
  '·': '$\\cdot$',
  '°': '$^{\\circ}$',
  µ: '$\\mu$',
  '→': '$\\rightarrow$',
  '≤': '$\\le$',
  '≥': '$\\ge$',
  '½': '$1/2$',
  '<': '$<$',
  '>': '$>$',
};
const superscript = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const subscript = '₀₁₂₃₄₅₆₇₈₉';

/** Text that stays text in LaTeX. */
export function latexText(text: string): string {
  return text
    .replace(/\s*[\r\n]+\s*/g, ' ')
    .replace(/[\\{}$&#%_^~±×−·°µ→≤≥½<>]/g, (mark) => latexMarks[mark] ?? mark)
    .replace(
      /⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+/g,
      (power) => `$^{${power.replace('⁻', '-').replace(/[^-]/g, (d) => String(superscript.indexOf(d)))}}$`,
    )
    .replace(/⁻/g, '$^{-}$')
    .replace(/⁺/g, '$^{+}$')
    .replace(/[₀-₉]/g, (digit) => `$_${subscript.indexOf(digit)}$`);
}

/**
 * For documents: an HTML table that carries its own lines, since a page's styles do not travel. By attributes: browsers
 * pass what is copied by the page's own policy, which forbids styles in the markup.
 */
export function tableHtml(table: Table): string {
  const cell = (tag: string, column: Column | undefined, text: string): string =>
    `<${tag} align="${column?.kind === 'figure' ? 'right' : 'left'}">${htmlText(text)}</${tag}>`;
  const head = table.columns.map((column) => cell('th', column, heading(column))).join('');
  const rows = table.rows.map(
    (row) => `<tr>${row.map((entry, i) => cell('td', table.columns[i], cellText(entry))).join('')}</tr>`,
  );
  const notes = table.notes.map((note) => `<p>${htmlText(note)}</p>`).join('');
  return `<table border="1" cellpadding="4" cellspacing="0"><caption>${htmlText(table.title)}</caption><thead><tr>${head}</tr></thead><tbody>${rows.join('')}</tbody></table>${notes}`;
}

const htmlMarks: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
export const htmlText = (text: string): string => text.replace(/[&<>"']/g, (mark) => htmlMarks[mark] ?? mark);

/** Plain text for a message: columns lined up with spaces. */
export function tablePlain(table: Table): string {
  const grid = [table.columns.map(heading), ...table.rows.map((row) => row.map(cellText))];
  const widths = table.columns.map((_, i) => Math.max(...grid.map((row) => (row[i] ?? '').length)));
  const lines = grid.map((row) =>
    row
      .map((text, i) =>
        table.columns[i]?.kind === 'figure' ? text.padStart(widths[i] ?? 0) : text.padEnd(widths[i] ?? 0),
      )
      .join('   ')
      .trimEnd(),
  );
  return [table.title, ...lines, ...table.notes, ''].join('\n');
}
