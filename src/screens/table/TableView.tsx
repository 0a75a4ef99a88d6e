import { For, Show } from 'solid-js';
import { cellText, heading } from '../../files/table-text.ts';
import type { Table } from '../../results/table.ts';
import { ScrollRegion } from './ScrollRegion.tsx';
import './table.css';

/**
 * A table of the share room. A heading beside it names it to the eye, its caption to a screen reader.
 * `rowHeads`: the first column names the rows. `notes`: false leaves the table's notes away.
 */
export function TableView(props: { table: Table; rowHeads?: boolean; notes?: boolean }) {
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
                    {heading(column)}
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
                        <th scope="row">{cellText(cell)}</th>
                      ) : (
                        <td classList={{ number: cell.kind === 'figure' }}>{cellText(cell)}</td>
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
          <For each={props.table.notes}>{(note) => <li>{note}</li>}</For>
        </ul>
      </Show>
    </>
  );
}
