import { createSignal, createUniqueId, For, onCleanup, Show } from 'solid-js';
import { makeDoor } from '../../files/door.ts';
import type { DoorStep } from '../../files/door-orders.ts';
import { type ColumnChoice, enteredEvents, type PastedReadings } from '../../files/pasted-readings.ts';
import { newId } from '../../log/new-id.ts';
import { distinctLabel, durationText } from '../../log/runs.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { createAnswer } from './create-answer.ts';
import { TypedRun } from './TypedRun.tsx';
import { texts } from './texts.ts';
import { Waiting } from './Waiting.tsx';

/** Times and volumes from elsewhere: pasted or dropped with a preview, or typed. */
export function PasteIn(props: {
  /** Text that is being looked at; null for none. */
  text: string | null;
  onText: (text: string | null) => void;
  /** Only into the notebook that is open. */
  intoOpen?: boolean;
}) {
  const t = textsOf(texts);
  const [typing, setTyping] = createSignal(false);
  let field!: HTMLTextAreaElement;
  return (
    <details class="paste-in" open={props.text !== null}>
      <summary>{t().pasteHeading}</summary>
      <label class="wide">
        {t().paste}
        <textarea ref={field} rows="4" spellcheck={false} onPaste={() => setTimeout(() => props.onText(field.value))} />
      </label>
      <p class="row">
        <button type="button" onClick={() => props.onText(field.value)}>
          {t().look}
        </button>
        <button type="button" aria-expanded={typing()} onClick={() => setTyping(!typing())}>
          {t().typeRun}
        </button>
      </p>
      <Show when={typing()}>
        <TypedRun intoOpen={props.intoOpen ?? false} onDone={() => setTyping(false)} />
      </Show>
      <Show when={props.text !== null}>
        <Preview
          text={props.text ?? ''}
          intoOpen={props.intoOpen ?? false}
          onDone={() => {
            field.value = '';
            props.onText(null);
          }}
        />
      </Show>
    </details>
  );
}

function Preview(props: { text: string; intoOpen: boolean; onDone: () => void }) {
  const desk = useDesk();
  const t = textsOf(texts);
  const [choice, setChoice] = createSignal<ColumnChoice>({});
  const [step, setStep] = createSignal<DoorStep | null>(null);
  const door = makeDoor(setStep);
  onCleanup(door.stop);
  const read = createAnswer(() => door.columns(props.text, pageLanguage(), choice()));
  const found = () => {
    const result = read();
    return result?.ok && result.value.ok ? result.value : null;
  };
  const refused = (): string | null => {
    const result = read();
    if (!result) return null;
    if (!result.ok) return result.sentences[pageLanguage()];
    return result.value.ok ? null : result.value.sentence;
  };
  const take = async (): Promise<void> => {
    const result = found();
    if (!result) return;
    if (!props.intoOpen && !(await desk.create(t().newTitle))) return;
    const journal = desk.journal();
    const state = desk.state();
    if (!journal || !state) return;
    const events = enteredEvents(
      result.runs,
      { timing: 'file', stated: result.stated, nowMs: journal.now() },
      distinctLabel,
      state.runs.map((run) => run.label),
      () => newId().slice(0, 13),
    );
    await desk.record(...events);
    desk.announce(t().taken(events.length));
    location.hash = hrefOf(props.intoOpen ? 'readings' : 'rates');
    props.onDone();
  };
  return (
    <section class="preview" aria-label={t().preview}>
      <Waiting step={step()} onStop={door.stop} />
      <Show when={refused()}>
        {(sentence) => (
          <p class="problem" role="alert">
            {sentence()}
          </p>
        )}
      </Show>
      <Show when={found()}>
        {(result) => (
          <>
            <h3>{t().preview}</h3>
            <Asked read={result()} choice={choice()} onChoice={setChoice} />
            <ul>
              <For each={result().runs}>{(run) => <RunPreview run={run} />}</For>
            </ul>
            <For each={[...result().notes, ...(result().stated ? [] : [t().unstated])]}>
              {(note) => <p class="quiet">{note}</p>}
            </For>
            <p class="quiet">{props.intoOpen ? t().intoOpen(desk.state()?.title ?? '') : t().intoNew}</p>
            <p class="row">
              <button type="button" class="primary" onClick={() => void take()}>
                {t().takeRuns(result().runs.length)}
              </button>
              <button type="button" onClick={props.onDone}>
                {t().away}
              </button>
            </p>
          </>
        )}
      </Show>
    </section>
  );
}

/** What the columns do not say themselves. */
function Asked(props: {
  read: Extract<PastedReadings, { ok: true }>;
  choice: ColumnChoice;
  onChoice: (choice: ColumnChoice) => void;
}) {
  const t = textsOf(texts);
  const asks = (what: (typeof props.read.asks)[number]): boolean => props.read.asks.includes(what);
  return (
    <div class="row">
      <Show when={asks('first')}>
        <Choice
          label={t().first}
          value={props.read.choice.first}
          options={[
            ['time', t().firstTime],
            ['volume', t().firstVolume],
          ]}
          onChoose={(first) => props.onChoice({ ...props.choice, first })}
        />
      </Show>
      <Show when={asks('time-unit')}>
        <Choice
          label={t().timeUnit}
          value={props.read.choice.timeUnit}
          options={[
            ['s', t().seconds],
            ['min', t().minutes],
          ]}
          onChoose={(timeUnit) => props.onChoice({ ...props.choice, timeUnit })}
        />
      </Show>
      <Show when={asks('volume-unit')}>
        <Choice
          label={t().volumeUnit}
          value={props.read.choice.volumeUnit}
          options={[
            ['mL', 'mL'],
            ['L', 'L'],
          ]}
          onChoose={(volumeUnit) => props.onChoice({ ...props.choice, volumeUnit })}
        />
      </Show>
    </div>
  );
}

function Choice<Value extends string>(props: {
  label: string;
  value: Value;
  options: readonly (readonly [Value, string])[];
  onChoose: (value: Value) => void;
}) {
  const name = createUniqueId();
  return (
    <fieldset class="row">
      <legend>{props.label}</legend>
      <For each={props.options}>
        {([value, words]) => (
          <label class="beside">
            <input type="radio" name={name} checked={value === props.value} onChange={() => props.onChoose(value)} />
            {words}
          </label>
        )}
      </For>
    </fieldset>
  );
}

function RunPreview(props: { run: { label: string; readings: readonly { time: string; value: string }[] } }) {
  const t = textsOf(texts);
  const place = (reading: { time: string; value: string } | undefined): string =>
    reading ? `${reading.value} mL (${durationText(Number(reading.time) * 1000)})` : '';
  return (
    <li>
      {t().oneRun(
        props.run.label,
        props.run.readings.length,
        place(props.run.readings[0]),
        place(props.run.readings.at(-1)),
      )}
    </li>
  );
}

export default PasteIn;
