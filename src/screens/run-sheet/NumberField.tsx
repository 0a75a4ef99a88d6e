import { createSignal, createUniqueId, Show } from 'solid-js';
import { type InputKind, implausible } from '../../planning/plausible-input.ts';
import { local, pageLanguage, textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** A number with its unit. Commits when the person leaves the field or presses Enter; says what is wrong. */
export function NumberField(props: {
  label: string;
  unit?: string;
  value: number | undefined;
  min?: number;
  max?: number;
  /** Zero itself is refused. */
  positive?: boolean;
  /** What it measures: a figure that cannot be true is refused with the slip of the unit that it looks like. */
  kind?: InputKind;
  /** What is wrong with a number within the limits, as a sentence; null when nothing is. */
  refuse?: (value: number) => string | null;
  /** An empty field means "not stated". */
  optional?: boolean;
  /** The label is read by screen readers only: something visible beside it says the same. */
  hideLabel?: boolean;
  onCommit: (value: number | undefined) => void;
}) {
  const t = textsOf(texts);
  const [wrong, setWrong] = createSignal<string | null>(null);
  const id = createUniqueId();
  /** Why a figure is refused; null where it is taken. */
  const refusal = (value: number): string | null => {
    const min = props.min ?? 0;
    const max = props.max ?? 1e6;
    if (!Number.isFinite(value)) return t().notANumber;
    const slip = props.kind ? implausible(props.kind, value, pageLanguage()) : null;
    if (slip !== null) return slip;
    if (!props.kind && (value < min || (props.positive && value <= 0)))
      return props.positive ? t().moreThanZero : t().atLeast(min);
    return value > max ? t().atMost(max) : (props.refuse?.(value) ?? null);
  };
  const commit = (text: string): void => {
    const plain = text.trim().replace(',', '.');
    const value = plain === '' ? undefined : Number(plain);
    setWrong(value === undefined ? (props.optional ? null : t().needsNumber) : refusal(value));
    if (wrong() === null && value !== props.value) props.onCommit(value);
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
          value={local(String(props.value ?? ''))}
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
