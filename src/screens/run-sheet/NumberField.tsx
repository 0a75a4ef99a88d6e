import { createSignal, createUniqueId, Show } from 'solid-js';

/** A number with its unit. Commits when the person leaves the field or presses Enter; says what is wrong. */
export function NumberField(props: {
  label: string;
  unit?: string;
  value: number | undefined;
  min?: number;
  max?: number;
  /** Zero itself is refused. */
  positive?: boolean;
  /** What is wrong with a number within the limits, as a sentence; null when nothing is. */
  refuse?: (value: number) => string | null;
  /** An empty field means "not stated". */
  optional?: boolean;
  /** The label is read by screen readers only: something visible beside it says the same. */
  hideLabel?: boolean;
  onCommit: (value: number | undefined) => void;
}) {
  const [wrong, setWrong] = createSignal<string | null>(null);
  const id = createUniqueId();
  const commit = (text: string): void => {
    const plain = text.trim().replace(',', '.');
    if (plain === '') {
      if (props.optional) {
        setWrong(null);
        if (props.value !== undefined) props.onCommit(undefined);
      } else setWrong('A number is needed.');
      return;
    }
    const value = Number(plain);
    const min = props.min ?? 0;
    const max = props.max ?? 1e6;
    const refused = Number.isFinite(value) ? (props.refuse?.(value) ?? null) : null;
    if (!Number.isFinite(value)) setWrong('This is not a number.');
    else if (value < min || (props.positive && value <= 0))
      setWrong(props.positive ? 'It must be more than 0.' : `At least ${min}.`);
    else if (value > max) setWrong(`At most ${max}.`);
    else if (refused !== null) setWrong(refused);
    else {
      setWrong(null);
      if (value !== props.value) props.onCommit(value);
    }
  };
  return (
    <label class="number-field" for={id}>
      <span classList={{ 'for-screen-readers': props.hideLabel === true }}>
        {props.label}
        <Show when={props.unit && props.hideLabel}>{`, ${props.unit}`}</Show>
      </span>
      <span class="with-unit">
        <input
          id={id}
          type="text"
          inputmode="decimal"
          autocomplete="off"
          size="6"
          value={props.value ?? ''}
          aria-invalid={wrong() !== null}
          aria-describedby={wrong() === null ? undefined : `${id}-wrong`}
          onChange={(event) => commit(event.currentTarget.value)}
        />
        <Show when={props.unit}>
          <span aria-hidden={props.hideLabel}>{props.unit}</span>
        </Show>
      </span>
      <Show when={wrong()}>
        {(sentence) => (
          <span class="field-wrong" id={`${id}-wrong`} role="alert">
            {sentence()}
          </span>
        )}
      </Show>
    </label>
  );
}
