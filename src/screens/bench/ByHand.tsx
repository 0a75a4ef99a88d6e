import { Show } from 'solid-js';
import type { Meaning } from '../../notebook/meaning.ts';
import type { NotebookState, Run } from '../../notebook/state.ts';
import type { KeyContext, KeyState } from './keys.ts';

/** Everything that can be said, by tap: for those who cannot speak clearly, and for a noisy room. */
export function ByHand(props: {
  state: NotebookState;
  run: Run | null;
  keys: KeyState;
  context: KeyContext;
  nextMark: { text: string } | null;
  press: (meaning: Meaning) => void;
  undo: () => void;
}) {
  // A pointer must not leave the focus on a button: the space bar is the mark, not the last button again.
  const tap = (meaning: Meaning) => (event: MouseEvent) => {
    if (event.detail > 0 && event.currentTarget instanceof HTMLElement) event.currentTarget.blur();
    props.press(meaning);
  };
  return (
    <details class="by-hand">
      <summary>By hand</summary>
      <div class="row">
        <Show
          when={props.run}
          fallback={
            <button type="button" onClick={tap({ kind: 'start-run', run: props.context.nextRun })}>
              Start run {props.context.nextRun}
            </button>
          }
        >
          <button type="button" disabled={!props.nextMark} onClick={tap({ kind: 'mark' })}>
            Mark {props.nextMark?.text}
          </button>
          <button type="button" onClick={tap({ kind: 'disregard' })}>
            Disregard
          </button>
          <button type="button" onClick={tap({ kind: props.state.paused ? 'go-ahead' : 'stand-by' })}>
            {props.state.paused ? 'Go ahead' : 'Stand by'}
          </button>
          <button
            type="button"
            onClick={tap({ kind: 'happening', what: props.context.swirling ? 'swirl-stopped' : 'swirling' })}
          >
            {props.context.swirling ? 'Swirl stopped' : 'Swirling'}
          </button>
          <button type="button" onClick={tap({ kind: 'end-run' })}>
            End run {props.run?.label}
          </button>
        </Show>
        <button type="button" disabled={props.state.undoable.length === 0} onClick={() => props.undo()}>
          Take back
        </button>
      </div>
      <NoteForm press={props.press} />
      <p class="quiet">
        Keys: space for a mark, digits and Enter for a value; <a href="#/help">all of them are under Help</a>.
      </p>
    </details>
  );
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
        Note
        <input ref={field} type="text" maxlength="2000" autocomplete="off" />
      </label>
      <button type="submit">Keep the note</button>
    </form>
  );
}
