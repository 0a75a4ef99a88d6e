import { showStored } from '../settled.ts';

/** One number of the setup, typed; empty: not stated. */
export function Field(props: { name: string; label: string; value: number | undefined }) {
  let input!: HTMLInputElement;
  showStored(
    () => input,
    () => String(props.value ?? ''),
  );
  return (
    <label>
      {props.label}
      <input ref={input} name={props.name} inputmode="decimal" autocomplete="off" size="7" />
    </label>
  );
}
