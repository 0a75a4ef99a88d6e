/** One number of the setup, typed; empty: not stated. */
export function Field(props: { name: string; label: string; value: number | undefined }) {
  return (
    <label>
      {props.label}
      <input name={props.name} inputmode="decimal" autocomplete="off" size="7" value={props.value ?? ''} />
    </label>
  );
}
