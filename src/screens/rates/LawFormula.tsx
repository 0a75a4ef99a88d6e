import { For, Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { RateLaw } from '../../analysis/rate-law.ts';
import { constantOf } from '../../results/rate-table.ts';
import { speciesText } from '../../results/species.ts';
import { rateUnits } from '../../results/unit.ts';
import { figure } from './figures.ts';

/** The law with its numbers, as it is written; the same in words for those who hear it. */
export function LawFormula(props: { analysis: ExperimentAnalysis; law: RateLaw; nameOf: (species: string) => string }) {
  const k = () => constantOf(props.law, props.analysis.unit);
  const kText = (): string => {
    const unit = k();
    const { accepted } = props.law;
    return unit && accepted ? figure(accepted.k, accepted.u, unit.factor) : '';
  };
  const unit = () => (props.analysis.unit === 'amount' ? rateUnits['mol/(L s)'] : rateUnits['mL/s']).printed;
  const terms = () => Object.entries(props.law.accepted?.orders ?? {}).filter(([, order]) => order !== 0);
  const words = (): string =>
    `rate equals k${terms()
      .map(([species, order]) => ` times the concentration of ${props.nameOf(species)}${powerWords(order)}`)
      .join('')}; k is ${kText()} ${k()?.unit.printed ?? ''}`;
  return (
    <Show
      when={props.law.accepted && k()}
      // Which order is open, and why, is said in the sentence on the law that comes next.
      fallback={
        <p>
          {props.law.kReason === null
            ? 'No whole or half orders fit the runs, so no k is stated.'
            : 'No rate constant is stated while an order is open.'}
        </p>
      }
    >
      <p class="formula" role="math" aria-label={words()}>
        <span>
          <i>rate</i> = <i>k</i>
          <For each={terms()}>
            {([species, order]) => (
              <>
                {' '}
                [{speciesText(species)}]<Show when={order !== 1}>{<sup>{orderText(order)}</sup>}</Show>
              </>
            )}
          </For>
        </span>
        <span>
          <i>k</i> = {kText()} {k()?.unit.printed}
        </span>
      </p>
      <Show when={Object.keys(props.law.orders).length > 0}>
        <p class="quiet formula-estimated">
          As estimated, before whole or half numbers: <i>rate</i> ∝
          <For each={Object.entries(props.law.orders)}>
            {([species, order]) => (
              <>
                {' '}
                [{speciesText(species)}]<sup>{figure(order.value, order.u)}</sup>
              </>
            )}
          </For>
          . The rate is in {unit()}, concentrations in mol/L.
        </p>
      </Show>
    </Show>
  );
}

const orderText = (order: number): string => (order === 0.5 ? '½' : String(order).replace('-', '−'));

function powerWords(order: number): string {
  if (order === 1) return '';
  return order === 2 ? ' squared' : ` to the power ${order}`;
}
