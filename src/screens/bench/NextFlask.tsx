import { createMemo, For, Show } from 'solid-js';
import { daySteps, dueStep, missingConditions, whereInTheDay } from '../../bench/day.ts';
import { callWords, wordsToSay } from '../../language/call-words.ts';
import { nextFlaskOf } from '../../planning/next-flask.ts';
import { ConditionsForm } from '../conditions/ConditionsForm.tsx';
import { useDesk } from '../desk.tsx';
import { Sign } from '../look/Sign.tsx';
import { preferences } from '../preferences/device.ts';
import { stateOf } from '../state-of.ts';
import { local, pageLanguage, textsOf } from '../texts.ts';
import { texts } from './texts.ts';
import './next-flask.css';

/**
 * What is due between runs: the step of the day in the language of the page, with its words to say; what goes into the next flask, large enough to
 * pour by, and before the first run the conditions that are missing.
 */
export function NextFlask() {
  const desk = useDesk();
  const state = stateOf(desk);
  const t = textsOf(texts);
  const words = () => callWords(preferences().language);
  /** As it stands on the page, with the word to say where that is another one. */
  const water = () => (t().water === words().water ? t().water : `${t().water} (${t().spoken(words().water)})`);
  const flask = createMemo(() => nextFlaskOf(state(), water()));
  const place = createMemo(() => whereInTheDay(state(), daySteps(state())));
  /** The flask below says it better. */
  const due = createMemo(() =>
    place().step === 0 || (place().part === 'pour' && flask() !== null)
      ? null
      : local(wordsToSay(dueStep(state(), pageLanguage()), pageLanguage(), preferences().language)),
  );
  const missing = createMemo(() => (state().runs.length === 0 ? missingConditions(state()) : []));
  /** A notebook in which nothing was begun does not ask yet. */
  const asks = () => missing().length > 0 && (state().plan !== null || place().step > 0);
  return (
    <>
      <Show
        when={due()}
        fallback={
          <Show when={place().step === 0 && state().plan}>
            <p class="due">{t().askForSteps(words())}</p>
          </Show>
        }
      >
        {(sentence) => (
          <p class="due">
            <strong>{t().capitalNow}:</strong> {sentence()}
          </p>
        )}
      </Show>
      <Show when={flask()}>
        {(next) => (
          <div class="next-flask">
            <p>{t().intoFlask(next().label, words())}</p>
            <ul>
              <For each={next().lines}>
                {(line) => (
                  <li classList={{ differs: line.differs }}>
                    {line.name} <strong>{local(line.plannedMl)}</strong>
                    <Show when={line.pouredMl}>
                      {(poured) => (
                        <span class="poured">
                          <Sign sign={line.differs ? '✕' : '✓'} />{' '}
                          {line.differs ? t().pouredElse(local(poured())) : t().pouredSo}
                        </span>
                      )}
                    </Show>
                  </li>
                )}
              </For>
            </ul>
          </div>
        )}
      </Show>
      <Show when={asks()}>
        <section class="missing-before" aria-label={t().missing}>
          <ConditionsForm
            state={state()}
            pressure={missing().includes('pressure')}
            temperature={missing().includes('temperature')}
            stocks={[]}
            onSkip={() =>
              void desk.record(...missing().map((condition) => ({ kind: 'condition-skipped', condition }) as const))
            }
          />
        </section>
      </Show>
    </>
  );
}

export default NextFlask;
