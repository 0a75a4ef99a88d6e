import { For, Show } from 'solid-js';
import type { DecimalSign } from '../../files/csv.ts';
import { heading, localCell } from '../../files/table-text.ts';
import type { Cell, Table } from '../../results/table.ts';
import { pageLanguage } from '../texts.ts';
import { Marked } from './Marked.tsx';
import { ScrollRegion } from './ScrollRegion.tsx';
import './table.css';

/**
 * A table of the results room. A heading beside it names it to the eye, its caption to a screen reader.
 * `rowHeads`: the first column names the rows. `notes`: false leaves the table's notes away.
 */
export function TableView(props: { table: Table; rowHeads?: boolean; notes?: boolean; decimal?: DecimalSign }) {
  const decimal = (): DecimalSign => props.decimal ?? (pageLanguage() === 'de' ? ',' : '.');
  const text = (cell: Cell) => <Marked text={localCell(cell, decimal())} />;
  return (
    <>
      <ScrollRegion label={props.table.title}>
        <table>
          <caption class="for-screen-readers">{props.table.title}</caption>
          <thead>
            <tr>
              <For each={props.table.columns}>
                {(column) => (
                  <th scope="col" classList={{ number: column.kind === 'figure' }}>
                    <Marked text={heading(column)} />
                  </th>
                )}
              </For>
            </tr>
          </thead>
          <tbody>
            <For each={props.table.rows}>
              {(row) => (
                <tr>
                  <For each={row}>
                    {(cell, index) =>
                      props.rowHeads && index() === 0 ? (
                        <th scope="row">{text(cell)}</th>
                      ) : (
                        <td classList={{ number: cell.kind === 'figure' }}>{text(cell)}</td>
                      )
                    }
                  </For>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </ScrollRegion>
      <Show when={props.notes !== false && props.table.notes.length > 0}>
        <ul class="table-notes">
          <For each={props.table.notes}>
            {(note) => (
              <li>
                <Marked text={note} />
              </li>
            )}
          </For>
        </ul>
      </Show>
    </>
  );
}
