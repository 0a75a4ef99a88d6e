import { createMemo, createSignal, Show } from 'solid-js';
import { undoSentence } from '../../bench/undo.ts';
import type { Meaning } from '../../log/meaning.ts';
import type { NotebookState, Run } from '../../log/state.ts';
import { typedValue } from '../readings/call-list.ts';
import { local, pageLanguage, textsOf } from '../texts.ts';
import { byHandTexts } from './by-hand-texts.ts';
import type { KeyContext } from './keys.ts';

const t = textsOf(byHandTexts);

/** Everything that can be said, by tap: for those who cannot speak clearly, and for a noisy room. */
export function ByHand(props: {
  state: NotebookState;
  run: Run | null;
  context: KeyContext;
  nextMark: { text: string } | null;
  /** `atMs`: page time that it means, when that is not now. */
  press: (meaning: Meaning, atMs?: number) => void;
  undo: () => void;
}) {
  const undoes = createMemo(() => undoSentence(props.state, pageLanguage()));
  const undone = (what: string | null): string => (what ? t().takeBack(local(what)) : t().nothing);
  // A pointer must not leave the focus on a button: the space bar is the mark, not the last button again.
  const tap = (meaning: Meaning) => (event: MouseEvent) => {
    if (event.detail > 0 && event.currentTarget instanceof HTMLElement) event.currentTarget.blur();
    props.press(meaning);
  };
  // Before the first volume there is no next mark: the moment is kept, and the tool asks for the volume.
  const full = (): boolean => !props.nextMark && (props.run?.readings.length ?? 0) > 0;
  return (
    <details class="by-hand">
      <summary>{t().heading}</summary>
      <div class="row">
        <Show
          when={props.run}
          fallback={
            <button type="button" onClick={tap({ kind: 'start-run', run: props.context.nextRun })}>
              {t().startRun(props.context.nextRun)}
            </button>
          }
        >
          <button type="button" class="primary" disabled={full()} onClick={tap({ kind: 'mark' })}>
            {t().mark(local(props.nextMark?.text ?? ''))}
          </button>
          <button type="button" onClick={tap({ kind: 'disregard' })}>
            {t().disregard}
          </button>
          <button type="button" onClick={tap({ kind: props.state.paused ? 'go-ahead' : 'stand-by' })}>
            {props.state.paused ? t().goAhead : t().standBy}
          </button>
          <button
            type="button"
            onClick={tap({ kind: 'happening', what: props.context.swirling ? 'swirl-stopped' : 'swirling' })}
          >
            {props.context.swirling ? t().swirlStopped : t().swirling}
          </button>
          <button type="button" onClick={tap({ kind: 'end-run' })}>
            {t().endRun(props.run?.label ?? '')}
          </button>
        </Show>
        <button type="button" disabled={undoes() === null} onClick={() => props.undo()}>
          {undone(undoes())}
        </button>
      </div>
      <NumberForm press={props.press} />
      <NoteForm press={props.press} />
      <p class="quiet">
        {t().keys[0]}
        <a href="#/help/keys">{t().keys[1]}</a>
        {t().keys[2]}
      </p>
    </details>
  );
}

/** A number, typed: its moment is when the typing began. */
function NumberForm(props: { press: (meaning: Meaning, atMs?: number) => void }) {
  let kind!: HTMLSelectElement;
  let field!: HTMLInputElement;
  let fromMs: number | null = null;
  const [wrong, setWrong] = createSignal(false);
  const submit = (): void => {
    const value = typedValue(field.value);
    setWrong(value === null);
    if (value === null) {
      field.focus();
      return;
    }
    const meaning = meaningOf(kind.value, value);
    props.press(meaning, meaning.kind === 'reading' ? (fromMs ?? undefined) : undefined);
    field.value = '';
    fromMs = null;
    field.blur();
  };
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        submit();
      }}
    >
      <label>
        {t().numberFor}
        <select ref={kind}>
          <option value="reading">{t().reading}</option>
          <option value="correction">{t().correction}</option>
          <option value="baseline">{t().baseline}</option>
          <option value="temperature">{t().temperature}</option>
        </select>
      </label>
      <label>
        {t().inUnits}
        <input
          ref={field}
          inputmode="decimal"
          autocomplete="off"
          size="6"
          aria-invalid={wrong()}
          aria-describedby={wrong() ? 'number-wrong' : undefined}
          onInput={(event) => {
            fromMs = event.currentTarget.value === '' ? null : (fromMs ?? event.timeStamp);
          }}
        />
      </label>
      <button type="submit">{t().take}</button>
      <Show when={wrong()}>
        <p class="number-wrong" id="number-wrong" role="alert">
          {t().notANumber}
        </p>
      </Show>
    </form>
  );
}

function meaningOf(kind: string, value: string): Meaning {
  if (kind === 'correction' || kind === 'baseline' || kind === 'temperature') return { kind, value };
  return { kind: 'reading', values: [{ value }] };
}

function NoteForm(props: { press: (meaning: Meaning) => void }) {
  let field!: HTMLInputElement;
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        const text = field.value.trim();
        if (text === '') return;
        props.press({ kind: 'note', text });
        field.value = '';
        field.blur();
      }}
    >
      <label>
        {t().note}
        <input ref={field} type="text" maxlength="2000" autocomplete="off" />
      </label>
      <button type="submit">{t().keepNote}</button>
    </form>
  );
}

export default ByHand;
