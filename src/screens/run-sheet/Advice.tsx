import { For, Show } from 'solid-js';
import type { PlanAdvice } from '../../planning/plan-advice.ts';
import { written } from '../../planning/pour-check.ts';

/** What the plan as a whole can tell, what is wrong with it, and whether it can be paid for. */
export function Advice(props: { advice: PlanAdvice }) {
  return (
    <section aria-labelledby="advice">
      <h2 id="advice">What this plan gives</h2>
      <Show when={props.advice.warnings.length > 0}>
        <div class="caution">
          <h3>Look at this again</h3>
          <ul>
            <For each={props.advice.warnings}>{(sentence) => <li>{sentence}</li>}</For>
          </ul>
        </div>
      </Show>
      <Show when={props.advice.isolates.length > 0}>
        <ul class="isolates">
          <For each={props.advice.isolates}>{(sentence) => <li>{sentence}</li>}</For>
        </ul>
      </Show>
      <Show when={props.advice.courseFrom}>{(words) => <p class="quiet">{words()}</p>}</Show>
      <Show when={props.advice.budget.lines.length > 0}>
        <section class="table-scroll" aria-label="What it takes" tabindex="0">
          <table>
            <caption>What it takes</caption>
            <thead>
              <tr>
                <th scope="col">Solution</th>
                <th scope="col" class="number">
                  needed, mL
                </th>
                <th scope="col" class="number">
                  there is, mL
                </th>
                <th scope="col">enough</th>
              </tr>
            </thead>
            <tbody>
              <For each={props.advice.budget.lines}>
                {(line) => (
                  <tr>
                    <th scope="row">{line.name}</th>
                    <td class="number">{written(line.neededMl)}</td>
                    <td class="number">{line.availableMl === null ? 'not stated' : written(line.availableMl)}</td>
                    <td>{line.availableMl === null ? '' : line.enough ? 'yes' : 'no'}</td>
                  </tr>
                )}
              </For>
            </tbody>
          </table>
        </section>
        <p>{props.advice.budget.repeats}</p>
      </Show>
    </section>
  );
}
