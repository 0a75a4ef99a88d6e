import { createSignal, lazy, Show, Suspense } from 'solid-js';
import type { Setup } from '../../notebook/setup.ts';
import { hrefOf } from '../route.ts';
import { Cautions } from './Cautions.tsx';

const NextFlask = lazy(() => import('./NextFlask.tsx'));
const SetupForm = lazy(() => import('../start/SetupForm.tsx'));

/** What to do and say while no run is open; before the first one also the cautions and the setup. */
export function BetweenRuns(props: { label: string; first: boolean; setup: Setup }) {
  const [changing, setChanging] = createSignal(false);
  return (
    <div class="between">
      <Show when={props.first}>
        <Cautions />
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
        A mark every {props.setup.stepMl} mL, a run of {props.setup.spanMl} mL, a cylinder of{' '}
        {props.setup.cylinder.capacityMl} mL.{' '}
        <button type="button" aria-expanded={changing()} onClick={() => setChanging(!changing())}>
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
          <SetupForm onDone={() => setChanging(false)} />
        </Suspense>
      </Show>
    </div>
  );
}
