import {
  type ComponentProps,
  createEffect,
  createMemo,
  createSignal,
  For,
  lazy,
  Show,
  Suspense,
  splitProps,
} from 'solid-js';
import { Contained } from '../Contained.tsx';
import { containedTexts } from '../contained-texts.ts';
import { useDesk } from '../desk.tsx';
import { createRoute, unescaped } from '../route.ts';
import { stateOf } from '../state-of.ts';
import { textsOf } from '../texts.ts';
import { CallRow } from './CallRow.tsx';
import { ClipsControl } from './ClipsControl.tsx';
import { resultOf } from './flagged.ts';
import { type Held, withHeld } from './held.ts';
import { moveByArrows } from './move-by-arrows.ts';
import { createNotebookCalls } from './notebook-calls.ts';
import { RemovedRuns } from './RemovedRuns.tsx';
import { RunGroup } from './RunGroup.tsx';
import { ToLookAt } from './ToLookAt.tsx';
import { readingsTexts as t } from './texts.ts';
import { UndoButton } from './UndoButton.tsx';
import './readings.css';

const PasteIn = lazy(() => import('../share-in/PasteIn.tsx'));
const RunCurve = lazy(() => import('./RunCurve.tsx'));

/** Every utterance in order, doubts first; the curve beside them follows every correction at once. */
export function Readings() {
  const desk = useDesk();
  const route = createRoute();
  const stored = stateOf(desk);
  const [held, setHeld] = createSignal<Held | null>(null);
  /** A reading that is being dragged counts with the value it would get. */
  const state = createMemo(() => withHeld(stored(), held()));
  const of = createNotebookCalls(state);
  const { rates, calls, runs, groups } = of;

  /** The open row, and in which list it is open. */
  const [open, setOpen] = createSignal<{ call: string; list: string } | null>(null);
  /** Columns that were pasted, to be looked at before they are taken. */
  const [pasted, setPasted] = createSignal<string | null>(null);
  const [chosenRun, setChosenRun] = createSignal<string | null>(null);
  /** The call that the address names. */
  const wanted = (): string | null => {
    const [call] = route().rest;
    return call ? unescaped(call) : null;
  };
  createEffect(() => {
    const call = calls().get(wanted() ?? '');
    if (call) setOpen({ call: call.id, list: call.run ?? 'outside' });
  });
  const shownRun = createMemo(() => {
    const wanted = chosenRun() ?? calls().get(open()?.call ?? '')?.run ?? null;
    return runs().get(wanted ?? '') ?? state().runs.at(-1) ?? null;
  });

  const shownResult = createMemo(() => {
    const found = rates.found();
    const run = shownRun();
    return found && run ? resultOf(found, run.id) : null;
  });

  const row = (id: string, list: string, withPlace: boolean) => (
    <Show when={calls().get(id)}>
      {(call) => (
        <CallRow
          call={call()}
          readings={of.readingsOf(call())}
          zeroMs={of.zeroOf(call())}
          {...(withPlace ? { place: of.placeOf(call()) } : {})}
          remark={withPlace ? of.remarkOf(id) : ''}
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
  const contained = textsOf(containedTexts);
  const runName = (id: string | null): string => contained().run(runs().get(id ?? '')?.label ?? '');
  const deletable = (run: string | null): { onDelete?: () => void } =>
    run === null ? {} : { onDelete: () => void desk.record({ kind: 'run-removed', run, how: 'deleted', why: '' }) };

  return (
    <div class="readings">
      <div class="readings-head">
        <h1>{t().heading}</h1>
        <UndoButton />
      </div>
      <Show when={wanted() !== null && !calls().has(wanted() ?? '')}>
        <p class="problem">{t().noSuchCall}</p>
      </Show>
      <div class="readings-columns">
        <div ref={(list) => list.addEventListener('keydown', moveByArrows)}>
          <Show when={state().calls.length > 0}>
            <ToLookAt
              calls={of.toLookAt()}
              known={!rates.computing()}
              failed={rates.failed()}
              row={(id) => row(id, 'doubts', true)}
            />
          </Show>
          <For each={groups().map((group) => group.run)} fallback={<NoCalls />}>
            {(run) => (
              <Contained what={runName(run)} {...deletable(run)}>
                <RunGroup
                  run={runs().get(run ?? '') ?? null}
                  runs={state().runs}
                  calls={groups().find((group) => group.run === run)?.calls ?? []}
                  // The latest run is open at first, and the one a link points into.
                  open={run === state().runs.at(-1)?.id || calls().get(open()?.call ?? '')?.run === run}
                  onOpen={() => setChosenRun(run)}
                  row={(id) => row(id, run ?? 'outside', false)}
                />
              </Contained>
            )}
          </For>
          <RemovedRuns runs={state().removedRuns} />
          <Show when={desk.practice() === null}>
            <Suspense>
              <PasteIn text={pasted()} onText={setPasted} intoOpen />
            </Suspense>
          </Show>
          <ClipsControl />
        </div>
        <Show when={shownRun()}>
          {(run) => (
            <CurveBeside
              run={run()}
              what={contained().plot(runName(run().id))}
              setup={state().setup}
              result={shownResult()}
              held={held()}
              onHold={setHeld}
              onPick={(call) => setOpen({ call, list: run().id })}
            />
          )}
        </Show>
      </div>
    </div>
  );
}

/** The curve of a run; if it fails, it says so by the name `what`. */
function CurveBeside(props: ComponentProps<typeof RunCurve> & { what: string }) {
  const [, curve] = splitProps(props, ['what']);
  return (
    <aside class="curve" aria-label={t().curveOf(props.run.label)}>
      <Suspense fallback={<p class="quiet">{t().oneMoment}</p>}>
        <Contained what={props.what}>
          <RunCurve {...curve} />
        </Contained>
      </Suspense>
    </aside>
  );
}

function NoCalls() {
  return (
    <p>
      {t().noCalls[0]}
      <a href="#/bench">{t().noCalls[1]}</a>
      {t().noCalls[2]}
    </p>
  );
}

export default Readings;
