import { createMemo, createSignal, For, Show } from 'solid-js';
import { type CallDelay, timingInWords } from '../../rehearsal/call-timing.ts';
import { practiceOf } from '../../rehearsal/practice-kind.ts';
import { rehearsedTiming } from '../../rehearsal/rehearsal.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import type { Practice } from './current.ts';

/** How early or late the calls of this rehearsal were, and where to carry that. */
export function Result(props: { practice: Practice }) {
  const desk = useDesk();
  const timing = createMemo(() => {
    const state = desk.state();
    return state && rehearsedTiming(props.practice, state);
  });
  const others = () => desk.notebooks().filter((entry) => practiceOf(entry) === null);
  const [chosen, setChosen] = createSignal(props.practice.cameFrom);
  const target = () => (others().find(({ id }) => id === chosen()) ?? others()[0])?.id;

  const carry = async (): Promise<void> => {
    const result = timing();
    const to = others().find((entry) => entry.id === target());
    if (!result || !to) return;
    await desk.open(to.id);
    const state = desk.state();
    if (desk.journal()?.id !== to.id || !state) return;
    const setup = {
      ...state.setup,
      uCallMs: Math.max(1, Math.round(result.spreadMs)),
      callDelayMs: Math.round(result.meanMs),
    };
    await desk.record({ kind: 'set-up', setup });
    desk.announce(`Kept in ${to.title}`);
    location.hash = hrefOf('bench');
  };

  return (
    <section aria-labelledby="how-called">
      <h2 id="how-called">How {props.practice.caller === 'self' ? 'the simulated caller' : 'you'} called</h2>
      <Show
        when={timing()}
        fallback={
          <p>
            Fewer than three calls count so far: that says nothing yet.{' '}
            <a href={hrefOf('bench')}>Back to the simulated reaction</a>
          </p>
        }
      >
        {(result) => (
          <>
            <For each={timingInWords(result())}>{(sentence) => <p>{sentence}</p>}</For>
            <section class="table-scroll" aria-label="Every call" tabindex="0">
              <table>
                <caption>Every call against the moment at which the drawn water passed its mark</caption>
                <thead>
                  <tr>
                    <th scope="col" class="number">
                      Called, mL
                    </th>
                    <th scope="col" class="number">
                      After the mark, ms
                    </th>
                    <th scope="col">Remark</th>
                  </tr>
                </thead>
                <tbody>
                  <For each={result().delays}>
                    {(delay) => (
                      <tr>
                        <td class="number">{delay.markMl}</td>
                        <td class="number">{delayText(delay)}</td>
                        <td>{delay.leftOut ? `left out: ${delay.leftOut}` : ''}</td>
                      </tr>
                    )}
                  </For>
                </tbody>
              </table>
            </section>
            <Show when={props.practice.caller === 'person' && others().length > 0}>
              <div class="row">
                <label>
                  Use this spread as the timing uncertainty of
                  <select onChange={(event) => setChosen(event.currentTarget.value)}>
                    <For each={others()}>
                      {(entry) => (
                        <option value={entry.id} selected={entry.id === target()}>
                          {entry.title}
                        </option>
                      )}
                    </For>
                  </select>
                </label>
                <button type="button" class="primary" onClick={() => void carry()}>
                  Use {Math.round(result().spreadMs)} ms there
                </button>
              </div>
            </Show>
          </>
        )}
      </Show>
    </section>
  );
}

const delayText = ({ delayMs, leftOut }: CallDelay): string =>
  leftOut?.includes('never') ? '–' : `${delayMs < 0 ? '−' : '+'}${Math.abs(Math.round(delayMs))}`;
