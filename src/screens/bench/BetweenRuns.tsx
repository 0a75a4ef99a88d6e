import { createSignal, lazy, Show, Suspense } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import type { Setup } from '../../log/setup.ts';
import { hrefOf } from '../route.ts';
import { Cautions } from './Cautions.tsx';

const NextFlask = lazy(() => import('./NextFlask.tsx'));
const PlanCautions = lazy(() => import('./PlanCautions.tsx'));
const SetupForm = lazy(() => import('../start/SetupForm.tsx'));

/** What to do and say while no run is open; before the first one also the cautions and the setup. */
export function BetweenRuns(props: { label: string; first: boolean; setup: Setup; plan: Plan | null }) {
  const [changing, setChanging] = createSignal(false);
  let change!: HTMLButtonElement;
  return (
    <div class="between">
      <Show when={props.first}>
        <Show when={props.plan} fallback={<Cautions />}>
          {(plan) => (
            <Suspense fallback={<Cautions />}>
              <PlanCautions plan={plan()} />
            </Suspense>
          )}
        </Show>
      </Show>
      <p class="say">
        <Show when={props.first} fallback="Mix, then say ">
          Say <strong>“baseline”</strong> and the cylinder’s reading before you mix. Then mix, and say{' '}
        </Show>
        <strong>“start run {props.label}”</strong>. Swirl until it drips steadily; then call each mark as the water
        reaches it.
      </p>
      <Suspense>
        <NextFlask />
      </Suspense>
      <p class="setup-line">
        <span>
          A mark every {props.setup.stepMl} mL, a run of {props.setup.spanMl} mL, a cylinder of{' '}
          {props.setup.cylinder.capacityMl} mL.
        </span>
        <button ref={change} type="button" aria-expanded={changing()} onClick={() => setChanging(!changing())}>
          Change the setup
        </button>
        <Show when={props.first}>
          <a class="button" href={hrefOf('rehearsal')}>
            Rehearse first
          </a>
        </Show>
      </p>
      <Show when={changing()}>
        <Suspense fallback={<p class="quiet">One moment.</p>}>
          <SetupForm
            onDone={() => {
              setChanging(false);
              change.focus();
            }}
          />
        </Suspense>
      </Show>
    </div>
  );
}
