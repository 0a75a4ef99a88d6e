import { createEffect, createMemo, createSignal, For, lazy, Show, Suspense } from 'solid-js';
import type { Call, Reading } from '../../notebook/state.ts';
import { zeroMs } from '../../session/marks.ts';
import { useDesk } from '../desk.tsx';
import { createRoute } from '../route.ts';
import { stateOf } from '../state-of.ts';
import { CallRow } from './CallRow.tsx';
import { ClipsControl } from './ClipsControl.tsx';
import { groupsOf, isOpenDoubt, readingsById } from './call-list.ts';
import { RunGroup } from './RunGroup.tsx';
import { UndoButton } from './UndoButton.tsx';
import './readings.css';

const RunCurve = lazy(() => import('./RunCurve.tsx'));

/** Every utterance in order, doubts first; the curve beside them follows every correction at once. */
export function Readings() {
  const desk = useDesk();
  const route = createRoute();
  const state = stateOf(desk);
  const calls = createMemo(() => new Map(state().calls.map((call) => [call.id, call])));
  const readings = createMemo(() => readingsById(state().runs));
  const groups = createMemo(() => groupsOf(state()));
  const runs = createMemo(() => new Map(state().runs.map((run) => [run.id, run])));
  const doubts = createMemo(() =>
    state()
      .calls.filter((call) => isOpenDoubt(call, (id) => readings().get(id)))
      .map((call) => call.id),
  );

  /** The open row, and in which list it is open. */
  const [open, setOpen] = createSignal<{ call: string; list: string } | null>(null);
  const [chosenRun, setChosenRun] = createSignal<string | null>(null);
  createEffect(() => {
    const [wanted] = route().rest;
    const call = wanted === undefined ? undefined : calls().get(decodeURIComponent(wanted));
    if (call) setOpen({ call: call.id, list: call.run ?? 'outside' });
  });
  const shownRun = createMemo(() => {
    const wanted = chosenRun() ?? calls().get(open()?.call ?? '')?.run ?? null;
    return runs().get(wanted ?? '') ?? state().runs.at(-1) ?? null;
  });

  const readingsOf = (call: Call): readonly Reading[] =>
    call.readings.flatMap((id) => {
      const reading = readings().get(id);
      return reading ? [reading] : [];
    });
  const zeroOf = (call: Call): number => {
    const run = runs().get(call.run ?? '');
    return run ? zeroMs(run) : 0;
  };
  const row = (id: string, list: string, withPlace: boolean) => (
    <Show when={calls().get(id)}>
      {(call) => (
        <CallRow
          call={call()}
          readings={readingsOf(call())}
          zeroMs={zeroOf(call())}
          {...(withPlace ? { place: placeOf(call()) } : {})}
          open={open()?.call === id && open()?.list === list}
          onToggle={() => {
            const isOpen = open()?.call === id && open()?.list === list;
            setOpen(isOpen ? null : { call: id, list });
            setChosenRun(null);
          }}
        />
      )}
    </Show>
  );
  const placeOf = (call: Call): string => {
    const run = runs().get(call.run ?? '');
    return run ? `Run ${run.label}` : 'No run';
  };

  return (
    <div class="readings">
      <div class="readings-head">
        <h1>Readings</h1>
        <UndoButton />
      </div>
      <div class="readings-columns">
        <div ref={(list) => list.addEventListener('keydown', moveByArrows)}>
          <section aria-labelledby="doubts-heading" class="doubts">
            <h2 id="doubts-heading">
              {doubts().length === 0 ? 'Nothing is in doubt' : `To look at: ${doubts().length}`}
            </h2>
            <Show when={doubts().length > 0}>
              <p class="quiet">Arrow keys go from one to the next; Enter opens one and plays its sound.</p>
              <ul class="calls">
                <For each={doubts()}>{(id) => row(id, 'doubts', true)}</For>
              </ul>
            </Show>
          </section>
          <For
            each={groups().map((group) => group.run)}
            fallback={
              <p>
                No calls yet. Go to the <a href="#/bench">bench</a>, open the microphone and say “start run one”; every
                sound you make there is kept here with its moment.
              </p>
            }
          >
            {(run) => (
              <RunGroup
                run={runs().get(run ?? '') ?? null}
                calls={groups().find((group) => group.run === run)?.calls ?? []}
                // The latest run is open at first, and the one a link points into.
                open={run === state().runs.at(-1)?.id || calls().get(open()?.call ?? '')?.run === run}
                onOpen={() => setChosenRun(run)}
                row={(id) => row(id, run ?? 'outside', false)}
              />
            )}
          </For>
          <ClipsControl />
        </div>
        <Show when={shownRun()}>
          {(run) => (
            <aside class="curve" aria-label={`Curve of run ${run().label}`}>
              <Suspense fallback={<p class="quiet">One moment.</p>}>
                <RunCurve run={run()} state={state()} onPick={(call) => setOpen({ call, list: run().id })} />
              </Suspense>
            </aside>
          )}
        </Show>
      </div>
    </div>
  );
}

/** Up and down go from row to row; in an opened doubt the next one is opened in its place. */
function moveByArrows(event: KeyboardEvent): void {
  if (event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
  const target = event.target instanceof HTMLElement ? event.target : null;
  const lists = event.currentTarget;
  if (!target || !(lists instanceof HTMLElement) || target.matches('input, select, textarea, audio')) return;
  const list = target.closest('ul.calls');
  const rows = [...(list ?? lists).querySelectorAll<HTMLButtonElement>('button.call-row')];
  const at = rows.findIndex((row) => row === target || row.parentElement?.contains(target));
  const next = rows[at + (event.key === 'ArrowDown' ? 1 : -1)];
  if (!next) return;
  event.preventDefault();
  next.focus();
  const wasOpen = rows[at]?.getAttribute('aria-expanded') === 'true';
  if (wasOpen && next.getAttribute('aria-expanded') === 'false') next.click();
}

export default Readings;
