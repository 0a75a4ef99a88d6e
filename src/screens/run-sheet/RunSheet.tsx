import { createMemo, For, Show } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import { checklistOf, deferral } from '../../planning/checklist.ts';
import { checklistReactionOf } from '../../planning/checklist-reaction.ts';
import { earlierRuns } from '../../planning/earlier-runs.ts';
import { adviceOf } from '../../planning/plan-advice.ts';
import { cautionsOf, preparedOf, speciesChoices, strengthInWords } from '../../planning/plan-mixture.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { SetupForm } from '../start/SetupForm.tsx';
import { Advice } from './Advice.tsx';
import { Bottles } from './Bottles.tsx';
import { Dilutions } from './Dilutions.tsx';
import { HandOutPart } from './HandOutPart.tsx';
import { createPlanDraft, type PlanDraft } from './plan-draft.ts';
import { ReactionFields } from './ReactionFields.tsx';
import { Runs } from './Runs.tsx';
import { Sheet } from './Sheet.tsx';
import { Templates } from './Templates.tsx';
import './run-sheet.css';

/** The run sheet: what is decided before the first bubble. */
export function RunSheet() {
  const desk = useDesk();
  const draft = createPlanDraft(desk);
  let heading!: HTMLHeadingElement;
  return (
    <div class="run-sheet">
      <h1 tabindex="-1" ref={heading}>
        Run sheet
      </h1>
      <Show
        when={draft.plan()}
        fallback={
          <Templates
            onChoose={(plan) => {
              draft.replace(plan);
              heading.focus();
            }}
          />
        }
      >
        {(plan) => <Planned plan={plan()} draft={draft} />}
      </Show>
    </div>
  );
}

function Planned(props: { plan: Plan; draft: PlanDraft }) {
  const desk = useDesk();
  const state = () => desk.state()!;
  const advice = createMemo(() => adviceOf(props.plan, state().setup, earlierRuns(state())));
  const prepared = createMemo(() => preparedOf(props.plan));
  const cautions = createMemo(() => cautionsOf(props.plan, prepared()));
  const sections = createMemo(() => checklistOf(props.plan, state().setup, checklistReactionOf(props.plan)));
  return (
    <>
      <div class="caution">
        <ul>
          <For each={cautions()}>{(caution) => <li>{caution.sentence}</li>}</For>
          <li>
            <strong>{deferral}</strong>
          </li>
        </ul>
      </div>
      <p class="row no-print">
        <button type="button" disabled={props.draft.undoes() === null} onClick={() => props.draft.undo()}>
          Undo the last change {props.draft.undoes() ?? ''}
        </button>
        <button type="button" onClick={() => print()}>
          Print the sheet
        </button>
        <a class="button" href={hrefOf('bench')}>
          To the bench
        </a>
      </p>
      <div class="sheet-desk">
        <div>
          <ReactionFields plan={props.plan} draft={props.draft} />
          <Bottles plan={props.plan} draft={props.draft} species={speciesChoices(props.plan)} />
          <Dilutions
            plan={props.plan}
            draft={props.draft}
            strengthOf={(solution) => strengthInWords(prepared(), solution)}
          />
          <Runs plan={props.plan} draft={props.draft} flasks={advice().flasks} />
          <details>
            <summary>Cylinder, marks and conditions</summary>
            <SetupForm />
          </details>
        </div>
        <Advice advice={advice()} />
      </div>
      <HandOutPart title={state().title} plan={props.plan} setup={state().setup} />
      <div class="sheet-part">
        <Sheet title={state().title} plan={props.plan} sections={sections()} />
        <p class="quiet no-print">
          At the bench say “next step”, “previous step” or “read step” to have it read aloud.
        </p>
      </div>
    </>
  );
}

export default RunSheet;
