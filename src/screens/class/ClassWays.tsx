import { tableCsv, tableHtml, tableMarkdown, tableTsv } from '../../files/table-text.ts';
import type { Table } from '../../results/table.ts';
import { useDesk } from '../desk.tsx';
import { type Copied, copyRich, copyText } from '../report/clipboard.ts';
import { saveFile } from '../report/save-file.ts';

/** The class as a table, out by copy and by file. With numbers in place of names, no name is in any of it. */
export function ClassWays(props: { table: Table; pooled: Table }) {
  const desk = useDesk();
  const both = (): readonly Table[] => [props.pooled, props.table];
  const say = (done: Copied): void =>
    desk.announce(done === 'copied' ? 'The class is copied.' : 'The browser did not allow copying. Save it instead.');
  return (
    <div class="row no-print">
      <button
        type="button"
        onClick={async () =>
          say(await copyRich(both().map(tableHtml).join('<br>'), both().map(tableMarkdown).join('\n')))
        }
      >
        Copy for a document
      </button>
      <button
        type="button"
        onClick={async () =>
          say(
            await copyText(
              both()
                .map((table) => tableTsv(table))
                .join('\n'),
            ),
          )
        }
      >
        Copy for a spreadsheet
      </button>
      <button type="button" onClick={() => saveFile('class.csv', tableCsv(props.table), 'text/csv;charset=utf-8')}>
        Save the groups (CSV)
      </button>
    </div>
  );
}
