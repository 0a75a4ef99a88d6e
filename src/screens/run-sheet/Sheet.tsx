import { For, Show } from 'solid-js';
import { wordsToSay } from '../../language/call-words.ts';
import type { Plan } from '../../log/plan.ts';
import type { ChecklistSection } from '../../planning/checklist.ts';
import { checklistSentencesFor } from '../../planning/checklist-sentences.ts';
import { nameIn } from '../../planning/names.ts';
import { written } from '../../planning/pour-check.ts';
import { solutionsOf } from '../../planning/reagent-name.ts';
import { solidsInWords } from '../../planning/solid-words.ts';
import { preferences } from '../preferences/device.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** The sheet for the bench: volumes and checklist, made to fill one printed page. Boxes are for a pencil. */
export function Sheet(props: { title: string; plan: Plan; sections: readonly ChecklistSection[] }) {
  const t = textsOf(texts);
  /** Columns in the order in which they are poured: as the runs list them. */
  const used = () => {
    const ids = new Set(
      props.plan.runs.flatMap((run) => run.pours.filter((pour) => pour.volumeMl > 0).map((pour) => pour.solution)),
    );
    const names = new Map(
      solutionsOf(props.plan, nameIn('water', pageLanguage())).map((solution) => [solution.id, solution.name]),
    );
    // The last one poured starts the reaction: it goes last although other runs may list others after it.
    const last = new Set(props.plan.runs.map((run) => run.pours.at(-1)?.solution));
    const ordered = [...[...ids].filter((id) => !last.has(id)), ...[...ids].filter((id) => last.has(id))];
    return ordered.map((id) => ({ id, name: names.get(id) ?? id }));
  };
  const solids = () => props.plan.runs.flatMap((run) => solidsInWords(props.plan, run, pageLanguage()));
  const volumeOf = (run: Plan['runs'][number], solution: string): string => {
    const volume = run.pours.reduce((sum, pour) => sum + (pour.solution === solution ? pour.volumeMl : 0), 0);
    return volume === 0 ? '–' : written(volume);
  };
  return (
    <article class="sheet">
      <header>
        <h2>{props.title || t().title}</h2>
        <p>{checklistSentencesFor(pageLanguage()).deferral}</p>
      </header>
      <Show when={props.plan.runs.length > 0}>
        <section class="table-scroll" aria-label={t().volumes} tabindex="0">
          <table>
            <caption>{t().volumesCaption}</caption>
            <thead>
              <tr>
                <th scope="col">{t().runColumn}</th>
                <For each={used()}>
                  {(solution) => (
                    <th scope="col" class="number">
                      {solution.name}
                    </th>
                  )}
                </For>
                <Show when={solids().length > 0}>
                  <th scope="col">{t().solids}</th>
                </Show>
                <Show when={props.plan.runs.some((run) => run.temperatureC !== undefined)}>
                  <th scope="col" class="number">
                    °C
                  </th>
                </Show>
              </tr>
            </thead>
            <tbody>
              <For each={props.plan.runs}>
                {(run) => (
                  <tr>
                    <th scope="row">{run.label}</th>
                    <For each={used()}>{(solution) => <td class="number">{volumeOf(run, solution.id)}</td>}</For>
                    <Show when={solids().length > 0}>
                      <td>{solidsInWords(props.plan, run, pageLanguage()).join(', ')}</td>
                    </Show>
                    <Show when={props.plan.runs.some((other) => other.temperatureC !== undefined)}>
                      <td class="number">{run.temperatureC ?? ''}</td>
                    </Show>
                  </tr>
                )}
              </For>
            </tbody>
          </table>
        </section>
      </Show>
      <div class="sheet-sections">
        <For each={props.sections}>
          {(section) => (
            <section>
              <h3>{section.title}</h3>
              <ul>
                <For each={section.steps}>
                  {(step) => (
                    <li>
                      {wordsToSay(step.text, pageLanguage(), preferences().language)}
                      <Show when={step.caution}>
                        {(caution) => <strong class="hazard">{t().hazard(caution())}</strong>}
                      </Show>
                    </li>
                  )}
                </For>
              </ul>
            </section>
          )}
        </For>
      </div>
    </article>
  );
}
