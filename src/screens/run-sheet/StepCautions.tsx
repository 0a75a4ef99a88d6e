import { For, Show } from 'solid-js';
import type { Caution } from '../../chemistry/caution.ts';
import { checklistSentencesFor } from '../../planning/checklist-sentences.ts';
import { cautionText } from '../../planning/plan-mixture.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { momentOf, type SheetStep } from './steps.ts';
import { texts } from './texts.ts';

/** What can hurt in the part of the day that a step prepares, always in sight; all of it one tap away. */
export function StepCautions(props: { step: SheetStep; cautions: readonly Caution[] }) {
  const t = textsOf(texts);
  const here = () => props.cautions.filter(({ when }) => when === momentOf[props.step]);
  const rest = () => props.cautions.filter(({ when }) => when !== momentOf[props.step]);
  const deferral = () => checklistSentencesFor(pageLanguage()).deferral;
  return (
    <section class="caution no-print" aria-label={t().cautions}>
      <ul>
        <For each={here()}>{(caution) => <li>{cautionText(caution, pageLanguage())}</li>}</For>
        <Show when={props.step === 'what' || props.step === 'hand-out'}>
          <li>
            <strong>{deferral()}</strong>
          </li>
        </Show>
      </ul>
      <details>
        <summary>{t().allCautions}</summary>
        <ul>
          <For each={rest()}>{(caution) => <li>{cautionText(caution, pageLanguage())}</li>}</For>
          <li>
            <strong>{deferral()}</strong>
          </li>
        </ul>
      </details>
    </section>
  );
}
