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
  return (
    <section aria-labelledby="dilutions" ref={section}>
      <h2 id="dilutions" tabindex="-1">
        {t().dilutions}
      </h2>
      <Index each={props.plan.dilutions} fallback={<p class="quiet">{t().noDilution}</p>}>
        {(dilution) => (
          <OneDilution
            plan={props.plan}
            draft={props.draft}
            dilution={dilution()}
            strength={props.strengthOf(dilution().id)}
          />
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

function OneDilution(props: { plan: Plan; draft: PlanDraft; dilution: Dilution; strength: string | null }) {
  const t = textsOf(texts);
  const change = (next: (dilution: Dilution) => Dilution): void =>
    props.draft.change((plan) => changeDilution(plan, props.dilution.id, next));
  const sourceOf = ({ from }: Dilution): string =>
    [...props.plan.stocks, ...props.plan.dilutions].find(({ id }) => id === from)?.name ?? from;
  return (
    <EntryFold
      name={props.dilution.name}
      brief={[
        `${written(props.dilution.takeMl)} mL ${t().of} ${sourceOf(props.dilution)}`,
        ...(props.strength ? [t().gives(props.strength ?? '')] : []),
      ].join(', ')}
    >
      <div class="row">
        <label class="broad">
          {t().name}
          <input
            value={props.dilution.name}
            maxlength="80"
            autocomplete="off"
            onChange={(event) => {
              const name = event.currentTarget.value.trim();
              if (name) change((entry) => ({ ...entry, name }));
            }}
          />
        </label>
        <NumberField
          label={t().take}
          unit="mL"
          positive
          value={props.dilution.takeMl}
          onCommit={(takeMl = 1) => change((entry) => ({ ...entry, takeMl }))}
        />
        <label>
          {t().of}
          <select
            value={props.dilution.from}
            onChange={(event) => {
              const from = event.currentTarget.value;
              change((entry) => ({ ...entry, from }));
            }}
          >
            <For each={sourcesFor(props.plan, props.dilution)}>
              {(source) => (
                <option value={source.id} selected={source.id === props.dilution.from}>
                  {source.name}
                </option>
              )}
            </For>
          </select>
        </label>
        <WaterFields dilution={props.dilution} change={change} />
        <NumberField
          label={t().vessel}
          unit="mL"
          positive
          optional
          value={props.dilution.vesselMl}
          onCommit={(vesselMl) =>
            change(({ vesselMl: _, ...entry }) => (vesselMl === undefined ? entry : { ...entry, vesselMl }))
          }
        />
        <button
          type="button"
          class="take-out"
          aria-label={t().takeOutOf(props.dilution.name)}
          onClick={() => {
            props.draft.change((plan) => removeSolution(plan, props.dilution.id));
            document.getElementById('dilutions')?.focus();
          }}
        >
          {t().takeOut}
        </button>
      </div>
      <Show when={props.strength}>{(strength) => <p class="computed">{t().gives(strength())}</p>}</Show>
    </EntryFold>
  );
}

/** Water is added to it, or it is made up to a mark. */
function WaterFields(props: { dilution: Dilution; change: (next: (dilution: Dilution) => Dilution) => void }) {
  const t = textsOf(texts);
  return (
    <>
      <label class="broad">
        {t().afterThat}
        <select
          value={props.dilution.makeUpToMl === undefined ? 'add' : 'make-up'}
          onChange={(event) => props.change(event.currentTarget.value === 'add' ? asAdded : asMadeUp)}
        >
          <option value="add">{t().addWater}</option>
          <option value="make-up">{t().makeUp}</option>
        </select>
      </label>
      <Show
        when={props.dilution.makeUpToMl !== undefined}
        fallback={
          <NumberField
            label={t().water}
            unit="mL"
            positive
            value={props.dilution.addWaterMl}
            onCommit={(addWaterMl = 1) => props.change((entry) => ({ ...entry, addWaterMl }))}
          />
        }
      >
        <NumberField
          label={t().mark}
          unit="mL"
          positive
          min={props.dilution.takeMl}
          value={props.dilution.makeUpToMl}
          onCommit={(makeUpToMl = 1) => props.change((entry) => ({ ...entry, makeUpToMl }))}
        />
      </Show>
    </>
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
