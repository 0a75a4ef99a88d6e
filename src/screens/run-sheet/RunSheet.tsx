import { createEffect, createMemo, createSignal, For, Match, on, Show, Switch } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import { checklistOf } from '../../planning/checklist.ts';
import { checklistReactionOf } from '../../planning/checklist-reaction.ts';
import { earlierRuns } from '../../planning/earlier-runs.ts';
import { nameIn } from '../../planning/names.ts';
import { adviceOf } from '../../planning/plan-advice.ts';
import { cautionsOf, preparedOf, speciesChoices, strengthInWords } from '../../planning/plan-mixture.ts';
import { useDesk } from '../desk.tsx';
import { createRoute, hrefOf } from '../route.ts';
import { SetupForm } from '../start/SetupForm.tsx';
import { stateOf } from '../state-of.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { Advice } from './Advice.tsx';
import { Bottles } from './Bottles.tsx';
import { Dilutions } from './Dilutions.tsx';
import { HandOutPart } from './HandOutPart.tsx';
import { createPlanDraft, type PlanDraft } from './plan-draft.ts';
import { ReactionFields } from './ReactionFields.tsx';
import { Runs } from './Runs.tsx';
import { Sheet } from './Sheet.tsx';
import { StepCautions } from './StepCautions.tsx';
import { type SheetStep, sheetSteps, stepOf } from './steps.ts';
import { Templates } from './Templates.tsx';
import { texts } from './texts.ts';
import './run-sheet.css';

/** The run sheet: what is decided before the first bubble. */
export function RunSheet() {
  const desk = useDesk();
  const t = textsOf(texts);
  const draft = createPlanDraft(desk);
  let heading!: HTMLHeadingElement;
  return (
    <div class="run-sheet">
      <h1 tabindex="-1" ref={heading}>
        {t().title}
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
  const t = textsOf(texts);
  const state = stateOf(desk);
  const route = createRoute();
  const step = createMemo(() => stepOf(route().rest[0]));
  const advice = createMemo(() => adviceOf(props.plan, state().setup, earlierRuns(state()), pageLanguage()));
  const prepared = createMemo(() => preparedOf(props.plan));
  const cautions = createMemo(() => cautionsOf(props.plan, prepared()));
  const sections = createMemo(() =>
    checklistOf(props.plan, state().setup, checklistReactionOf(props.plan, pageLanguage()), pageLanguage()),
  );
  /** The whole sheet on the screen; on paper it always is. */
  const [whole, setWhole] = createSignal(false);
  let content!: HTMLDivElement;
  createEffect(on(step, () => content.querySelector('h2')?.focus(), { defer: true }));
  return (
    <>
      <StepNames step={step()} warnings={advice().warnings.length} />
      <StepCautions step={step()} cautions={cautions()} />
      <div class="sheet-step no-print" ref={content}>
        <Switch>
          <Match when={step() === 'what'}>
            <ReactionFields plan={props.plan} draft={props.draft} />
            <details>
              <summary>{t().setup}</summary>
              <SetupForm withoutTemperature />
            </details>
          </Match>
          <Match when={step() === 'bottles'}>
            <Bottles
              plan={props.plan}
              draft={props.draft}
              species={speciesChoices(props.plan).map((one) => ({ ...one, name: nameIn(one.name, pageLanguage()) }))}
            />
            <Dilutions
              plan={props.plan}
              draft={props.draft}
              strengthOf={(solution) => strengthInWords(prepared(), solution)}
            />
          </Match>
          <Match when={step() === 'runs'}>
            <div class="sheet-desk">
              <Runs plan={props.plan} draft={props.draft} flasks={advice().flasks} />
              <Advice advice={advice()} />
            </div>
          </Match>
          <Match when={step() === 'hand-out'}>
            <section aria-labelledby="print">
              <h2 id="print" tabindex="-1">
                {t().printAndHandOut}
              </h2>
              <p class="row">
                <button type="button" class="primary" onClick={() => print()}>
                  {t().print}
                </button>
                <button type="button" aria-expanded={whole()} onClick={() => setWhole(!whole())}>
                  {whole() ? t().hideList : t().fullList}
                </button>
              </p>
            </section>
            <HandOutPart title={state().title} plan={props.plan} setup={state().setup} />
          </Match>
        </Switch>
      </div>
      <StepEnd step={step()} draft={props.draft} />
      <div class="sheet-part" classList={{ folded: step() !== 'hand-out' || !whole() }}>
        <Sheet title={state().title} plan={props.plan} sections={sections()} />
      </div>
    </>
  );
}

function StepNames(props: { step: SheetStep; warnings: number }) {
  const t = textsOf(texts);
  return (
    <nav class="sheet-steps no-print" aria-label={t().steps}>
      <ol>
        <For each={sheetSteps}>
          {(step) => (
            <li>
              <a href={hrefOf('run-sheet', step)} aria-current={step === props.step ? 'step' : undefined}>
                {t().step[step]}
                <Show when={step === 'runs' && props.warnings > 0}>
                  <span class="step-warning" role="img" aria-label={t().toLookAt(props.warnings)}>
                    !
                  </span>
                </Show>
              </a>
            </li>
          )}
        </For>
      </ol>
    </nav>
  );
}

/** The way on, and the way back from a slip. */
function StepEnd(props: { step: SheetStep; draft: PlanDraft }) {
  const t = textsOf(texts);
  const next = () => sheetSteps[sheetSteps.indexOf(props.step) + 1];
  const undoes = () => ({ sheet: t().ofSheet, setup: t().ofSetup })[props.draft.undoes() ?? 'sheet'];
  return (
    <p class="row step-end no-print">
      <Show
        when={next()}
        fallback={
          <a class="button" href={hrefOf('bench')}>
            {t().toBench}
          </a>
        }
      >
        {(step) => (
          <a class="button primary" href={hrefOf('run-sheet', step())}>
            {t().next(t().step[step()] ?? '')}
          </a>
        )}
      </Show>
      <Show when={props.draft.undoes()}>
        <button
          type="button"
          aria-label={t().undo(undoes())}
          title={t().undo(undoes())}
          onClick={() => props.draft.undo()}
        >
          {t().undoShort}
        </button>
      </Show>
    </p>
  );
}

export default RunSheet;
