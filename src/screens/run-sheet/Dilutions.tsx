import { For, Index, Show } from 'solid-js';
import type { Dilution, Plan } from '../../log/plan.ts';
import { written } from '../../planning/pour-check.ts';
import { textsOf } from '../texts.ts';
import { EntryFold, openNewest } from './EntryFold.tsx';
import { NumberField } from './NumberField.tsx';
import type { PlanDraft } from './plan-draft.ts';
import { addDilution, changeDilution, removeSolution, sourcesFor } from './plan-edits.ts';
import { texts } from './texts.ts';

/** How the bottles are thinned: take so much, add water or make up to the mark. */
export function Dilutions(props: { plan: Plan; draft: PlanDraft; strengthOf: (solution: string) => string | null }) {
  const t = textsOf(texts);
  let section!: HTMLElement;
  const change = (id: string, next: (dilution: Dilution) => Dilution): void =>
    props.draft.change((plan) => changeDilution(plan, id, next));
  const sourceOf = ({ from }: Dilution): string =>
    [...props.plan.stocks, ...props.plan.dilutions].find(({ id }) => id === from)?.name ?? from;
  return (
    <section aria-labelledby="dilutions" ref={section}>
      <h2 id="dilutions" tabindex="-1">
        {t().dilutions}
      </h2>
      <Index each={props.plan.dilutions} fallback={<p class="quiet">{t().noDilution}</p>}>
        {(dilution) => (
          <EntryFold
            name={dilution().name}
            brief={[
              `${written(dilution().takeMl)} mL ${t().of} ${sourceOf(dilution())}`,
              ...(props.strengthOf(dilution().id) ? [t().gives(props.strengthOf(dilution().id) ?? '')] : []),
            ].join(', ')}
          >
            <div class="row">
              <label class="broad">
                {t().name}
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
                label={t().take}
                unit="mL"
                positive
                value={dilution().takeMl}
                onCommit={(takeMl = 1) => change(dilution().id, (entry) => ({ ...entry, takeMl }))}
              />
              <label>
                {t().of}
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
                {t().afterThat}
                <select
                  value={dilution().makeUpToMl === undefined ? 'add' : 'make-up'}
                  onChange={(event) => change(dilution().id, event.currentTarget.value === 'add' ? asAdded : asMadeUp)}
                >
                  <option value="add">{t().addWater}</option>
                  <option value="make-up">{t().makeUp}</option>
                </select>
              </label>
              <Show
                when={dilution().makeUpToMl !== undefined}
                fallback={
                  <NumberField
                    label={t().water}
                    unit="mL"
                    positive
                    value={dilution().addWaterMl}
                    onCommit={(addWaterMl = 1) => change(dilution().id, (entry) => ({ ...entry, addWaterMl }))}
                  />
                }
              >
                <NumberField
                  label={t().mark}
                  unit="mL"
                  positive
                  min={dilution().takeMl}
                  value={dilution().makeUpToMl}
                  onCommit={(makeUpToMl = 1) => change(dilution().id, (entry) => ({ ...entry, makeUpToMl }))}
                />
              </Show>
              <NumberField
                label={t().vessel}
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
                aria-label={t().takeOutOf(dilution().name)}
                onClick={() => {
                  props.draft.change((plan) => removeSolution(plan, dilution().id));
                  document.getElementById('dilutions')?.focus();
                }}
              >
                {t().takeOut}
              </button>
            </div>
            <Show when={props.strengthOf(dilution().id)}>
              {(strength) => <p class="computed">{t().gives(strength())}</p>}
            </Show>
          </EntryFold>
        )}
      </Index>
      <button
        type="button"
        disabled={props.plan.stocks.length === 0}
        onClick={() => {
          props.draft.change(addDilution);
          openNewest(section);
        }}
      >
        {t().addDilution}
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
