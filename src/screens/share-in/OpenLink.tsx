import { createMemo, createSignal, createUniqueId, For, Match, Show, Switch } from 'solid-js';
import { analysisOf } from '../../analysis/notebook-analysis.ts';
import type { HandOut } from '../../files/hand-out.ts';
import { type LinkContent, readLink } from '../../files/link.ts';
import { reduce } from '../../log/reduce.ts';
import type { Notebook } from '../../log/state.ts';
import { reportOf } from '../../results/report.ts';
import { useDesk } from '../desk.tsx';
import { Sheet } from '../report/Sheet.tsx';
import '../report/report.css';
import { createRoute, hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { HandOutView } from './HandOutView.tsx';
import './share-in.css';
import { type Brought, beginWith, takeArrival } from './take-arrival.ts';
import { texts } from './texts.ts';

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
  const t = textsOf(texts);

  const said = (result: Brought): void => {
    desk.announce(result.sentence);
    if (!result.ok) setProblem(result.sentence);
  };
  const keep = async (found: Notebook): Promise<void> =>
    said(await takeArrival(desk, { kind: 'notebook', notebook: found, clips: [], left: [] }));

  return (
    <>
      <h1 class="no-print">{t().brought}</h1>
      <Show when={problem()}>{(sentence) => <p class="problem">{sentence()}</p>}</Show>
      <Switch>
        <Match when={refused()}>
          {(sentence) => (
            <div class="problem" role="alert">
              <p>{sentence()}</p>
              <a href={hrefOf('start')}>{t().toStart}</a>
            </div>
          )}
        </Match>
        <Match when={notebook()}>
          {(found) => (
            <>
              <div class="arrived no-print">
                <p>{t().openNotebook}</p>
                <button type="button" class="primary" onClick={() => void keep(found())}>
                  {t().keep}
                </button>
              </div>
              <NotebookSheet notebook={found()} />
            </>
          )}
        </Match>
        <Match when={handOut()}>
          {(found) => (
            <>
              <Begin handOut={found()} onSaid={said} />
              <HandOutView handOut={found()} />
            </>
          )}
        </Match>
      </Switch>
    </>
  );
}

/** Who works, and one press to begin. */
function Begin(props: { handOut: HandOut; onSaid: (result: Brought) => void }) {
  const desk = useDesk();
  const t = textsOf(texts);
  const list = createUniqueId();
  const [making, setMaking] = createSignal(false);
  const begin = async (form: HTMLFormElement): Promise<void> => {
    // A second tap while the first is being stored would make a second notebook.
    if (making()) return;
    setMaking(true);
    const typed = new FormData(form);
    const text = (name: string): string => String(typed.get(name) ?? '').trim();
    const result = await beginWith(desk, props.handOut, { group: text('group'), members: text('members') });
    setMaking(false);
    props.onSaid(result);
  };
  return (
    <form
      class="arrived no-print"
      onSubmit={(event) => {
        event.preventDefault();
        void begin(event.currentTarget);
      }}
    >
      <p>{t().plan}</p>
      <div class="row">
        <label>
          {t().yourGroup}
          <input name="group" list={list} autocomplete="off" maxlength="80" />
        </label>
        <datalist id={list}>
          <For each={props.handOut.groups ?? []}>{(name) => <option value={name} />}</For>
        </datalist>
        <label>
          {t().members}
          <input name="members" autocomplete="off" maxlength="400" />
        </label>
        <button type="submit" class="primary">
          {t().start}
        </button>
      </div>
    </form>
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
