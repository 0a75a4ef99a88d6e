import { For, Index, Show } from 'solid-js';
import type { Plan, PlannedRun } from '../../log/plan.ts';
import type { FlaskAdvice } from '../../planning/plan-advice.ts';
import { largestPourMl, oddFlask } from '../../planning/plan-limits.ts';
import { solutionsOf } from '../../planning/reagent-name.ts';
import { FlaskFigures } from './FlaskFigures.tsx';
import { NumberField } from './NumberField.tsx';
import type { PlanDraft } from './plan-draft.ts';
import { addRun, changeRun, removeRun, setPour, setVessel, vesselOf } from './plan-edits.ts';

/** The flasks: what each run gets of each solution, and what follows from that. */
export function Runs(props: { plan: Plan; draft: PlanDraft; flasks: readonly FlaskAdvice[] }) {
  return (
    <section aria-labelledby="runs">
      <h2 id="runs" tabindex="-1">
        Runs
      </h2>
      <Index each={props.plan.runs} fallback={<p class="quiet">No run yet.</p>}>
        {(run, index) => (
          <RunFields plan={props.plan} run={run()} index={index} draft={props.draft} flask={props.flasks[index]} />
        )}
      </Index>
      <button type="button" disabled={props.plan.stocks.length === 0} onClick={() => props.draft.change(addRun)}>
        Add a run
      </button>
      <Show when={props.plan.runs.length > 0}>
        <details class="entry">
          <summary>What the solutions are measured with</summary>
          <p class="quiet">
            The volumes are as good as the vessel. Without an entry the smallest measuring cylinder that holds the
            volume is taken, of unknown class.
          </p>
          <div class="row">
            <For each={solutionsOf(props.plan).map((solution) => solution.id)}>
              {(id) => (
                <NumberField
                  label={`${nameOf(props.plan, id)}: a vessel of`}
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

function RunFields(props: {
  plan: Plan;
  run: PlannedRun;
  index: number;
  draft: PlanDraft;
  flask: FlaskAdvice | undefined;
}) {
  const change = (next: (run: PlannedRun) => PlannedRun): void =>
    props.draft.change((plan) => changeRun(plan, props.index, next));
  const volumeOf = (solution: string): number =>
    props.run.pours.reduce((sum, pour) => sum + (pour.solution === solution ? pour.volumeMl : 0), 0);
  return (
    <fieldset class="entry">
      <legend>Run {props.run.label}</legend>
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
          label="Own temperature"
          unit="°C"
          min={-10}
          max={100}
          optional
          value={props.run.temperatureC}
          onCommit={(temperatureC) =>
            change(({ temperatureC: _, ...run }) => (temperatureC === undefined ? run : { ...run, temperatureC }))
          }
        />
        <button
          type="button"
          class="take-out"
          aria-label={`Take out run ${props.run.label}`}
          onClick={() => {
            props.draft.change((plan) => removeRun(plan, props.index));
            document.getElementById('runs')?.focus();
          }}
        >
          Take out
        </button>
      </div>
      <Show when={props.flask}>{(flask) => <FlaskFigures flask={flask()} />}</Show>
      <Show when={oddFlask(props.run.pours.reduce((sum, pour) => sum + pour.volumeMl, 0))}>
        {(odd) => (
          <p class="odd" role="status">
            {odd().sentence}
          </p>
        )}
      </Show>
    </fieldset>
  );
}

const nameOf = (plan: Plan, id: string): string => solutionsOf(plan).find((solution) => solution.id === id)?.name ?? id;
