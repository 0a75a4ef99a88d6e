import { createMemo, createSignal, Match, Show, Switch } from 'solid-js';
import { analysisOf } from '../../analysis/notebook-analysis.ts';
import { type LinkContent, readLink } from '../../files/link.ts';
import { reduce } from '../../log/reduce.ts';
import type { Notebook } from '../../log/state.ts';
import { reportOf } from '../../results/report.ts';
import { useDesk } from '../desk.tsx';
import { Sheet } from '../report/Sheet.tsx';
import '../report/report.css';
import { createRoute, hrefOf } from '../route.ts';
import { HandOutView } from './HandOutView.tsx';
import './share-in.css';
import { takeArrival } from './take-arrival.ts';

/** What a link brought: to look at first, to keep second. Nothing is stored until the person says so. */
export function OpenLink() {
  const desk = useDesk();
  const route = createRoute();
  const read = createMemo(() => readLink(`#/open/${route().rest.join('/')}`));
  const content = (): LinkContent | null => {
    const found = read();
    return found.ok ? found.value : null;
  };
  const notebook = (): Notebook | null => {
    const found = content();
    return found?.kind === 'notebook' ? found.notebook : null;
  };
  const handOut = () => {
    const found = content();
    return found?.kind === 'plan' ? found.handOut : null;
  };
  const refused = (): string | null => {
    const found = read();
    return found.ok ? null : found.sentence;
  };
  const [problem, setProblem] = createSignal('');

  const keep = async (): Promise<void> => {
    const found = content();
    if (!found) return;
    const arrival =
      found.kind === 'plan' ? found : { kind: 'notebook' as const, notebook: found.notebook, clips: [], left: [] };
    const result = await takeArrival(desk, arrival);
    desk.announce(result.sentence);
    if (!result.ok) setProblem(result.sentence);
  };

  return (
    <>
      <h1 class="no-print">What the link brought</h1>
      <Show when={problem()}>{(sentence) => <p class="problem">{sentence()}</p>}</Show>
      <Switch>
        <Match when={refused()}>
          {(sentence) => (
            <div class="problem" role="alert">
              <p>{sentence()}</p>
              <a href={hrefOf('start')}>To the notebooks of this device</a>
            </div>
          )}
        </Match>
        <Match when={notebook()}>
          {(found) => (
            <>
              <div class="arrived no-print">
                <p>You are looking at a notebook that is in the link itself. Nothing is kept on this device yet.</p>
                <button type="button" class="primary" onClick={() => void keep()}>
                  Keep a copy
                </button>
              </div>
              <NotebookSheet notebook={found()} />
            </>
          )}
        </Match>
        <Match when={handOut()}>
          {(found) => (
            <>
              <div class="arrived no-print">
                <p>This link carries a run sheet: a plan to work by, without readings.</p>
                <button type="button" class="primary" onClick={() => void keep()}>
                  Begin a notebook with it
                </button>
              </div>
              <HandOutView handOut={found()} />
            </>
          )}
        </Match>
      </Switch>
    </>
  );
}

function NotebookSheet(props: { notebook: Notebook }) {
  const report = createMemo(() => {
    const state = reduce(props.notebook.events);
    return reportOf(props.notebook, state, analysisOf(state), 'mL/s');
  });
  return <Sheet report={report()} />;
}

export default OpenLink;
