import { For, Index, Show } from 'solid-js';
import type { PageLanguage } from '../../language/page-language.ts';
import type { Plan, Stock, StrengthUnit } from '../../log/plan.ts';
import { oddStrength } from '../../planning/plan-limits.ts';
import { implausible } from '../../planning/plausible-input.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { EntryFold, openNewest } from './EntryFold.tsx';
import { NumberField } from './NumberField.tsx';
import type { PlanDraft } from './plan-draft.ts';
import { addStock, changeStock, removeSolution } from './plan-edits.ts';
import { texts } from './texts.ts';

const units = Object.keys(texts.en.units) as readonly StrengthUnit[];

/** What is in the bottles, as their labels say it. */
export function Bottles(props: { plan: Plan; draft: PlanDraft; species: readonly { key: string; name: string }[] }) {
  const t = textsOf(texts);
  let section!: HTMLElement;
  const change = (stock: Stock, next: Partial<Stock>): void =>
    props.draft.change((plan) => changeStock(plan, stock.id, next));
  return (
    <section aria-labelledby="bottles" ref={section}>
      <h2 id="bottles" tabindex="-1">
        {t().inBottles}
      </h2>
      <Index each={props.plan.stocks} fallback={<p class="quiet">{t().noBottle}</p>}>
        {(stock) => (
          <EntryFold name={stock().name} brief={briefOf(stock(), t())}>
            <div class="row">
              <label class="broad">
                {t().name}
                <input
                  value={stock().name}
                  maxlength="80"
                  autocomplete="off"
                  onChange={(event) => change(stock(), { name: event.currentTarget.value.trim() || stock().species })}
                />
              </label>
              <label class="broad">
                {t().contains}
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
                label={t().strength}
                value={stock().strength.value}
                refuse={(value) => impossible({ ...stock().strength, value }, pageLanguage())}
                onCommit={(value = 0) => change(stock(), { strength: { ...stock().strength, value } })}
              />
              <label class="broad">
                {t().unit}
                <select
                  onChange={(event) => {
                    const unit = units.find((entry) => entry === event.currentTarget.value);
                    if (unit) change(stock(), { strength: { ...stock().strength, unit } });
                  }}
                >
                  <For each={units}>
                    {(unit) => (
                      <option value={unit} selected={unit === stock().strength.unit}>
                        {t().units[unit]}
                      </option>
                    )}
                  </For>
                </select>
              </label>
              <Show when={stock().strength.unit === '%w/w'}>
                <NumberField
                  label={t().density}
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
                label={t().tolerance}
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
                label={t().available}
                unit="mL"
                optional
                refuse={(ml) => (ml === 0 ? null : implausible('solutionMl', ml, pageLanguage()))}
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
                aria-label={t().takeOutOf(stock().name)}
                onClick={() => {
                  props.draft.change((plan) => removeSolution(plan, stock().id));
                  document.getElementById('bottles')?.focus();
                }}
              >
                {t().takeOut}
              </button>
            </div>
            <Show when={oddStrength(stock().strength, pageLanguage())}>
              {(odd) => (
                <p class="odd" classList={{ 'field-wrong': odd().impossible }} role="status">
                  {odd().sentence}
                </p>
              )}
            </Show>
          </EntryFold>
        )}
      </Index>
      <button
        type="button"
        onClick={() => {
          props.draft.change((plan) => addStock(plan, props.species[0]?.key ?? 'A'));
          openNewest(section);
        }}
      >
        {t().addBottle}
      </button>
    </section>
  );
}

/** "3 % (g in 100 mL), 100 mL". */
const briefOf = ({ strength: { value, unit }, availableMl }: Stock, t: typeof texts.en): string =>
  [
    unit === 'M-unknown' ? t.units[unit] : `${value} ${t.units[unit]}`,
    ...(availableMl === undefined ? [] : [`${availableMl} mL`]),
  ].join(', ');

const impossible = (strength: Stock['strength'], language: PageLanguage): string | null => {
  const odd = oddStrength(strength, language);
  return odd?.impossible ? odd.sentence : null;
};

const percentOf = (part: number | undefined): number | undefined =>
  part === undefined ? undefined : Number((part * 100).toPrecision(6));
