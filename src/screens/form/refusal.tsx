import { createSignal, createUniqueId, type JSX, Show } from 'solid-js';

/** Why what was typed is not taken: one sentence below the form, tied to its field. */
export interface Refusal {
  /** Sets the sentence; an empty one takes it away. */
  say(sentence: string): void;
  readonly sentence: () => string;
  /** Attributes of the field that is refused: `<input {...refusal.field} />`. */
  readonly field: Pick<JSX.InputHTMLAttributes<HTMLInputElement>, 'aria-invalid' | 'aria-describedby'>;
  /** The line itself. */
  readonly Line: () => JSX.Element;
}

export function createRefusal(): Refusal {
  const [sentence, say] = createSignal('');
  const id = createUniqueId();
  return {
    say,
    sentence,
    field: {
      get 'aria-invalid'() {
        return sentence() !== '';
      },
      get 'aria-describedby'() {
        return sentence() === '' ? undefined : id;
      },
    },
    Line: () => (
      <Show when={sentence()}>
        <p id={id} role="alert" class="wrong">
          {sentence()}
        </p>
      </Show>
    ),
  };
}
