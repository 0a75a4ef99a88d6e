import { For, Show } from 'solid-js';
import type { PlanAdvice } from '../../planning/plan-advice.ts';
import { written } from '../../planning/pour-check.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** What is wrong with the plan, always in sight; what it can tell and whether it can be paid for, on request. */
export function Advice(props: { advice: PlanAdvice }) {
  const t = textsOf(texts);
  // Beside the runs there is room for all of it.
  const wide = matchMedia('(min-width: 75rem)').matches;
  return (
    <section aria-label={t().whatItGives}>
      <Show when={props.advice.warnings.length > 0}>
        <section class="caution" aria-label={t().lookAgain}>
          <ul>
            <For each={props.advice.warnings}>{(sentence) => <li>{sentence}</li>}</For>
          </ul>
        </section>
      </Show>
      <details open={wide}>
        <summary>{t().whatItGives}</summary>
        <ul class="isolates">
          <For each={props.advice.isolates}>{(sentence) => <li>{sentence}</li>}</For>
        </ul>
        <Show when={props.advice.budget.lines.length > 0}>
          <Needs advice={props.advice} />
        </Show>
        <Show when={props.advice.courseFrom}>{(words) => <p class="quiet">{words()}</p>}</Show>
      </details>
    </section>
  );
}

function Needs(props: { advice: PlanAdvice }) {
  const t = textsOf(texts);
  return (
    <>
      <section class="table-scroll" aria-label={t().whatItTakes} tabindex="0">
        <table>
          <caption>{t().whatItTakes}</caption>
          <thead>
            <tr>
              <th scope="col">{t().solution}</th>
              <th scope="col" class="number">
                {t().needed}
              </th>
              <th scope="col" class="number">
                {t().thereIs}
              </th>
              <th scope="col">{t().enough}</th>
            </tr>
          </thead>
          <tbody>
            <For each={props.advice.budget.lines}>
              {(line) => (
                <tr>
                  <th scope="row">{line.name}</th>
                  <td class="number">{written(line.neededMl)}</td>
                  <td class="number">{line.availableMl === null ? t().notStated : written(line.availableMl)}</td>
                  <td>{line.availableMl === null ? '' : line.enough ? t().yes : t().no}</td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </section>
      <p>{props.advice.budget.repeats}</p>
    </>
  );
}
