import { type Accessor, For, Index, onMount } from 'solid-js';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';
import { type TypedRow, volumeAfter } from './typed-rows.ts';

/**
 * The cells of a run that is typed: Enter goes to the next cell, after the last volume to a new row, and in an empty last
 * row to `onEnd`.
 */
export function TypedTable(props: {
  rows: Accessor<readonly TypedRow[]>;
  onRows: (rows: readonly TypedRow[]) => void;
  onEnd: () => void;
}) {
  const t = textsOf(texts);
  let table!: HTMLTableElement;
  onMount(() => table.querySelector('input')?.focus());

  const change = (index: number, part: Partial<TypedRow>): void => {
    props.onRows(props.rows().map((row, i) => (i === index ? { ...row, ...part } : row)));
  };
  const focus = (row: number, cell: 0 | 1): void => {
    queueMicrotask(() => table.querySelectorAll<HTMLInputElement>('tbody input')[2 * row + cell]?.focus());
  };
  const onEnter = (event: KeyboardEvent, index: number, cell: keyof TypedRow): void => {
    if (event.key !== 'Enter') return;
    event.preventDefault();
    const rows = props.rows();
    const last = index === rows.length - 1;
    const filled = rows[index];
    if (cell === 'time' && filled?.volume.trim() === '' && filled.time.trim() !== '') focus(index, 1);
    else if (last && filled?.time.trim() === '') props.onEnd();
    else {
      if (last) props.onRows([...rows, { time: '', volume: volumeAfter(rows) }]);
      focus(index + 1, 0);
    }
  };
  const cell = (row: Accessor<TypedRow>, i: number, name: keyof TypedRow) => (
    <td>
      <input
        aria-label={`${t().reading(i + 1)}: ${t()[name]}`}
        inputmode={name === 'time' ? 'text' : 'decimal'}
        autocomplete="off"
        size={name === 'time' ? '9' : '7'}
        value={row()[name]}
        onInput={(event) => change(i, { [name]: event.currentTarget.value })}
        onKeyDown={(event) => onEnter(event, i, name)}
      />
    </td>
  );

  return (
    <table ref={table}>
      <thead>
        <tr>
          <For each={[t().time, t().volume]}>{(heading) => <th scope="col">{heading}</th>}</For>
        </tr>
      </thead>
      <tbody>
        <Index each={props.rows()}>
          {(row, i) => (
            <tr>
              {cell(row, i, 'time')}
              {cell(row, i, 'volume')}
            </tr>
          )}
        </Index>
      </tbody>
    </table>
  );
}
