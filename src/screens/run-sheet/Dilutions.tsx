import { For, Index, Show } from 'solid-js';
import type { Dilution, Plan } from '../../log/plan.ts';
import { NumberField } from './NumberField.tsx';
import type { PlanDraft } from './plan-draft.ts';
import { addDilution, changeDilution, removeSolution, sourcesFor } from './plan-edits.ts';

/** How the bottles are thinned: take so much, add water or make up to the mark. */
export function Dilutions(props: { plan: Plan; draft: PlanDraft; strengthOf: (solution: string) => string | null }) {
  const change = (id: string, next: (dilution: Dilution) => Dilution): void =>
    props.draft.change((plan) => changeDilution(plan, id, next));
  return (
    <section aria-labelledby="dilutions">
      <h2 id="dilutions" tabindex="-1">
        Dilutions
      </h2>
      <Index each={props.plan.dilutions} fallback={<p class="quiet">None: the bottles are used as they are.</p>}>
        {(dilution) => (
          <fieldset class="entry">
            <legend>{dilution().name}</legend>
            <div class="row">
              <label class="broad">
                Name, as you will call it
                <input
                  value={dilution().name}
                  maxlength="80"
                  autocomplete="off"
                  onChange={(event) => {
                    const name = event.currentTarget.value.trim();
                    if (name) change(dilution().id, (entry) => ({ ...entry, name }));
                  }}
                />
              </label>
              <NumberField
                label="Take"
                unit="mL"
                positive
                value={dilution().takeMl}
                onCommit={(takeMl = 1) => change(dilution().id, (entry) => ({ ...entry, takeMl }))}
              />
              <label>
                of
                <select
                  value={dilution().from}
                  onChange={(event) => {
                    const from = event.currentTarget.value;
                    change(dilution().id, (entry) => ({ ...entry, from }));
                  }}
                >
                  <For each={sourcesFor(props.plan, dilution())}>
                    {(source) => (
                      <option value={source.id} selected={source.id === dilution().from}>
                        {source.name}
                      </option>
                    )}
                  </For>
                </select>
              </label>
              <label class="broad">
                then
                <select
                  value={dilution().makeUpToMl === undefined ? 'add' : 'make-up'}
                  onChange={(event) => change(dilution().id, event.currentTarget.value === 'add' ? asAdded : asMadeUp)}
                >
                  <option value="add">add water</option>
                  <option value="make-up">make up with water to</option>
                </select>
              </label>
              <Show
                when={dilution().makeUpToMl !== undefined}
                fallback={
                  <NumberField
                    label="Water"
                    unit="mL"
                    positive
                    value={dilution().addWaterMl}
                    onCommit={(addWaterMl = 1) => change(dilution().id, (entry) => ({ ...entry, addWaterMl }))}
                  />
                }
              >
                <NumberField
                  label="Mark"
                  unit="mL"
                  positive
                  min={dilution().takeMl}
                  value={dilution().makeUpToMl}
                  onCommit={(makeUpToMl = 1) => change(dilution().id, (entry) => ({ ...entry, makeUpToMl }))}
                />
              </Show>
              <NumberField
                label="Measured with a vessel of"
                unit="mL"
                positive
                optional
                value={dilution().vesselMl}
                onCommit={(vesselMl) =>
                  change(dilution().id, ({ vesselMl: _, ...entry }) =>
                    vesselMl === undefined ? entry : { ...entry, vesselMl },
                  )
                }
              />
              <button
                type="button"
                class="take-out"
                aria-label={`Take out ${dilution().name}`}
                onClick={() => {
                  props.draft.change((plan) => removeSolution(plan, dilution().id));
                  document.getElementById('dilutions')?.focus();
                }}
              >
                Take out
              </button>
            </div>
            <Show when={props.strengthOf(dilution().id)}>
              {(strength) => <p class="computed">gives {strength()}</p>}
            </Show>
          </fieldset>
        )}
      </Index>
      <button type="button" disabled={props.plan.stocks.length === 0} onClick={() => props.draft.change(addDilution)}>
        Add a dilution
      </button>
    </section>
  );
}

const asAdded = ({ makeUpToMl = 100, ...entry }: Dilution): Dilution => ({
  ...entry,
  addWaterMl: Math.max(makeUpToMl - entry.takeMl, 1),
});
const asMadeUp = ({ addWaterMl = 50, ...entry }: Dilution): Dilution => ({
  ...entry,
  makeUpToMl: entry.takeMl + addWaterMl,
});
