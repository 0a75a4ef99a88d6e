import { createMemo, createSignal, For, Show } from 'solid-js';
import { classColumns, type GroupLine, groupLines } from '../../class/class-columns.ts';
import type { ClassResult } from '../../class/class-result.ts';
import { heading, localCell } from '../../files/table-text.ts';
import { Marked } from '../table/Marked.tsx';
import { pageLanguage } from '../texts.ts';
import { classList } from './class-list.ts';
import { classScreenTexts as t } from './texts.ts';

/** Height of one row, px: as in class.css. */
const rowHeight = 44;
const windowHeight = 484;

/** The groups, one a row. Only the rows in view exist, so that a thousand scroll as lightly as ten. */
export function GroupList(props: { result: ClassResult; names: ReadonlyMap<string, string> }) {
  const [top, setTop] = createSignal(0);
  // Of those that are not combined only the ones in the picture; the screen names the others beside it.
  const rows = createMemo((): readonly GroupLine[] => {
    const drawn = new Set([...props.result.rows, ...props.result.beside].map(({ entry }) => entry));
    return groupLines(props.result).filter(({ entry }) => drawn.has(entry));
  });
  const columns = createMemo(() => classColumns(props.result, props.names, 'screen', pageLanguage()));
  const decimal = () => (pageLanguage() === 'de' ? ',' : '.');
  const first = (): number => Math.max(0, Math.floor(top() / rowHeight) - 5);
  const shown = createMemo(() => rows().slice(first(), first() + Math.ceil(windowHeight / rowHeight) + 10));
  return (
    <section
      class="table-scroll group-list"
      tabindex="0"
      aria-label={t().groupsTable}
      onScroll={(event) => setTop(event.currentTarget.scrollTop)}
    >
      <table aria-rowcount={rows().length + 1}>
        <thead>
          <tr>
            <For each={columns()}>
              {(column) => (
                <th scope="col" classList={{ number: column.kind === 'figure' }}>
                  <Marked text={heading(column)} />
                </th>
              )}
            </For>
            <th scope="col">
              <span class="for-screen-readers">{t().takeOutShort}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          <tr class="spacer" style={{ height: `${first() * rowHeight}px` }} />
          <For each={shown()}>
            {(row, i) => (
              <tr
                class="group"
                aria-rowindex={first() + i() + 2}
                classList={{ 'stands-out': row.standing === 'apart' }}
              >
                <For each={columns()}>
                  {({ key, kind, cell }) => (
                    <td classList={{ number: kind === 'figure' }}>
                      <Marked text={localCell(cell(row), decimal())} />
                      <Show when={key === 'group' && row.entry.invented}> ({t().invented})</Show>
                      <Show when={key === 'group' && row.entry.added.length > 0}> ({t().added})</Show>
                    </td>
                  )}
                </For>
                <td>
                  <button
                    type="button"
                    aria-label={t().takeOut(props.names.get(row.entry.id) ?? '')}
                    onClick={() => classList.remove(row.entry.id)}
                  >
                    {t().takeOutShort}
                  </button>
                </td>
              </tr>
            )}
          </For>
          <tr
            class="spacer"
            style={{ height: `${Math.max(0, rows().length - first() - shown().length) * rowHeight}px` }}
          />
        </tbody>
      </table>
    </section>
  );
}
