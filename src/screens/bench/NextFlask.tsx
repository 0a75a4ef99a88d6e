import { createMemo, For, Show } from 'solid-js';
import { nextFlaskOf } from '../../planning/next-flask.ts';
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
        <div class="next-flask">
          <p>Into the flask of run {next().label}, mL. Call each: “poured”, the number, “of”, the name.</p>
          <ul>
            <For each={next().lines}>
              {(line) => (
                <li classList={{ differs: line.differs }}>
                  {line.name} <strong>{line.plannedMl}</strong>
                  <Show when={line.pouredMl}>
                    {(poured) => <span class="poured">{line.differs ? `✗ ${poured()} poured` : '✓ poured'}</span>}
                  </Show>
                </li>
              )}
            </For>
          </ul>
        </div>
      )}
    </Show>
  );
}

export default NextFlask;
