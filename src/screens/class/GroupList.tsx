import { createMemo, createSignal, For, Show } from 'solid-js';
import type { ClassResult, ClassRow } from '../../class/class-result.ts';
import { classTexts, differenceText } from '../../class/class-texts.ts';

import { figureText, roundByUncertainty } from '../../results/round-by-uncertainty.ts';
import { Marked } from '../table/Marked.tsx';
import { local, pageLanguage } from '../texts.ts';

import { classList } from './class-list.ts';
import { classScreenTexts as t } from './texts.ts';

/** Height of one row, px: as in class.css. */
const rowHeight = 44;
const windowHeight = 484;

/** The groups, one a row. Only the rows in view exist, so that a thousand scroll as lightly as ten. */
export function GroupList(props: { result: ClassResult; names: ReadonlyMap<string, string> }) {
  const [top, setTop] = createSignal(0);
  const rows = createMemo((): readonly ClassRow[] => [...props.result.rows, ...props.result.beside]);
  const first = (): number => Math.max(0, Math.floor(top() / rowHeight) - 5);
  const shown = createMemo(() => rows().slice(first(), first() + Math.ceil(windowHeight / rowHeight) + 10));
  const unit = (): string => (props.result.unit === '' ? '' : ` (${props.result.unit})`);
  const texts = () => classTexts[pageLanguage()];
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
            <th scope="col">{texts().columns.group}</th>
            <th scope="col" class="number">
              <Marked text={`${texts().quantity(props.result.quantity)}${unit()}`} />
            </th>
            <th scope="col">{texts().columns.law}</th>
            <th scope="col">{texts().columns.differences}</th>
            <th scope="col">
              <span class="for-screen-readers">{t().takeOutShort}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          <tr class="spacer" style={{ height: `${first() * rowHeight}px` }} />
          <For each={shown()}>
            {(row, i) => (
              <tr class="group" aria-rowindex={first() + i() + 2} classList={{ 'stands-out': row.standsOut }}>
                <td>
                  {props.names.get(row.entry.id)}
                  <Show when={row.entry.invented}> ({t().invented})</Show>
                  <Show when={row.entry.added.length > 0}> ({t().added})</Show>
                </td>
                <td class="number">{local(figureText(roundByUncertainty(row.quantity.value, row.quantity.u)))}</td>
                <td>
                  <Marked text={texts().law(row.entry.law)} />
                </td>
                <td>
                  {row.standsOut
                    ? [
                        texts().standings.apart,
                        ...row.differences.map((one) => differenceText(one, pageLanguage())),
                      ].join('; ')
                    : ''}
                </td>
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
