import { createSignal, createUniqueId, Show } from 'solid-js';
import { impossibleReading } from '../../bench/plausible.ts';
import { useDesk } from '../desk.tsx';
import { typedValue } from './call-list.ts';
import { readingsTexts as t } from './texts.ts';

/** Types a value for a call or reading. What the cylinder cannot show is refused in words. */
export function ValueForm(props: {
  label: string;
  value: string;
  /** The value stands already: taking it again would say nothing. */
  stands?: boolean;
  /** What its button says. */
  save?: string;
  onValue: (value: string) => void;
}) {
  const desk = useDesk();
  const [wrong, setWrong] = createSignal('');
  const wrongWith = (value: string | null): string => {
    if (value === null) return t().notANumber;
    if (props.stands && value === props.value) return t().standsAlready(value);
    const setup = desk.state()?.setup;
    const refusal = setup ? impossibleReading(value, setup) : null;
    return refusal ? t().refused(refusal) : '';
  };
  const id = createUniqueId();
  let field!: HTMLInputElement;
  return (
    <form
      class="row value-form"
      onSubmit={(event) => {
        event.preventDefault();
        const value = typedValue(field.value);
        setWrong(wrongWith(value));
        if (value !== null && wrong() === '') props.onValue(value);
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
          aria-invalid={wrong() !== ''}
          aria-describedby={wrong() ? id : undefined}
        />
      </label>
      <button type="submit">{props.save ?? t().take}</button>
      <Show when={wrong()}>
        <p id={id} role="alert" class="wrong">
          {wrong()}
        </p>
      </Show>
    </form>
  );
}
