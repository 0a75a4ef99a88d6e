import { createMemo, For, Show } from 'solid-js';
import type { NotebookState } from '../../notebook/state.ts';
import { nextFlaskOf } from '../../session/next-flask.ts';

/** What goes into the next flask, and what was called of it: large enough to pour by. */
export function NextFlask(props: { state: NotebookState }) {
  const flask = createMemo(() => nextFlaskOf(props.state));
  return (
    <Show when={flask()}>
      {(next) => (
        <table class="next-flask">
          <caption>Into the flask of run {next().label}, mL. Call each: “poured”, the number, “of”, the name</caption>
          <tbody>
            <For each={next().lines}>
              {(line) => (
                <tr classList={{ differs: line.differs }}>
                  <th scope="row">{line.name}</th>
                  <td class="number">{line.plannedMl}</td>
                  <td>
                    {line.pouredMl === null
                      ? ''
                      : line.differs
                        ? `✗ ${line.pouredMl} poured`
                        : `✓ ${line.pouredMl} poured`}
                  </td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      )}
    </Show>
  );
}
