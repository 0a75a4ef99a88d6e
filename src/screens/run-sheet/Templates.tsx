import { For } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import { emptyPlan, planIn, planTemplates } from '../../planning/plan-templates.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** Plans to start from. */
export function Templates(props: { onChoose: (plan: Plan) => void }) {
  const t = textsOf(texts);
  return (
    <section aria-labelledby="templates">
      <h2 id="templates">{t().startFrom}</h2>
      <ul class="templates">
        <For each={planTemplates}>
          {(template) => (
            <li>
              <button type="button" onClick={() => props.onChoose(planIn(template.plan, pageLanguage()))}>
                <strong>{template.title[pageLanguage()]}</strong>
                <span>{template.words[pageLanguage()]}</span>
              </button>
            </li>
          )}
        </For>
        <li>
          <button type="button" onClick={() => props.onChoose(emptyPlan)}>
            <strong>{t().emptySheet}</strong>
            <span>{t().ownReaction}</span>
          </button>
        </li>
      </ul>
      <p class="quiet">{t().templateHint}</p>
    </section>
  );
}
