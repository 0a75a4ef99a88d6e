import { createEffect, createMemo, For, on, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import { speciesOf } from '../../results/rate-table.ts';
import { budgetSentence, sharesOf } from '../../results/sentences.ts';
import { speciesInText } from '../../results/species.ts';
import { createDraws } from './draws.ts';
import { FullUncertainty } from './FullUncertainty.tsx';

/** Where the uncertainty of k comes from, at once and linear; and the whole chain by random draws when asked for. */
export function Uncertainty(props: { found: NotebookAnalysis; seed: number; current: boolean }) {
  const draws = createDraws();
  const analysis = () => props.found.analysis;
  // What was drawn belongs to the readings as they were then.
  createEffect(on(analysis, draws.forget, { defer: true }));
  const species = () => speciesOf(analysis());
  const lines = createMemo(() => {
    const { whole, law } = analysis();
    if (whole.ok && whole.accepted) return whole.accepted.budget;
    return law.ok && law.accepted ? [...sharesOf(law.accepted.shares)].sort((a, b) => b.share - a.share) : [];
  });
  const ofAll = () => {
    const { whole } = analysis();
    return whole.ok && whole.accepted !== null;
  };
  return (
    <section aria-labelledby="rates-uncertainty">
      <h2 id="rates-uncertainty" tabindex="-1">
        Uncertainty
      </h2>
      <Show
        when={lines().length > 0}
        fallback={
          <p>There is no k yet, so there is nothing to divide among the inputs. The rates carry their own figures.</p>
        }
      >
        <p>{speciesInText(budgetSentence(analysis()) ?? '', species())}</p>
        <p class="quiet">
          Shares of the variance of k from {ofAll() ? 'all readings at once' : 'the starting rates'}, by linear
          propagation.
        </p>
        <ul class="budget" aria-label="What the uncertainty of k comes from">
          <For each={lines()}>
            {({ source, u, share }) => (
              <li>
                <span class="budget-name">{speciesInText(source, species())}</span>
                <span class="budget-bar" aria-hidden="true">
                  <span style={{ width: `${(100 * share).toFixed(1)}%` }} />
                </span>
                <span class="budget-share">
                  {percent(share)} <span class="quiet">(alone {percent(u)} of k)</span>
                </span>
              </li>
            )}
          </For>
        </ul>
      </Show>
      <FullUncertainty analysis={analysis()} seed={props.seed} draws={draws} current={props.current} />
    </section>
  );
}

function percent(share: number): string {
  const value = 100 * share;
  if (value > 0 && value < 0.1) return 'less than 0.1 %';
  return `${value < 10 ? value.toFixed(1) : value.toFixed(0)} %`;
}
