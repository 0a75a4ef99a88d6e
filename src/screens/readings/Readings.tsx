import { type ComponentProps, createMemo, createSignal, For, lazy, Show, Suspense, splitProps } from 'solid-js';
import { wordsToSay } from '../../language/call-words.ts';
import { Contained } from '../Contained.tsx';
import { containedTexts } from '../contained-texts.ts';
import { useDesk } from '../desk.tsx';
import { preferences } from '../preferences/device.ts';
import { stateOf } from '../state-of.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { CallRow } from './CallRow.tsx';
import { ClipsControl } from './ClipsControl.tsx';
import { resultOf } from './flagged.ts';
import { type Held, withHeld } from './held.ts';
import { moveByArrows } from './move-by-arrows.ts';
import { createNotebookCalls, type NotebookCalls } from './notebook-calls.ts';
import { createOpenCall, type OpenCall } from './open-call.ts';
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
  const stored = stateOf(desk);
  const [held, setHeld] = createSignal<Held | null>(null);
  /** A reading that is being dragged counts with the value it would get. */
  const state = createMemo(() => withHeld(stored(), held()));
  const of = createNotebookCalls(state);
  const open = createOpenCall(of, state);
  /** Columns that were pasted, to be looked at before they are taken. */
  const [pasted, setPasted] = createSignal<string | null>(null);
  const shownResult = createMemo(() => {
    const found = of.rates.found();
    const run = open.shownRun();
    return found && run ? resultOf(found, run.id) : null;
  });
  const contained = textsOf(containedTexts);
  const runName = (id: string | null): string => contained().run(of.runs().get(id ?? '')?.label ?? '');
  const deletable = (run: string | null): { onDelete?: () => void } =>
    run === null ? {} : { onDelete: () => void desk.record({ kind: 'run-removed', run, how: 'deleted', why: '' }) };

  return (
    <div class="readings">
      <div class="readings-head">
        <h1>{t().heading}</h1>
        <UndoButton />
      </div>
      <Show when={open.wanted() !== null && !of.calls().has(open.wanted() ?? '')}>
        <p class="problem">{t().noSuchCall}</p>
      </Show>
      <div class="readings-columns">
        <div ref={(list) => list.addEventListener('keydown', moveByArrows)}>
          <Show when={state().calls.length > 0}>
            <ToLookAt
              calls={of.toLookAt()}
              known={!of.rates.computing()}
              failed={of.rates.failed()}
              row={(id) => <Row id={id} list="doubts" of={of} open={open} withPlace />}
            />
          </Show>
          <For each={of.groups().map((group) => group.run)} fallback={<NoCalls />}>
            {(run) => (
              <Contained what={runName(run)} {...deletable(run)}>
                <RunGroup
                  run={of.runs().get(run ?? '') ?? null}
                  runs={state().runs}
                  calls={of.groups().find((group) => group.run === run)?.calls ?? []}
                  // The latest run is open at first, and the one a link points into.
                  open={run === state().runs.at(-1)?.id || open.isIn(run)}
                  onOpen={() => open.chooseRun(run)}
                  row={(id) => <Row id={id} list={run ?? 'outside'} of={of} open={open} />}
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
        <Show when={open.shownRun()}>
          {(run) => (
            <CurveBeside
              run={run()}
              what={contained().plot(runName(run().id))}
              setup={state().setup}
              result={shownResult()}
              held={held()}
              onHold={setHeld}
              onPick={(call) => open.pick(call, run().id)}
            />
          )}
        </Show>
      </div>
    </div>
  );
}

/** One call in one of the lists; `withPlace`: in the list of those to look at, which says where each belongs. */
function Row(props: { id: string; list: string; of: NotebookCalls; open: OpenCall; withPlace?: boolean }) {
  const { of, open } = props;
  return (
    <Show when={of.calls().get(props.id)}>
      {(call) => (
        <CallRow
          call={call()}
          readings={of.readingsOf(call())}
          zeroMs={of.zeroOf(call())}
          {...(props.withPlace ? { place: of.placeOf(call()) } : {})}
          remark={props.withPlace ? of.remarkOf(props.id) : ''}
          open={open.isOpen(props.id, props.list)}
          onToggle={() => open.toggle(props.id, props.list)}
        />
      )}
    </Show>
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
      {wordsToSay(t().noCalls[2], pageLanguage(), preferences().language)}
    </p>
  );
}

export default Readings;
