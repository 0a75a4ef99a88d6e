import { For, type JSX, Show } from 'solid-js';
import { analysisOf } from '../../analysis/notebook-analysis.ts';
import type { DecimalSign } from '../../files/csv.ts';
import { readingsCsv } from '../../files/readings-csv.ts';
import { tableCsv, tableHtml, tableLatex, tableMarkdown, tableTsv } from '../../files/table-text.ts';
import { notebookToJson, withoutHoles } from '../../log/notebook-json.ts';
import { readingsTable } from '../../results/readings-table.ts';
import { type Report, uncertaintiesOf } from '../../results/report.ts';
import { useDesk } from '../desk.tsx';
import { stateOf } from '../state-of.ts';
import { archiveOf } from './archive-of.ts';
import { type Copied, copyRich, copyText } from './clipboard.ts';
import { LinkOut } from './LinkOut.tsx';
import { ResultCode } from './ResultCode.tsx';
import { fileStem, saveFile } from './save-file.ts';
import { canShareFiles, shareFiles } from './share-sheet.ts';
import { reportTexts as t } from './texts.ts';

/** Every way out in one bar: copy, save, send, print; the formats open inside. Nothing here uses a network. */
export function WaysOut(props: { report: Report; decimal: DecimalSign; children: JSX.Element }) {
  return (
    <section class="ways no-print" aria-label={t().ways}>
      <Menu title={t().copy}>
        <CopyButtons report={props.report} decimal={props.decimal} />
      </Menu>
      <Menu title={t().save}>
        <SaveButtons report={props.report} decimal={props.decimal} />
      </Menu>
      <Menu title={t().send}>
        <Send report={props.report} decimal={props.decimal} />
      </Menu>
      <button type="button" class="primary" onClick={() => print()}>
        {t().printNow}
      </button>
      <Menu title={t().settings}>{props.children}</Menu>
    </section>
  );
}

/** One of the bar's menus; opening one closes the other. */
function Menu(props: { title: string; children: JSX.Element }) {
  return (
    <details class="menu" name="ways">
      <summary>{props.title}</summary>
      <div class="menu-content">{props.children}</div>
    </details>
  );
}

interface Given {
  readonly report: Report;
  readonly decimal: DecimalSign;
}

const tablesOf = ({ report }: Given) => [report.rates, report.law];

function CopyButtons(props: Given) {
  const desk = useDesk();
  const copies = (): readonly { name: string; copy: () => Promise<Copied> }[] => {
    const tables = tablesOf(props);
    const markdown = tables.map(tableMarkdown).join('\n');
    return [
      { name: t().copyAs.document, copy: () => copyRich(tables.map(tableHtml).join('<br>'), markdown) },
      {
        name: t().copyAs.spreadsheet,
        copy: () => copyText(tables.map((table) => tableTsv(table, props.decimal)).join('\n')),
      },
      { name: t().copyAs.markdown, copy: () => copyText(markdown) },
      { name: t().copyAs.latex, copy: () => copyText(tables.map(tableLatex).join('\n')) },
    ];
  };
  const copyAs = async (name: string, copy: () => Promise<Copied>): Promise<void> =>
    desk.announce((await copy()) === 'copied' ? t().copied(name) : t().notCopied);
  return (
    <div class="row">
      <For each={copies()}>
        {({ name, copy }) => (
          <button type="button" onClick={() => void copyAs(name, copy)}>
            {name}
          </button>
        )}
      </For>
    </div>
  );
}

function SaveButtons(props: Given) {
  const desk = useDesk();
  const state = stateOf(desk);
  const stem = (): string => fileStem(props.report.title);
  const csv = (name: string, content: string): void =>
    saveFile(`${stem()}-${name}.csv`, content, 'text/csv;charset=utf-8');
  const saves = (): readonly { name: string; save: () => void | Promise<void> }[] => [
    { name: t().saveAs.rates, save: () => csv('rates', tableCsv(props.report.rates, props.decimal)) },
    { name: t().saveAs.law, save: () => csv('law', tableCsv(props.report.law, props.decimal)) },
    {
      name: t().saveAs.readings,
      save: () => {
        // Programs read the words of its columns, so they are English whatever the page's language.
        const { analysis, experiment } = analysisOf(state());
        const table = readingsTable(state(), uncertaintiesOf(analysis));
        csv('readings', readingsCsv(state(), table, experiment, props.decimal));
      },
    },
    {
      name: t().saveAs.notebook,
      save: () => {
        saveFile(`${stem()}.json`, notebookToJson(notebookOf(desk)), 'application/json');
        desk.savedAsFile();
      },
    },
    {
      name: t().saveAs.archive,
      save: async () => {
        saveFile(`${stem()}.zip`, await archiveOf(desk.store, notebookOf(desk)), 'application/zip');
        desk.savedAsFile();
      },
    },
  ];
  return (
    <div class="row">
      <For each={saves()}>
        {({ name, save }) => (
          <button type="button" onClick={() => void save()}>
            {name}
          </button>
        )}
      </For>
    </div>
  );
}

function notebookOf(desk: ReturnType<typeof useDesk>) {
  const journal = desk.journal();
  if (!journal) throw new Error('the report needs an open notebook');
  return withoutHoles({ id: journal.id, events: journal.events() });
}

function Send(props: Given) {
  const desk = useDesk();
  const share = async (): Promise<void> => {
    const stem = fileStem(props.report.title);
    const text = tablesOf(props).map(tableMarkdown).join('\n');
    const files = [
      new File(['\ufeff', tableCsv(props.report.rates, props.decimal)], `${stem}-rates.csv`, { type: 'text/csv' }),
      new File([notebookToJson(notebookOf(desk))], `${stem}.json`, { type: 'application/json' }),
    ];
    if ((await shareFiles(props.report.title, text, files)) === 'failed') desk.announce(t().notShared);
  };
  return (
    <div>
      <ResultCode />
      <Show when={canShareFiles()}>
        <button type="button" onClick={() => void share()}>
          {t().share}
        </button>
      </Show>
      <LinkOut />
    </div>
  );
}
