import { createMemo, untrack } from 'solid-js';
import type { Setup } from '../../log/setup.ts';
import { Field } from './Field.tsx';

/** What most runs do without: levels, gas above the reaction, the caller's own steadiness. */
export function FinePoints(props: { setup: Setup }) {
  const back = () => props.setup.backPressure;
  // A memo, so that saving another field does not untick what was just ticked.
  const counts = createMemo(() => back()?.on ?? false);
  // Decided once: the form saves while one types, and must not fold under the hands.
  const opened = untrack(
    () => props.setup.waterHeadMm !== undefined || back() !== undefined || props.setup.uCallMs !== undefined,
  );
  return (
    <details open={opened}>
      <summary>Fine points</summary>
      <div class="row">
        <Field
          name="waterHeadMm"
          label="At the start, water on the gas side stands higher by (mm)"
          value={props.setup.waterHeadMm}
        />
        <Field name="uCallMs" label="A call is good to (ms)" value={props.setup.uCallMs} />
        <div class="row">
          <Field name="headspaceMl" label="Gas above the reaction (mL)" value={back()?.headspaceMl} />
          <Field name="uHeadspaceMl" label="± mL" value={back()?.uHeadspaceMl} />
        </div>
        <div class="row">
          <Field name="cylinderBoreMm" label="Bore of the cylinder (mm)" value={back()?.cylinderBoreMm} />
          <Field name="uCylinderBoreMm" label="± mm" value={back()?.uCylinderBoreMm} />
        </div>
      </div>
      <label class="beside">
        <input type="checkbox" name="headspaceCounts" checked={counts()} />
        Allow for the gas above the reaction
      </label>
      <p class="quiet">
        Where the tube ends under the water of the cylinder, the rising level presses on the gas that is already there:
        250 mL of it make the rates some 4 % too small. Rates shows how much it is here. A ± left empty is taken as
        10&nbsp;% of that gas and 2&nbsp;% of the bore: a judgement, no source. A call’s standard uncertainty is 80 ms
        unless a rehearsal has measured yours.
      </p>
    </details>
  );
}
