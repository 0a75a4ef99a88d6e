import { createSignal, createUniqueId, For, type JSX, Match, Show, Switch } from 'solid-js';
import type { EventBody } from '../../log/event.ts';
import type { Run } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { AddReading } from './AddReading.tsx';
import { readingsTexts as t } from './texts.ts';

type Form = 'rename' | 'add' | 'aside' | 'join';

/** What can be done to a whole run: every act can be taken back, and none destroys anything. */
export function RunMenu(props: {
  run: Run;
  /** All runs, in their order. */
  runs: readonly Run[];
  onDone: () => void;
}) {
  const desk = useDesk();
  const [form, setForm] = createSignal<Form | null>(null);
  const index = () => props.runs.findIndex(({ id }) => id === props.run.id);
  const others = () => props.runs.filter(({ id }) => id !== props.run.id);

  const done = async (sentence: string, ...bodies: EventBody[]): Promise<void> => {
    if (await desk.record(...bodies)) desk.announce(sentence);
    props.onDone();
  };
  const move = (by: -1 | 1): void => {
    const ids = props.runs.map(({ id }) => id);
    const from = index();
    const [id] = ids.splice(from, 1);
    if (id) ids.splice(from + by, 0, id);
    void done(t().moved(props.run.label), { kind: 'runs-ordered', runs: ids });
  };
  const Opener = (own: { form: Form; label: string }) => (
    <button
      type="button"
      aria-expanded={form() === own.form}
      onClick={() => setForm(form() === own.form ? null : own.form)}
    >
      {own.label}
    </button>
  );

  return (
    <div class="run-menu">
      <div class="row">
        <Opener form="rename" label={t().rename} />
        <Opener form="add" label={t().addReading} />
        <Opener form="aside" label={t().setRunAside} />
        <Show when={others().length > 0}>
          <Opener form="join" label={t().join} />
        </Show>
        <Show when={index() > 0}>
          <button type="button" onClick={() => move(-1)}>
            {t().up}
          </button>
        </Show>
        <Show when={index() < props.runs.length - 1}>
          <button type="button" onClick={() => move(1)}>
            {t().down}
          </button>
        </Show>
        <button
          type="button"
          onClick={() =>
            void done(t().removed(props.run.label), {
              kind: 'run-removed',
              run: props.run.id,
              how: 'deleted',
              why: '',
            })
          }
        >
          {t().remove}
        </button>
      </div>
      <OpenForm form={form()} run={props.run} others={others()} done={done} />
    </div>
  );
}

/** The form of the act that was chosen, if it needs one. */
function OpenForm(props: {
  form: Form | null;
  run: Run;
  others: readonly Run[];
  done: (sentence: string, ...bodies: EventBody[]) => Promise<void>;
}) {
  return (
    <Switch>
      <Match when={props.form === 'rename'}>
        <Rename
          run={props.run}
          taken={props.others.map(({ label }) => label)}
          onRename={(label) => void props.done(t().renamed(label), { kind: 'run-renamed', run: props.run.id, label })}
        />
      </Match>
      <Match when={props.form === 'add'}>
        <AddReading run={props.run} onAdd={(ml, body) => void props.done(t().added(ml, props.run.label), body)} />
      </Match>
      <Match when={props.form === 'aside'}>
        <OneField
          label={t().whyAside}
          act={t().setRunAside}
          maxLength={500}
          onGive={(why) =>
            void props.done(t().runAside(props.run.label), {
              kind: 'run-removed',
              run: props.run.id,
              how: 'set-aside',
              why,
            })
          }
        />
      </Match>
      <Match when={props.form === 'join'}>
        <Join
          runs={props.others}
          onJoin={(into) =>
            void props.done(t().joined(into.label), { kind: 'run-joined', run: props.run.id, into: into.id })
          }
        />
      </Match>
    </Switch>
  );
}

/** One text field with its button; focused when it opens. */
function OneField(props: {
  label: string;
  act: string;
  value?: string;
  maxLength: number;
  wrong?: string;
  onGive: (text: string) => void;
  children?: JSX.Element;
}) {
  const id = createUniqueId();
  let field!: HTMLInputElement;
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        props.onGive(field.value.trim());
      }}
    >
      <label>
        {props.label}
        <input
          ref={(input) => {
            field = input;
            queueMicrotask(() => input.focus());
          }}
          value={props.value ?? ''}
          maxlength={props.maxLength}
          autocomplete="off"
          aria-invalid={Boolean(props.wrong)}
          aria-describedby={props.wrong ? id : undefined}
        />
      </label>
      <button type="submit">{props.act}</button>
      <Show when={props.wrong}>
        <p class="wrong" id={id} role="alert">
          {props.wrong}
        </p>
      </Show>
    </form>
  );
}

function Rename(props: { run: Run; taken: readonly string[]; onRename: (label: string) => void }) {
  const [wrong, setWrong] = createSignal('');
  return (
    <OneField
      label={t().runName}
      act={t().rename}
      value={props.run.label}
      maxLength={40}
      wrong={wrong()}
      onGive={(label) => {
        setWrong(label === '' ? t().nameLength : props.taken.includes(label) ? t().nameTaken(label) : '');
        if (wrong() === '') props.onRename(label);
      }}
    />
  );
}

function Join(props: { runs: readonly Run[]; onJoin: (into: Run) => void }) {
  let chosen!: HTMLSelectElement;
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        const into = props.runs[chosen.selectedIndex];
        if (into) props.onJoin(into);
      }}
    >
      <label>
        {t().joinWith}
        <select
          ref={(select) => {
            chosen = select;
            queueMicrotask(() => select.focus());
          }}
        >
          <For each={props.runs}>{(run) => <option>{t().optionRun(run.label)}</option>}</For>
        </select>
      </label>
      <button type="submit">{t().join}</button>
    </form>
  );
}

export default RunMenu;
