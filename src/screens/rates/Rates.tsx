import { For, Index, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import { useDesk } from '../desk.tsx';
import { UndoButton } from '../readings/UndoButton.tsx';
import { hrefOf } from '../route.ts';
import { stateOf } from '../state-of.ts';
import { HeadspaceLine } from './HeadspaceLine.tsx';
import { Law } from './Law.tsx';
import { RunSection } from './RunSection.tsx';
import { createRates } from './rates-of.ts';
import { Temperature } from './Temperature.tsx';
import { Uncertainty } from './Uncertainty.tsx';
import './rates.css';

/** Beyond this number the browser lays out only the runs that are in sight. */
const manyRuns = 8;

/** From readings to rates, the rate law and what can be said of their uncertainty. */
export function Rates() {
  const state = stateOf(useDesk());
  const rates = createRates(state);
  return (
    <div class="rates" classList={{ 'rates-many': state().runs.length > manyRuns }}>
      <div class="row">
        <h1>Rates</h1>
        <p class="rates-now quiet" role="status">
          {rates.computing() ? 'Computing …' : ''}
        </p>
        <UndoButton />
      </div>
      <Show when={rates.failed()}>{(sentence) => <p class="problem">{sentence()}</p>}</Show>
      <Show when={state().runs.length > 0} fallback={<NoRuns planned={(state().plan?.runs.length ?? 0) > 0} />}>
        <Show when={rates.found()}>
          {(found) => (
            <>
              <Contents found={found()} complete={rates.complete()} />
              <Index each={found().analysis.runs}>
                {(result, i) => (
                  <RunSection
                    result={result()}
                    named={found().runs[i]!}
                    analysis={found().analysis}
                    index={i}
                    state={state()}
                  />
                )}
              </Index>
              <Show
                when={rates.complete()}
                fallback={<p class="quiet">What the runs say together is still being worked out …</p>}
              >
                <Law found={found()} state={state()} />
                <Temperature analysis={found().analysis} />
                <Uncertainty found={found()} seed={state().seed} current={!rates.computing()} />
              </Show>
              <HeadspaceLine state={state()} analysis={found().analysis} />
              <Assumed notes={found().notes} />
            </>
          )}
        </Show>
      </Show>
    </div>
  );
}

function NoRuns(props: { planned: boolean }) {
  return (
    <>
      <p>
        There are no runs yet, so there is nothing to compute. A run is a handful of readings of the cylinder, each with
        its moment; three readings give a first rate, some eleven a good one.
      </p>
      <p class="row">
        <a class="button primary" href={hrefOf('bench')}>
          Go to the Bench and start a run
        </a>
        <Show when={!props.planned}>
          <a class="button" href={hrefOf('run-sheet')}>
            Say first what goes into each flask
          </a>
        </Show>
      </p>
    </>
  );
}

const together = [
  { id: 'rates-law', name: 'Rate law' },
  { id: 'rates-temperature', name: 'Temperature' },
  { id: 'rates-uncertainty', name: 'Uncertainty' },
] as const;

/** Where things are, when there is more than a screenful. Scrolls only: the address keeps naming the screen. */
function Contents(props: { found: NotebookAnalysis; complete: boolean }) {
  const places = () => [
    ...props.found.runs.map(({ label }, i) => ({ id: `rates-run-${i}`, name: `Run ${label}` })),
    ...(props.complete ? together : []),
  ];
  const go = (id: string): void => {
    const heading = document.getElementById(id);
    heading?.scrollIntoView();
    heading?.focus({ preventScroll: true });
  };
  return (
    <nav class="rates-contents no-print" aria-label="On this screen">
      <For each={places()}>
        {({ id, name }) => (
          <button type="button" onClick={() => go(id)}>
            {name}
          </button>
        )}
      </For>
    </nav>
  );
}

function Assumed(props: { notes: readonly string[] }) {
  return (
    <Show when={props.notes.length > 0}>
      <section>
        <h2>What was assumed or is not known</h2>
        <ul>
          <For each={props.notes}>{(note) => <li>{note}</li>}</For>
        </ul>
      </section>
    </Show>
  );
}

export default Rates;
