import { createSignal, lazy, Show, Suspense } from 'solid-js';
import { callWords } from '../../language/call-words.ts';
import type { Plan } from '../../log/plan.ts';
import type { Setup } from '../../log/setup.ts';
import { preferences } from '../preferences/device.ts';
import { hrefOf } from '../route.ts';
import { local, textsOf } from '../texts.ts';
import { Cautions } from './Cautions.tsx';
import { texts } from './texts.ts';

const NextFlask = lazy(() => import('./NextFlask.tsx'));
const PlanCautions = lazy(() => import('./PlanCautions.tsx'));
const SetupForm = lazy(() => import('../start/SetupForm.tsx'));

/** What to do and say while no run is open; before the first one also the cautions and the setup. */
export function BetweenRuns(props: { label: string; first: boolean; setup: Setup; plan: Plan | null }) {
  const t = textsOf(texts);
  const words = () => callWords(preferences().language);
  const startRun = () => `${words().startRun} ${props.label}`;
  /** All runs of the plan were done: the day may end here. */
  const isPlanDone = () => props.plan?.runs.every(({ label }) => label !== props.label) ?? false;
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
      <Show when={props.first}>
        <p class="say">
          {t().say} <strong>{t().spoken(words().baseline)}</strong> {t().andTheLevel}{' '}
          <strong>{t().spoken(startRun())}</strong>. {t().thenCall}
        </p>
      </Show>
      <Suspense>
        <NextFlask />
      </Suspense>
      <Show when={!props.first}>
        {/* After what is due before it: the changeover, the pours. */}
        <p class="say">
          {isPlanDone() ? t().anotherRun : t().mixThenSay} <strong>{t().spoken(startRun())}</strong>. {t().thenCall}
        </p>
      </Show>
      <p class="setup-line">
        <span>{local(t().setupLine(props.setup.stepMl, props.setup.spanMl))}</span>
        <button ref={change} type="button" aria-expanded={changing()} onClick={() => setChanging(!changing())}>
          {t().changeSetup}
        </button>
        <Show
          when={props.first}
          fallback={
            <a class="button" href={hrefOf('rates')}>
              {t().seeRates}
            </a>
          }
        >
          <a class="button" href={hrefOf('rehearsal')}>
            {t().rehearse}
          </a>
        </Show>
      </p>
      <Show when={changing()}>
        <Suspense fallback={<p class="quiet">{t().oneMoment}</p>}>
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
