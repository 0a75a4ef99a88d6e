import { For, Show } from 'solid-js';
import { analysisOf } from '../../analysis/notebook-analysis.ts';
import type { DecimalSign } from '../../files/csv.ts';
import { readingsCsv } from '../../files/readings-csv.ts';
import { tableCsv, tableHtml, tableLatex, tableMarkdown, tableTsv } from '../../files/table-text.ts';
import { notebookToJson, withoutHoles } from '../../log/file.ts';
import type { Report } from '../../results/report.ts';
import { useDesk } from '../desk.tsx';
import { archiveOf } from './archive-of.ts';
import { type Copied, copyRich, copyText } from './clipboard.ts';
import { fileStem, saveFile } from './save-file.ts';
import { canShareFiles, shareFiles } from './share-sheet.ts';

/** Every way out of the table and the notebook but the link. Nothing here uses a network. */
export function WaysOut(props: { report: Report; decimal: DecimalSign }) {
  const desk = useDesk();
  const stem = (): string => fileStem(props.report.title);
  const tables = () => [props.report.rates, props.report.law];
  const notebook = () => withoutHoles({ id: desk.journal()!.id, events: desk.journal()!.events() });
  const csv = 'text/csv;charset=utf-8';

  const say = (what: string, done: Copied): void =>
    desk.announce(
      done === 'copied' ? `${what} is copied.` : 'The browser did not allow copying. Save the file instead.',
    );
  const copies: readonly { name: string; copy: () => Promise<Copied> }[] = [
    {
      name: 'for a document',
      copy: () => copyRich(tables().map(tableHtml).join('<br>'), tables().map(tableMarkdown).join('\n')),
    },
    {
      name: 'for a spreadsheet',
      copy: () =>
        copyText(
          tables()
            .map((table) => tableTsv(table, props.decimal))
            .join('\n'),
        ),
    },
    { name: 'as Markdown', copy: () => copyText(tables().map(tableMarkdown).join('\n')) },
    { name: 'as LaTeX', copy: () => copyText(tables().map(tableLatex).join('\n')) },
  ];
  const saves: readonly { name: string; save: () => void | Promise<void> }[] = [
    {
      name: 'rates (CSV)',
      save: () => saveFile(`${stem()}-rates.csv`, tableCsv(props.report.rates, props.decimal), csv),
    },
    {
      name: 'rate law (CSV)',
      save: () => saveFile(`${stem()}-law.csv`, tableCsv(props.report.law, props.decimal), csv),
    },
    {
      name: 'readings (CSV)',
      save: () =>
        saveFile(
          `${stem()}-readings.csv`,
          readingsCsv(desk.state()!, props.report.readings, analysisOf(desk.state()!).experiment, props.decimal),
          csv,
        ),
    },
    {
      name: 'notebook (JSON)',
      save: () => {
        saveFile(`${stem()}.json`, notebookToJson(notebook()), 'application/json');
        desk.savedAsFile();
      },
    },
    {
      name: 'archive with sound clips (ZIP)',
      save: async () => {
        saveFile(`${stem()}.zip`, await archiveOf(desk.store, notebook()), 'application/zip');
        desk.savedAsFile();
      },
    },
  ];
  const share = async (): Promise<void> => {
    const text = tables().map(tableMarkdown).join('\n');
    const files = [
      new File(['\ufeff', tableCsv(props.report.rates, props.decimal)], `${stem()}-rates.csv`, { type: 'text/csv' }),
      new File([notebookToJson(notebook())], `${stem()}.json`, { type: 'application/json' }),
    ];
    const done = await shareFiles(props.report.title, text, files);
    if (done === 'failed') desk.announce('The system’s share sheet did not open. Copy or save instead.');
  };

  return (
    <div class="ways no-print">
      <fieldset class="row">
        <legend>Copy the table</legend>
        <For each={copies}>
          {({ name, copy }) => (
            <button type="button" onClick={async () => say(`The table, ${name},`, await copy())}>
              {name}
            </button>
          )}
        </For>
      </fieldset>
      <fieldset class="row">
        <legend>Save</legend>
        <For each={saves}>
          {({ name, save }) => (
            <button type="button" onClick={() => void save()}>
              {name}
            </button>
          )}
        </For>
      </fieldset>
      <fieldset class="row">
        <legend>Print or share</legend>
        <button type="button" class="primary" onClick={() => print()}>
          Print, or save as PDF
        </button>
        <Show when={canShareFiles()}>
          <button type="button" onClick={() => void share()}>
            Share with another app
          </button>
        </Show>
      </fieldset>
    </div>
  );
}
