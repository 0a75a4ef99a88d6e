import { For, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import { rateConstantAt } from '../../chemistry/reactions.ts';
import { comparisonSentence } from '../../results/sentences.ts';
import { Marked } from '../table/Marked.tsx';
import { local, pageLanguage } from '../texts.ts';
import { ratesTexts as t } from './texts.ts';

/** k beside the published ones, where the reaction has such and the orders are the usual ones. */
export function Comparison(props: { found: NotebookAnalysis }) {
  return (
    <Show when={published(props.found).length > 0}>
      <h3>{t().published}</h3>
      <ul class="notes">
        <For each={published(props.found)}>
          {(sentence) => (
            <li>
              <Marked text={sentence} />
            </li>
          )}
        </For>
      </ul>
    </Show>
  );
}

function published({ analysis, reaction }: NotebookAnalysis): string[] {
  const { law, whole, unit, referenceK, headline } = analysis;
  const best = (whole.ok && whole.accepted) || (law.ok && law.accepted);
  const activation = reaction?.activation[0];
  if (!headline?.k || !best || !reaction || !activation || unit !== 'amount' || referenceK === null || !best.u)
    return [];
  const { usualOrders } = reaction;
  const usual = new Set([...Object.keys(usualOrders), ...Object.keys(best.orders)]);
  if ([...usual].some((species) => usualOrders[species] !== best.orders[species])) return [];
  const order = Object.values(usualOrders).reduce((a, b) => a + b, 0);
  const { k, u } = best;
  return reaction.published.map((one) => {
    const there = rateConstantAt(one, activation.jPerMol, referenceK) * 1000 ** (order - 1);
    const carried =
      Math.abs(one.temperatureK - referenceK) < 0.05
        ? one.source
        : t().carried(one.source, (one.temperatureK - 273.15).toFixed(0), local((referenceK - 273.15).toFixed(1)));
    return comparisonSentence(k, u, there, carried, pageLanguage());
  });
}
