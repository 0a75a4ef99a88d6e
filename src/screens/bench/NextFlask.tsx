import { createMemo, For, Show } from 'solid-js';
import { nextFlaskOf } from '../../session/next-flask.ts';
import { useDesk } from '../desk.tsx';
import { stateOf } from '../state-of.ts';
import './next-flask.css';

/** What goes into the next flask, and what was called of it: large enough to pour by. */
export function NextFlask() {
  const state = stateOf(useDesk());
  const flask = createMemo(() => nextFlaskOf(state()));
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

export default NextFlask;
