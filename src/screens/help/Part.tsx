import { createEffect, createSignal, For, type JSX, Show, Suspense } from 'solid-js';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import type { Found, HelpRow } from './search.ts';

/** A part of Help behind its title. A search opens it where something in it matches and hides it where nothing does. */
export function Part(props: {
  title: string;
  found: Found;
  searching: boolean;
  /** The address names this part: it opens and comes into view. */
  wanted: boolean;
  children: JSX.Element;
}) {
  const [opened, setOpened] = createSignal(false);
  const [made, setMade] = createSignal(false);
  let details!: HTMLDetailsElement;
  const open = () => (props.searching ? props.found.count > 0 : opened());
  createEffect(() => {
    if (open()) setMade(true);
  });
  createEffect(() => {
    if (!props.wanted) return;
    setOpened(true);
    // After the screen is in the page.
    setTimeout(() => {
      details.querySelector('summary')?.focus({ preventScroll: true });
      details.scrollIntoView({ block: 'start' });
    });
  });
  return (
    <details
      ref={details}
      open={open()}
      hidden={props.searching && props.found.count === 0}
      onToggle={() => {
        if (!props.searching) setOpened(details.open);
      }}
    >
      <summary>
        <h2>{props.title}</h2>
      </summary>
      {/* Made when first opened: what the browser can do is not tried before. */}
      <Show when={made()}>
        <div class="part">
          {/* What a part still fetches must not take the whole screen away, and the focus with it. */}
          <Suspense>{props.children}</Suspense>
        </div>
      </Show>
    </details>
  );
}

/** Rows as a table: what is said, heard or pressed, and what it does. */
export function Rows(props: { label: string; heads: readonly [string, string]; or: string; rows: readonly HelpRow[] }) {
  return (
    <ScrollRegion label={props.label}>
      <table>
        <thead>
          <tr>
            <th scope="col">{props.heads[0]}</th>
            <th scope="col">{props.heads[1]}</th>
          </tr>
        </thead>
        <tbody>
          <For each={props.rows}>
            {(row) => (
              <tr>
                <th scope="row">
                  {row.says[0]}
                  <Show when={row.says.length > 1}>
                    {' '}
                    <span class="others">
                      {props.or} {row.says.slice(1).join(', ')}
                    </span>
                  </Show>
                </th>
                <td>{row.does}</td>
              </tr>
            )}
          </For>
        </tbody>
      </table>
    </ScrollRegion>
  );
}
