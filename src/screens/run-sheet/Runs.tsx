import { For, Index, Show } from 'solid-js';
import type { Plan, PlannedRun } from '../../log/plan.ts';
import { nameIn } from '../../planning/names.ts';
import type { FlaskAdvice } from '../../planning/plan-advice.ts';
import { largestPourMl, oddFlask } from '../../planning/plan-limits.ts';
import { solidChoices } from '../../planning/plan-mixture.ts';
import { written } from '../../planning/pour-check.ts';
import { solutionsOf } from '../../planning/reagent-name.ts';
import { solidsInWords } from '../../planning/solid-words.ts';
import { useDesk } from '../desk.tsx';
import { stateOf } from '../state-of.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { EntryFold, openNewest } from './EntryFold.tsx';
import { FlaskFigures } from './FlaskFigures.tsx';
import { NumberField } from './NumberField.tsx';
import type { PlanDraft } from './plan-draft.ts';
import { addRun, changeRun, removeRun, setPour, setVessel, vesselOf } from './plan-edits.ts';
import { SolidFields } from './SolidFields.tsx';
import { texts } from './texts.ts';

/** The flasks: what each run gets of each solution, at what temperature, and what follows from that. */
export function Runs(props: { plan: Plan; draft: PlanDraft; flasks: readonly FlaskAdvice[] }) {
  const t = textsOf(texts);
  let section!: HTMLElement;
  return (
    <section aria-labelledby="runs" ref={section}>
      <h2 id="runs" class="for-screen-readers" tabindex="-1">
        {t().runs}
      </h2>
      <Temperature runs={props.plan.runs} />
      <Show when={props.plan.runs.length > 0}>
        <p class="columns">{t().columns(pouredSolutions(props.plan).map((id) => nameOf(props.plan, id)))}</p>
      </Show>
      <Index each={props.plan.runs} fallback={<p class="quiet">{t().noRun}</p>}>
        {(run, index) => (
          <RunFields plan={props.plan} run={run()} index={index} draft={props.draft} flask={props.flasks[index]} />
        )}
      </Index>
      <button
        type="button"
        disabled={props.plan.stocks.length === 0}
        onClick={() => {
          props.draft.change(addRun);
          openNewest(section);
        }}
      >
        {t().addRun}
      </button>
      <Show when={props.plan.runs.length > 0}>
        <details>
          <summary>{t().measuredWith}</summary>
          <p class="quiet">{t().vesselHint}</p>
          <div class="row">
            <For each={solutionsOf(props.plan).map((solution) => solution.id)}>
              {(id) => (
                <NumberField
                  label={t().vesselOf(nameOf(props.plan, id))}
                  unit="mL"
                  positive
                  optional
                  value={vesselOf(props.plan, id)}
                  onCommit={(vesselMl) => props.draft.change((plan) => setVessel(plan, id, vesselMl))}
                />
              )}
            </For>
          </div>
        </details>
      </Show>
    </section>
  );
}

/** The one place for the temperature of all runs; a run's own stands with the run. */
function Temperature(props: { runs: Plan['runs'] }) {
  const desk = useDesk();
  const t = textsOf(texts);
  const state = stateOf(desk);
  const change = (part: 'temperatureC' | 'uTemperatureC', value: number | undefined): void => {
    const { [part]: _, ...rest } = state().setup;
    void desk.record({ kind: 'set-up', setup: value === undefined ? rest : { ...rest, [part]: value } });
  };
  return (
    <div class="row temperature-of-all">
      <NumberField
        label={t().temperature}
        unit="°C"
        kind="temperatureC"
        optional
        value={state().setup.temperatureC}
        onCommit={(value) => change('temperatureC', value)}
      />
      <Show when={state().setup.temperatureC !== undefined}>
        <NumberField
          label={t().giveOrTake(t().temperature)}
          unit="°C"
          positive
          max={20}
          optional
          value={state().setup.uTemperatureC}
          onCommit={(value) => change('uTemperatureC', value)}
        />
      </Show>
      <Show when={props.runs.some((run) => run.temperatureC !== undefined)}>
        <p class="quiet">{t().temperatureHolds}</p>
      </Show>
    </div>
  );
}

function RunFields(props: {
  plan: Plan;
  run: PlannedRun;
  index: number;
  draft: PlanDraft;
  flask: FlaskAdvice | undefined;
}) {
  const t = textsOf(texts);
  const change = (next: (run: PlannedRun) => PlannedRun): void =>
    props.draft.change((plan) => changeRun(plan, props.index, next));
  const volumeOf = (solution: string): number =>
    props.run.pours.reduce((sum, pour) => sum + (pour.solution === solution ? pour.volumeMl : 0), 0);
  /** "20 + 20 + 10, 3 min", in the order of the names above the runs. */
  const brief = (): string =>
    [
      pouredSolutions(props.plan)
        .map((id) => written(volumeOf(id)))
        .join(' + '),
      ...solidsInWords(props.plan, props.run, pageLanguage()),
      ...(props.run.temperatureC === undefined ? [] : [`${props.run.temperatureC} °C`]),
      ...(props.flask?.course?.spanS ? [t().minutes(Math.max(1, Math.round(props.flask.course.spanS / 60)))] : []),
    ].join(', ');
  return (
    <EntryFold name={t().run(props.run.label)} brief={brief()}>
      <div class="row">
        <For each={solutionsOf(props.plan).map((solution) => solution.id)}>
          {(id) => (
            <NumberField
              label={nameOf(props.plan, id)}
              unit="mL"
              value={volumeOf(id)}
              max={largestPourMl}
              onCommit={(volumeMl = 0) => change((run) => setPour(run, id, volumeMl, vesselOf(props.plan, id)))}
            />
          )}
        </For>
        <NumberField
          label={t().ownTemperature}
          unit="°C"
          kind="temperatureC"
          optional
          value={props.run.temperatureC}
          onCommit={(temperatureC) =>
            change(({ temperatureC: _, ...run }) => (temperatureC === undefined ? run : { ...run, temperatureC }))
          }
        />
        <button
          type="button"
          class="take-out"
          aria-label={t().takeOutRun(props.run.label)}
          onClick={() => {
            props.draft.change((plan) => removeRun(plan, props.index));
            document.getElementById('runs')?.focus();
          }}
        >
          {t().takeOut}
        </button>
      </div>
      <For each={solidChoices(props.plan)}>
        {({ key, name }) => (
          <SolidFields species={key} name={nameIn(name, pageLanguage())} run={props.run} onChange={change} />
        )}
      </For>
      <Show when={props.flask}>{(flask) => <FlaskFigures flask={flask()} />}</Show>
      <Show
        when={oddFlask(
          props.run.pours.reduce((sum, pour) => sum + pour.volumeMl, 0),
          pageLanguage(),
        )}
      >
        {(odd) => (
          <p class="odd" role="status">
            {odd().sentence}
          </p>
        )}
      </Show>
    </EntryFold>
  );
}

/** Solutions that some run gets, in the order of pouring. */
const pouredSolutions = (plan: Plan): readonly string[] => [
  ...new Set(plan.runs.flatMap((run) => run.pours.filter((pour) => pour.volumeMl > 0).map((pour) => pour.solution))),
];

const nameOf = (plan: Plan, id: string): string =>
  solutionsOf(plan, nameIn('water', pageLanguage())).find((solution) => solution.id === id)?.name ?? id;
