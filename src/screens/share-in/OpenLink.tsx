import { createSignal, createUniqueId, For, Match, onCleanup, Show, Switch } from 'solid-js';
import { makeDoor } from '../../files/door.ts';
import type { Arrived, DoorStep } from '../../files/door-orders.ts';
import type { HandOut } from '../../files/hand-out.ts';
import { useDesk } from '../desk.tsx';
import { Sheet } from '../report/Sheet.tsx';
import '../look/paper.css';
import '../report/report.css';
import { createRoute, hrefOf } from '../route.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { HandOutView } from './HandOutView.tsx';
import './share-in.css';
import { createAnswer } from './create-answer.ts';
import { type Brought, beginWith, keepArrived } from './take-arrival.ts';
import { texts } from './texts.ts';
import { Waiting } from './Waiting.tsx';

/** What a link brought: to look at first, to keep second. Nothing is stored until the person says so. */
export function OpenLink() {
  const desk = useDesk();
  const route = createRoute();
  const t = textsOf(texts);
  const [step, setStep] = createSignal<DoorStep | null>(null);
  const door = makeDoor(setStep);
  onCleanup(door.stop);
  // Not a resource: while it is read there is something to see, and a way to stop.
  const read = createAnswer(() => {
    const link = `#/open/${route().rest.join('/')}`;
    return door.arrive(link, { language: pageLanguage(), report: true });
  });
  const arrived = (): Arrived | null => {
    const found = read();
    return found?.ok ? found.value : null;
  };
  const notebook = () => {
    const found = arrived();
    return found?.kind === 'notebook' ? found : null;
  };
  const handOut = (): HandOut | null => {
    const found = arrived();
    return found?.kind === 'plan' ? found.handOut : null;
  };
  const refused = (): string | null => {
    const found = read();
    return found && !found.ok ? found.sentences[pageLanguage()] : null;
  };
  const [problem, setProblem] = createSignal('');

  const said = (result: Brought): void => {
    desk.announce(result.sentence);
    if (!result.ok) setProblem(result.sentence);
  };
  const keep = async (): Promise<void> => said(await keepArrived(desk, door));

  return (
    <>
      <h1 class="no-print">{t().brought}</h1>
      <Show when={problem()}>{(sentence) => <p class="problem">{sentence()}</p>}</Show>
      <Waiting step={step()} onStop={door.stop} />
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
                <button type="button" class="primary" onClick={() => void keep()}>
                  {t().keep}
                </button>
              </div>
              <Show when={found().report} fallback={<p class="problem">{t().noReport}</p>}>
                {(report) => <Sheet report={report()} />}
              </Show>
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

export default OpenLink;
