import { createMemo, createSignal, For } from 'solid-js';
import type { ClassResult, ClassRow } from '../../class/class-result.ts';
import { figureText, roundByUncertainty } from '../../results/round-by-uncertainty.ts';

/** Height of one row, px: as in class.css. */
const rowHeight = 44;
const windowHeight = 484;

/** The groups, one a row. Only the rows in view exist, so that a thousand scroll as lightly as ten. */
export function GroupList(props: { result: ClassResult; names: ReadonlyMap<string, string> }) {
  const [top, setTop] = createSignal(0);
  const rows = (): readonly ClassRow[] => props.result.rows;
  const first = (): number => Math.max(0, Math.floor(top() / rowHeight) - 5);
  const shown = createMemo(() => rows().slice(first(), first() + Math.ceil(windowHeight / rowHeight) + 10));
  const unit = (): string => (props.result.unit === '' ? '' : ` (${props.result.unit})`);
  return (
    <section
      class="group-list"
      tabindex="0"
      aria-label="Groups"
      onScroll={(event) => setTop(event.currentTarget.scrollTop)}
    >
      <table aria-rowcount={rows().length + 1}>
        <thead>
          <tr>
            <th scope="col">group</th>
            <th scope="col" class="number">
              {props.result.quantity}
              {unit()}
            </th>
            <th scope="col" class="number">
              z
            </th>
            <th scope="col">rate law</th>
          </tr>
        </thead>
        <tbody>
          <tr class="spacer" style={{ height: `${first() * rowHeight}px` }} />
          <For each={shown()}>
            {(row, i) => (
              <tr class="group" aria-rowindex={first() + i() + 2} classList={{ 'stands-out': row.standsOut }}>
                <td>
                  {props.names.get(row.entry.id)}
                  {row.entry.invented ? ' (invented)' : ''}
                </td>
                <td class="number">{figureText(roundByUncertainty(row.quantity.value, row.quantity.u))}</td>
                <td class="number">{row.z.toFixed(1).replace('-', '−')}</td>
                <td>
                  {row.entry.law}
                  {row.standsOut ? ' · stands out' : ''}
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
