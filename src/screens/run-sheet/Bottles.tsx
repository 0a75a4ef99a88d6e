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

interface Named {
  readonly key: string;
  readonly name: string;
}

const units = Object.keys(texts.en.units) as readonly StrengthUnit[];

/** What is in the bottles, as their labels say it. */
export function Bottles(props: { plan: Plan; draft: PlanDraft; species: readonly Named[] }) {
  const t = textsOf(texts);
  let section!: HTMLElement;
  return (
    <section aria-labelledby="bottles" ref={section}>
      <h2 id="bottles" tabindex="-1">
        {t().inBottles}
      </h2>
      <Index each={props.plan.stocks} fallback={<p class="quiet">{t().noBottle}</p>}>
        {(stock) => <Bottle stock={stock()} draft={props.draft} species={props.species} />}
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

function Bottle(props: { stock: Stock; draft: PlanDraft; species: readonly Named[] }) {
  const t = textsOf(texts);
  const change = (next: Partial<Stock>): void => props.draft.change((plan) => changeStock(plan, props.stock.id, next));
  return (
    <EntryFold name={props.stock.name} brief={briefOf(props.stock, t())}>
      <div class="row">
        <label class="broad">
          {t().name}
          <input
            value={props.stock.name}
            maxlength="80"
            autocomplete="off"
            onChange={(event) => change({ name: event.currentTarget.value.trim() || props.stock.species })}
          />
        </label>
        <label class="broad">
          {t().contains}
          <select onChange={(event) => change({ species: event.currentTarget.value })}>
            <For each={props.species}>
              {({ key, name }) => (
                <option value={key} selected={key === props.stock.species}>
                  {name}
                </option>
              )}
            </For>
          </select>
        </label>
        <StrengthFields strength={props.stock.strength} onChange={(strength) => change({ strength })} />
        <NumberField
          label={t().available}
          unit="mL"
          optional
          refuse={(ml) => (ml === 0 ? null : implausible('solutionMl', ml, pageLanguage()))}
          value={props.stock.availableMl}
          onCommit={(availableMl) => props.draft.change((plan) => withAvailable(plan, props.stock.id, availableMl))}
        />
        <button
          type="button"
          class="take-out"
          aria-label={t().takeOutOf(props.stock.name)}
          onClick={() => {
            props.draft.change((plan) => removeSolution(plan, props.stock.id));
            document.getElementById('bottles')?.focus();
          }}
        >
          {t().takeOut}
        </button>
      </div>
      <Show when={oddStrength(props.stock.strength, pageLanguage())}>
        {(odd) => (
          <p class="odd" classList={{ 'field-wrong': odd().impossible }} role="status">
            {odd().sentence}
          </p>
        )}
      </Show>
    </EntryFold>
  );
}

/** Its strength as the label says it, with the density where the unit needs it, and how far it can be trusted. */
function StrengthFields(props: { strength: Stock['strength']; onChange: (strength: Stock['strength']) => void }) {
  const t = textsOf(texts);
  return (
    <>
      <NumberField
        label={t().strength}
        value={props.strength.value}
        refuse={(value) => impossible({ ...props.strength, value }, pageLanguage())}
        onCommit={(value = 0) => props.onChange({ ...props.strength, value })}
      />
      <label class="broad">
        {t().unit}
        <select
          onChange={(event) => {
            const unit = units.find((entry) => entry === event.currentTarget.value);
            if (unit) props.onChange({ ...props.strength, unit });
          }}
        >
          <For each={units}>
            {(unit) => (
              <option value={unit} selected={unit === props.strength.unit}>
                {t().units[unit]}
              </option>
            )}
          </For>
        </select>
      </label>
      <Show when={props.strength.unit === '%w/w'}>
        <NumberField
          label={t().density}
          unit="g/mL"
          positive
          max={5}
          optional
          value={props.strength.densityGPerMl}
          onCommit={(density) => {
            const { densityGPerMl: _, ...rest } = props.strength;
            props.onChange(density === undefined ? rest : { ...rest, densityGPerMl: density });
          }}
        />
      </Show>
      <NumberField
        label={t().tolerance}
        unit="%"
        max={100}
        optional
        value={percentOf(props.strength.uRelative)}
        onCommit={(percent) => {
          const { uRelative: _, ...rest } = props.strength;
          props.onChange(percent === undefined ? rest : { ...rest, uRelative: percent / 100 });
        }}
      />
    </>
  );
}

const withAvailable = (plan: Plan, id: string, availableMl: number | undefined): Plan => ({
  ...plan,
  stocks: plan.stocks.map((entry) => {
    if (entry.id !== id) return entry;
    const { availableMl: _, ...rest } = entry;
    return availableMl === undefined ? rest : { ...rest, availableMl };
  }),
});

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
