import { createSignal, createUniqueId, Show } from 'solid-js';
import { typedValue } from './call-list.ts';

/** Types a value for a call or reading. */
export function ValueForm(props: { label: string; value: string; onValue: (value: string) => void }) {
  const [wrong, setWrong] = createSignal(false);
  const id = createUniqueId();
  let field!: HTMLInputElement;
  return (
    <form
      class="row value-form"
      onSubmit={(event) => {
        event.preventDefault();
        const value = typedValue(field.value);
        setWrong(value === null);
        if (value !== null) props.onValue(value);
      }}
    >
      <label>
        {props.label}
        <input
          ref={field}
          inputmode="decimal"
          autocomplete="off"
          size="8"
          value={props.value}
          aria-invalid={wrong()}
          aria-describedby={wrong() ? id : undefined}
        />
      </label>
      <button type="submit">Take this value</button>
      <Show when={wrong()}>
        <p id={id} role="alert" class="wrong">
          A number such as 24 or 24.5, please.
        </p>
      </Show>
    </form>
  );
}
