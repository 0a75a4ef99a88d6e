import { For, Show } from 'solid-js';
import type { Table } from '../../share/table.ts';
import { cellText, heading } from '../../share/table-text.ts';
import { ScrollRegion } from './ScrollRegion.tsx';

/** A table of the share room on this screen: its first column names the rows, its notes stand below. */
export function FigureTable(props: { table: Table; notes?: boolean }) {
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
                      index() === 0 ? (
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
      <Show when={props.notes && props.table.notes.length > 0}>
        <ul class="notes">
          <For each={props.table.notes}>{(note) => <li>{note}</li>}</For>
        </ul>
      </Show>
    </>
  );
}
