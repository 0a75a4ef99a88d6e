import { impossibleReading } from '../../bench/plausible.ts';
import { useDesk } from '../desk.tsx';
import { createRefusal } from '../form/refusal.tsx';
import { local, pageLanguage } from '../texts.ts';
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
  const refusal = createRefusal();
  const wrongWith = (value: string | null): string => {
    if (value === null) return t().notANumber;
    if (props.stands && value === props.value) return t().standsAlready(value);
    const setup = desk.state()?.setup;
    const refusal = setup ? impossibleReading(value, setup, pageLanguage()) : null;
    return refusal ? t().refused(local(refusal)) : '';
  };
  let field!: HTMLInputElement;
  return (
    <form
      class="row value-form"
      onSubmit={(event) => {
        event.preventDefault();
        const value = typedValue(field.value);
        refusal.say(wrongWith(value));
        if (value !== null && refusal.sentence() === '') props.onValue(value);
      }}
    >
      <label>
        {props.label}
        <input ref={field} inputmode="decimal" autocomplete="off" size="8" value={props.value} {...refusal.field} />
      </label>
      <button type="submit">{props.save ?? t().take}</button>
      <refusal.Line />
    </form>
  );
}
