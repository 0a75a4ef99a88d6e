import { For, type JSX } from 'solid-js';
import type { ClassEntry } from '../../class/class-entry.ts';
import { classCsv, classJson, gradebookCsv } from '../../class/class-files.ts';
import type { ClassResult } from '../../class/class-result.ts';
import { classTable, pooledTable } from '../../class/class-tables.ts';
import { tableHtml, tableMarkdown, tableTsv } from '../../files/table-text.ts';
import { useDesk } from '../desk.tsx';
import { type Copied, copyRich, copyText } from '../report/clipboard.ts';
import { saveFile } from '../report/save-file.ts';
import { pageLanguage } from '../texts.ts';
import { classList } from './class-list.ts';
import { classScreenTexts as t } from './texts.ts';

/** The class out by copy, file and paper. With numbers in place of names, no name is in any of it. */
export function ClassWays(props: {
  entries: readonly ClassEntry[];
  result: ClassResult;
  names: ReadonlyMap<string, string>;
}) {
  const desk = useDesk();
  const decimal = () => (pageLanguage() === 'de' ? ',' : '.');
  const tables = () => [
    classTable(props.result, props.names, pageLanguage()),
    pooledTable(props.result, pageLanguage()),
  ];
  const say = (done: Copied): void => desk.announce(done === 'copied' ? t().copied : t().notCopied);
  const copies = (): readonly Way[] => [
    {
      name: t().copyAs.document,
      act: async () =>
        say(await copyRich(tables().map(tableHtml).join('<br>'), tables().map(tableMarkdown).join('\n'))),
    },
    {
      name: t().copyAs.spreadsheet,
      act: async () =>
        say(
          await copyText(
            tables()
              .map((table) => tableTsv(table, decimal()))
              .join('\n'),
          ),
        ),
    },
  ];
  const csv = (name: string, content: string): void => saveFile(name, content, 'text/csv;charset=utf-8');
  const saves = (): readonly Way[] => [
    { name: t().saveAs.csv, act: () => csv('class.csv', classCsv(props.entries, props.names, decimal())) },
    {
      name: t().saveAs.gradebook,
      act: () => csv('class-grades.csv', gradebookCsv(props.entries, props.names, classList.anonymous(), decimal())),
    },
    {
      name: t().saveAs.json,
      act: () =>
        saveFile('class.json', classJson(props.entries, props.names, classList.anonymous()), 'application/json'),
    },
  ];
  return (
    <section class="ways no-print" aria-label={t().ways}>
      <Menu title={t().copy} ways={copies()} />
      <Menu title={t().save} ways={saves()} />
      <button type="button" onClick={() => print()}>
        {t().print}
      </button>
    </section>
  );
}

interface Way {
  readonly name: string;
  readonly act: () => void | Promise<void>;
}

function Menu(props: { title: string; ways: readonly Way[] }): JSX.Element {
  return (
    <details class="menu" name="class-ways">
      <summary>{props.title}</summary>
      <div class="row menu-content">
        <For each={props.ways}>
          {({ name, act }) => (
            <button type="button" onClick={() => void act()}>
              {name}
            </button>
          )}
        </For>
      </div>
    </details>
  );
}
