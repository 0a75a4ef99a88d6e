import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { analysisOf, experimentOf } from '../../src/analysis/notebook-analysis.ts';
import { type CsvCell, csvText, type DecimalSign } from '../../src/files/csv.ts';
import { readingsCsv } from '../../src/files/readings-csv.ts';
import { tableCsv, tableTsv } from '../../src/files/table-text.ts';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { reportOf } from '../../src/results/report.ts';

/**
 * Development check, not part of `npm test`: what a general spreadsheet makes of the copies and files. Needs
 * LibreOffice on the path (`soffice`; Debian: apt-get install --no-install-recommends libreoffice-calc).
 * For each form: how many cells came in as numbers, as text, as formulas (there must be none), and whether every number
 * that was written came in as that number, with a decimal point (English) and a decimal comma (German).
 */
interface Sheet {
  readonly numbers: readonly number[];
  readonly texts: number;
  readonly formulas: number;
}

function opened(folder: string, name: string, content: string, separator: string, decimal: DecimalSign): Sheet {
  const path = join(folder, name);
  writeFileSync(path, content);
  // Separator, quotation mark, UTF-8, first line, no column formats, language, quoted cells not forced to text, numbers detected.
  const filter = `CSV:${separator.charCodeAt(0)},34,76,1,,${decimal === ',' ? 1031 : 1033},false,true`;
  execFileSync(
    'soffice',
    [
      '--headless',
      `-env:UserInstallation=file://${folder}/profile`,
      `--infilter=${filter}`,
      '--convert-to',
      'fods',
      '--outdir',
      folder,
      path,
    ],
    { stdio: 'ignore' },
  );
  const fods = readFileSync(path.replace(/\.[^.]+$/, '.fods'), 'utf8');
  const values = [...fods.matchAll(/<table:table-cell([^>]*office:value-type="float"[^>]*)>/g)].flatMap(
    ([, cell = '']) => {
      const value = Number(/office:value="([^"]+)"/.exec(cell)?.[1]);
      // Equal neighbours are written once.
      const times = Number(/number-columns-repeated="(\d+)"/.exec(cell)?.[1] ?? 1);
      return Array.from({ length: times }, () => value);
    },
  );
  return {
    numbers: values,
    texts: (fods.match(/office:value-type="string"/g) ?? []).length,
    formulas: (fods.match(/table:formula=/g) ?? []).length,
  };
}

/** Numbers of a text, as a reader of the format finds them. */
function written(content: string, separator: string, decimal: DecimalSign): number[] {
  return content
    .split(/\r?\n/)
    .flatMap((line) => line.split(separator))
    .map((cell) => (decimal === ',' ? cell.replace(',', '.') : cell))
    .filter((cell) => /^-?\d+(\.\d+)?(e-?\d+)?$/.test(cell))
    .map(Number);
}

export function spreadsheetFigures(): void {
  const folder = mkdtempSync(join(tmpdir(), 'meniscall-spreadsheet-'));
  try {
    const notebook = demoNotebook(1_700_000_000_000);
    const state = reduce(notebook.events);
    const report = reportOf(notebook, state, analysisOf(state), 'mol/(L s)');
    const nasty: CsvCell[][] = ['=1+1', '+1+1', '-1+1', '@SUM(1)', '=HYPERLINK("http://x.example")'].map((text) => [
      { text },
      { number: '1.5' },
    ]);
    for (const decimal of ['.', ','] as const) {
      const comma = decimal === ',' ? ';' : ',';
      const forms: [string, string, string][] = [
        ['rates.tsv', tableTsv(report.rates, decimal), '\t'],
        ['law.tsv', tableTsv(report.law, decimal), '\t'],
        ['rates.csv', tableCsv(report.rates, decimal), comma],
        ['readings.csv', readingsCsv(state, report.readings, experimentOf(state).experiment, decimal), comma],
        ['nasty.csv', csvText(nasty, decimal), comma],
      ];
      for (const [name, content, separator] of forms) {
        const sheet = opened(folder, `${decimal === ',' ? 'comma' : 'point'}-${name}`, content, separator, decimal);
        const wanted = written(content, separator, decimal);
        const missing = wanted.filter(
          (value) => !sheet.numbers.some((found) => Math.abs(found - value) <= 1e-12 * Math.abs(value)),
        );
        console.log(
          `${decimal} ${name.padEnd(14)} numbers ${sheet.numbers.length} of ${wanted.length}, texts ${sheet.texts}, formulas ${sheet.formulas}, wrong ${missing.length}${missing.length > 0 ? `: ${missing.slice(0, 5).join(' ')}` : ''}`,
        );
      }
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) spreadsheetFigures();
