import { For } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import { emptyPlan, planTemplates } from '../../planning/plan-templates.ts';

/** Plans to start from. */
export function Templates(props: { onChoose: (plan: Plan) => void }) {
  return (
    <section aria-labelledby="templates">
      <h2 id="templates">Start from</h2>
      <ul class="templates">
        <For each={planTemplates}>
          {(template) => (
            <li>
              <button type="button" onClick={() => props.onChoose(template.plan)}>
                <strong>{template.title}</strong>
                <span>{template.words}</span>
              </button>
            </li>
          )}
        </For>
        <li>
          <button type="button" onClick={() => props.onChoose(emptyPlan)}>
            <strong>An empty sheet</strong>
            <span>For a reaction of your own.</span>
          </button>
        </li>
      </ul>
      <p class="quiet">
        A plan may also come as a link or a file from whoever prepared the day. Strengths and volumes here are examples:
        put in what your labels say.
      </p>
    </section>
  );
}
