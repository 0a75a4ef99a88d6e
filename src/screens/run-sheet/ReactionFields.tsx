import { For, Show } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import { nameIn } from '../../planning/names.ts';
import { reactionChoices } from '../../planning/plan-mixture.ts';
import { emptyPlan } from '../../planning/plan-templates.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { NumberField } from './NumberField.tsx';
import type { PlanDraft } from './plan-draft.ts';
import { texts } from './texts.ts';

type Own = NonNullable<Plan['own']>;

/** Which reaction: one whose facts are known, or one's own in a few words. */
export function ReactionFields(props: { plan: Plan; draft: PlanDraft }) {
  const t = textsOf(texts);
  const own = () => (props.plan.reaction === 'own' ? props.plan.own : undefined);
  const change = (next: Partial<Own>): void =>
    props.draft.change((plan) => (plan.own ? { ...plan, own: { ...plan.own, ...next } } : plan));
  return (
    <section aria-labelledby="reaction">
      <h2 id="reaction" class="for-screen-readers" tabindex="-1">
        {t().reaction}
      </h2>
      <label>
        {t().reaction}
        <select
          onChange={(event) => {
            const reaction = event.currentTarget.value;
            props.draft.change((plan) =>
              reaction === 'own' && !plan.own && emptyPlan.own
                ? { ...plan, reaction, own: emptyPlan.own }
                : { ...plan, reaction },
            );
          }}
        >
          <For each={reactionChoices}>
            {(choice) => (
              <option value={choice.id} selected={choice.id === props.plan.reaction}>
                {nameIn(choice.name, pageLanguage())}
              </option>
            )}
          </For>
          <option value="own" selected={props.plan.reaction === 'own'}>
            {t().another}
          </option>
        </select>
      </label>
      <Show when={own()}>
        {(described) => (
          <div class="row own-reaction">
            <label>
              {t().itsName}
              <input
                value={described().name}
                maxlength="80"
                autocomplete="off"
                onChange={(event) => change({ name: event.currentTarget.value.trim() || t().myReaction })}
              />
            </label>
            <label>
              {t().gas}
              <select
                onChange={(event) => change({ gas: gases.find((gas) => gas === event.currentTarget.value) ?? 'other' })}
              >
                <For each={gases}>
                  {(gas) => (
                    <option value={gas} selected={gas === described().gas}>
                      {gas === 'other' ? t().otherGas : gas}
                    </option>
                  )}
                </For>
              </select>
            </label>
            <label>
              {t().dependsOn}
              <input
                value={described().orderSpecies.join(', ')}
                autocomplete="off"
                onChange={(event) => {
                  const orderSpecies = listOf(event.currentTarget.value);
                  if (orderSpecies.length === 0) return;
                  const limiting = orderSpecies.includes(described().limiting) ? described().limiting : orderSpecies[0];
                  change({ orderSpecies, ...(limiting ? { limiting } : {}) });
                }}
              />
            </label>
            <label>
              {t().runsOut}
              <select onChange={(event) => change({ limiting: event.currentTarget.value })}>
                <For each={described().orderSpecies}>
                  {(species) => (
                    <option value={species} selected={species === described().limiting}>
                      {species}
                    </option>
                  )}
                </For>
              </select>
            </label>
            <NumberField
              label={t().gasPerMol(described().limiting)}
              unit="mol"
              kind="gasPerLimiting"
              value={described().gasPerLimiting}
              onCommit={(gasPerLimiting = 1) => change({ gasPerLimiting })}
            />
          </div>
        )}
      </Show>
    </section>
  );
}

const gases = ['O2', 'H2', 'CO2', 'N2', 'other'] as const;

/** Up to six names of species from a list with commas. */
const listOf = (text: string): string[] =>
  [
    ...new Set(
      text
        .split(/[,;]/)
        .map((part) => part.trim().slice(0, 80))
        .filter(Boolean),
    ),
  ].slice(0, 6);
