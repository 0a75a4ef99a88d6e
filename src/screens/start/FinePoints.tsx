import { createMemo, untrack } from 'solid-js';
import type { Setup } from '../../log/setup.ts';
import { textsOf } from '../texts.ts';
import { Field } from './Field.tsx';
import { setupTexts } from './setup-texts.ts';

/** What most runs do without: levels, gas above the reaction, the caller's own steadiness. */
export function FinePoints(props: { setup: Setup }) {
  const t = textsOf(setupTexts);
  const back = () => props.setup.backPressure;
  // A memo, so that saving another field does not untick what was just ticked.
  const counts = createMemo(() => back()?.on ?? false);
  // Decided once: the form saves while one types, and must not fold under the hands.
  const opened = untrack(
    () => props.setup.waterHeadMm !== undefined || back() !== undefined || props.setup.uCallMs !== undefined,
  );
  return (
    <details open={opened}>
      <summary>{t().finePoints}</summary>
      <div class="row">
        <Field name="waterHeadMm" label={t().waterHeadMm} value={props.setup.waterHeadMm} />
        <Field name="uCallMs" label={t().uCallMs} value={props.setup.uCallMs} />
        <div class="row">
          <Field name="headspaceMl" label={t().headspaceMl} value={back()?.headspaceMl} />
          <Field name="uHeadspaceMl" label={t().uHeadspaceMl} value={back()?.uHeadspaceMl} />
        </div>
        <div class="row">
          <Field name="cylinderBoreMm" label={t().cylinderBoreMm} value={back()?.cylinderBoreMm} />
          <Field name="uCylinderBoreMm" label={t().uCylinderBoreMm} value={back()?.uCylinderBoreMm} />
        </div>
      </div>
      <label class="beside">
        <input type="checkbox" name="headspaceCounts" checked={counts()} />
        {t().headspaceCounts}
      </label>
      <p class="quiet">{t().headspaceHint}</p>
    </details>
  );
}
