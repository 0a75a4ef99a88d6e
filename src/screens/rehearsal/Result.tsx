import { createMemo, createSignal, For, Show } from 'solid-js';
import { type CallDelay, timingInWords } from '../../rehearsal/call-timing.ts';
import { practiceOf } from '../../rehearsal/practice-kind.ts';
import { rehearsedTiming } from '../../rehearsal/rehearsal.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import type { Practice } from './current.ts';
import { texts } from './texts.ts';

/** How early or late the calls of this rehearsal were, and where to carry that. */
export function Result(props: { practice: Practice }) {
  const t = textsOf(texts);
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
    desk.announce(t().kept(to.title));
    location.hash = hrefOf('bench');
  };

  return (
    <section aria-labelledby="how-called">
      <h2 id="how-called">{props.practice.caller === 'self' ? t().theyCalled : t().youCalled}</h2>
      <Show
        when={timing()}
        fallback={
          <p>
            {t().tooFew} <a href={hrefOf('bench')}>{t().back}</a>
          </p>
        }
      >
        {(result) => (
          <>
            <For each={timingInWords(result(), pageLanguage())}>{(sentence) => <p>{sentence}</p>}</For>
            <section class="table-scroll" aria-label={t().everyCall} tabindex="0">
              <table>
                <caption>{t().caption}</caption>
                <thead>
                  <tr>
                    <th scope="col" class="number">
                      {t().called}
                    </th>
                    <th scope="col" class="number">
                      {t().after}
                    </th>
                    <th scope="col">{t().remark}</th>
                  </tr>
                </thead>
                <tbody>
                  <For each={result().delays}>
                    {(delay) => (
                      <tr>
                        <td class="number">{delay.markMl}</td>
                        <td class="number">{delayText(delay)}</td>
                        <td>{delay.leftOut ? t().leftOut[delay.leftOut] : ''}</td>
                      </tr>
                    )}
                  </For>
                </tbody>
              </table>
            </section>
            <Show when={props.practice.caller === 'person' && others().length > 0}>
              <div class="row">
                <label>
                  {t().useFor}
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
                  {t().use(Math.round(result().spreadMs))}
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
  leftOut === 'never-reached' ? '–' : `${delayMs < 0 ? '−' : '+'}${Math.abs(Math.round(delayMs))}`;
