import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { analyseExperiment } from '../analysis/analyse-experiment.ts';
import { analysisOf } from '../analysis/notebook-analysis.ts';
import { rateLaw } from '../analysis/rate-law.ts';
import { ratesTable } from '../files/rates-csv.ts';
import { experimentJson, type Json, lawJson } from '../files/rates-json.ts';
import { tableRefusals } from '../files/table-refusals.ts';
import { catalogue, type PageLanguage } from '../language/page-language.ts';
import { notebookFromJson } from '../log/file.ts';
import { reduce } from '../log/reduce.ts';
import { type Refusal, refusal } from '../log/refusal.ts';

/**
 * `npm run --silent rates -- FILE`: the same computation as the Rates screen, without a screen. FILE is a notebook
 * (JSON) or a table (CSV, see `files/rates-csv.ts`); the answer is JSON on standard output. A file that cannot be read
 * gives one line on standard error and exit status 1; a run that cannot be computed has a `reason` in the answer. With
 * `--language=de` every sentence is German; keys and codes stay. On a terminal a line on standard error counts the runs.
 */
type Answer = { readonly ok: true; readonly json: Json } | Refusal;

/** Hears how many runs of a table are done by themselves. */
type Progress = (done: number, of: number) => void;

export function ratesOfFile(text: string, language: PageLanguage = 'en', onRun?: Progress): Answer {
  const start = text.replace(/^\ufeff/, '').trimStart();
  if (start === '') return refusal(tableRefusals.empty);
  return start.startsWith('{') || start.startsWith('[') ? ofNotebook(start, language) : ofTable(text, language, onRun);
}

function ofNotebook(text: string, language: PageLanguage): Answer {
  const checked = notebookFromJson(text);
  if (!checked.ok) return checked;
  const { analysis } = analysisOf(reduce(checked.value.events));
  return { ok: true, json: experimentJson(analysis, [], language) };
}

function ofTable(text: string, language: PageLanguage, onRun?: Progress): Answer {
  const table = ratesTable(text);
  if (!table.ok) return table;
  if (table.kind === 'readings')
    return {
      ok: true,
      json: experimentJson(
        analyseExperiment(table.experiment, {
          onRun: (done) => onRun?.(done, table.experiment.runs.length),
        }),
        table.notes.map((note) => note[language]),
        language,
      ),
    };
  const law = rateLaw(table.rows, { rounding: table.rounding });
  const t = tableTexts[language];
  const units = {
    rate: t.unit,
    concentration: 'mol/L',
    factor: 1,
    convention: t.convention,
  };
  return { ok: true, json: { runs: [], law: lawJson(law, units, language) } };
}

const tableTexts = catalogue(
  {
    unit: '(unit of the rates)',
    convention:
      'k belongs to the rates as the table states them: those of a reactant of which two are used up are twice those of a product of which one is made.',
    progress: (done: number, of: number) => `${done} of ${of} ${of === 1 ? 'run' : 'runs'}`,
    together: 'All runs are done; now the rate law …',
  },
  {
    unit: '(Einheit der Geschwindigkeiten)',
    convention:
      'k gehört zu den Geschwindigkeiten, wie die Tabelle sie angibt: Wird von einem Stoff doppelt so viel verbraucht, wie vom Produkt entsteht, so sind sie doppelt so groß.',
    progress: (done, of) => `${done} von ${of} ${of === 1 ? 'Lauf' : 'Läufen'}`,
    together: 'Alle Läufe sind fertig; nun das Geschwindigkeitsgesetz …',
  },
);

const usage = 'usage: npm run --silent rates -- FILE [--language=de] (notebook .json, or .csv)';

/** Exit status. */
function main(): number {
  const given = process.argv.slice(2);
  const language = given.includes('--language=de') ? 'de' : 'en';
  const [file, ...more] = given.filter((one) => !/^--language=(en|de)$/.test(one));
  if (file === undefined || more.length > 0) return fail(usage);
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(readFileSync(file));
  } catch (error) {
    return fail((error instanceof TypeError ? tableRefusals.notText : tableRefusals.notRead)(file)[language]);
  }
  const answer = ratesOfFile(text, language, process.stderr.isTTY ? progressLine(language) : undefined);
  if (process.stderr.isTTY) process.stderr.write(startOfLine);
  if (!answer.ok) return fail(answer.sentences[language]);
  process.stdout.write(`${JSON.stringify(answer.json, null, 2)}\n`);
  return 0;
}

/** Back to the start of the line, and what stands there wiped out (ECMA-48, "erase in line"). */
const startOfLine = '\r\u001b[K';
const betweenLinesMs = 200;

/** One line that counts the runs, written anew a few times a second. */
function progressLine(language: PageLanguage): Progress {
  const t = tableTexts[language];
  let nextMs = performance.now() + betweenLinesMs;
  return (done, of) => {
    if (done < of && performance.now() < nextMs) return;
    nextMs = performance.now() + betweenLinesMs;
    process.stderr.write(`${startOfLine}${done < of ? t.progress(done, of) : t.together}`);
  };
}

function fail(sentence: string): number {
  process.stderr.write(`${sentence.replace(/\s+/g, ' ')}\n`);
  return 1;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) process.exitCode = main();
