import { For, Index, Show } from 'solid-js';
import type { Plan, Stock, StrengthUnit } from '../../log/plan.ts';
import { oddStrength } from '../../planning/plan-limits.ts';
import { NumberField } from './NumberField.tsx';
import type { PlanDraft } from './plan-draft.ts';
import { addStock, changeStock, removeSolution } from './plan-edits.ts';

const units: readonly { readonly unit: StrengthUnit; readonly words: string }[] = [
  { unit: 'mol/L', words: 'mol/L' },
  { unit: '%w/v', words: '% (g in 100 mL)' },
  { unit: '%w/w', words: '% (g in 100 g)' },
  { unit: 'g/L', words: 'g/L' },
  { unit: 'vol-stp', words: 'volumes, at 0 °C (22.4 L/mol)' },
  { unit: 'vol-room', words: 'volumes, at room temperature (24 L/mol)' },
  { unit: 'M-unknown', words: 'not known' },
];

/** What is in the bottles, as their labels say it. */
export function Bottles(props: { plan: Plan; draft: PlanDraft; species: readonly { key: string; name: string }[] }) {
  const change = (stock: Stock, next: Partial<Stock>): void =>
    props.draft.change((plan) => changeStock(plan, stock.id, next));
  return (
    <section aria-labelledby="bottles">
      <h2 id="bottles" tabindex="-1">
        In the bottles
      </h2>
      <Index each={props.plan.stocks} fallback={<p class="quiet">No bottle yet.</p>}>
        {(stock) => (
          <fieldset class="entry">
            <legend>{stock().name}</legend>
            <div class="row">
              <label class="broad">
                Name, as you will call it
                <input
                  value={stock().name}
                  maxlength="80"
                  autocomplete="off"
                  onChange={(event) => change(stock(), { name: event.currentTarget.value.trim() || stock().species })}
                />
              </label>
              <label class="broad">
                Contains
                <select onChange={(event) => change(stock(), { species: event.currentTarget.value })}>
                  <For each={props.species}>
                    {({ key, name }) => (
                      <option value={key} selected={key === stock().species}>
                        {name}
                      </option>
                    )}
                  </For>
                </select>
              </label>
              <NumberField
                label="Strength on the label"
                value={stock().strength.value}
                refuse={(value) => impossible({ ...stock().strength, value })}
                onCommit={(value = 0) => change(stock(), { strength: { ...stock().strength, value } })}
              />
              <label class="broad">
                Unit
                <select
                  onChange={(event) => {
                    const unit = units.find((entry) => entry.unit === event.currentTarget.value)?.unit;
                    if (unit) change(stock(), { strength: { ...stock().strength, unit } });
                  }}
                >
                  <For each={units}>
                    {({ unit, words }) => (
                      <option value={unit} selected={unit === stock().strength.unit}>
                        {words}
                      </option>
                    )}
                  </For>
                </select>
              </label>
              <Show when={stock().strength.unit === '%w/w'}>
                <NumberField
                  label="Density"
                  unit="g/mL"
                  positive
                  max={5}
                  optional
                  value={stock().strength.densityGPerMl}
                  onCommit={(density) => {
                    const { densityGPerMl: _, ...rest } = stock().strength;
                    change(stock(), { strength: density === undefined ? rest : { ...rest, densityGPerMl: density } });
                  }}
                />
              </Show>
              <NumberField
                label="Label may be off by"
                unit="%"
                max={100}
                optional
                value={percentOf(stock().strength.uRelative)}
                onCommit={(percent) => {
                  const { uRelative: _, ...rest } = stock().strength;
                  change(stock(), { strength: percent === undefined ? rest : { ...rest, uRelative: percent / 100 } });
                }}
              />
              <NumberField
                label="There is"
                unit="mL"
                optional
                value={stock().availableMl}
                onCommit={(availableMl) =>
                  props.draft.change((plan) => ({
                    ...plan,
                    stocks: plan.stocks.map((entry) => {
                      if (entry.id !== stock().id) return entry;
                      const { availableMl: _, ...rest } = entry;
                      return availableMl === undefined ? rest : { ...rest, availableMl };
                    }),
                  }))
                }
              />
              <button
                type="button"
                class="take-out"
                aria-label={`Take out ${stock().name}`}
                onClick={() => {
                  props.draft.change((plan) => removeSolution(plan, stock().id));
                  document.getElementById('bottles')?.focus();
                }}
              >
                Take out
              </button>
            </div>
            <Show when={oddStrength(stock().strength)}>
              {(odd) => (
                <p class="odd" classList={{ 'field-wrong': odd().impossible }} role="status">
                  {odd().sentence}
                </p>
              )}
            </Show>
          </fieldset>
        )}
      </Index>
      <button type="button" onClick={() => props.draft.change((plan) => addStock(plan, props.species[0]?.key ?? 'A'))}>
        Add a bottle
      </button>
    </section>
  );
}

const impossible = (strength: Stock['strength']): string | null => {
  const odd = oddStrength(strength);
  return odd?.impossible ? odd.sentence : null;
};

const percentOf = (part: number | undefined): number | undefined =>
  part === undefined ? undefined : Number((part * 100).toPrecision(6));
