import { For, Show } from 'solid-js';
import type { Table } from '../../share/table.ts';
import { cellText, heading } from '../../share/table-text.ts';
import { ScrollRegion } from '../rates/ScrollRegion.tsx';

/** A table with its notes. `plain` leaves the caption to a heading beside it. */
export function TableView(props: { table: Table; caption?: boolean }) {
  return (
    <>
      <ScrollRegion label={props.table.title}>
        <table>
          <caption classList={{ 'for-screen-readers': !props.caption }}>{props.table.title}</caption>
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
                    {(cell) => <td classList={{ number: cell.kind === 'figure' }}>{cellText(cell)}</td>}
                  </For>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </ScrollRegion>
      <Show when={props.table.notes.length > 0}>
        <ul class="table-notes">
          <For each={props.table.notes}>{(note) => <li>{note}</li>}</For>
        </ul>
      </Show>
    </>
  );
}
