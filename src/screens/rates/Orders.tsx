import { For, type JSX, Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { RateLaw } from '../../analysis/rate-law.ts';
import { constantOf, constantUnit, speciesOf } from '../../results/rate-table.ts';
import { plainNumber } from '../../results/round-by-uncertainty.ts';
import { speciesInText, speciesText } from '../../results/species.ts';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { figure, rangeText } from './figures.ts';

/** Orders and k from the starting rates beside those from all readings at once; what the design cannot tell, in words. */
export function Orders(props: { analysis: ExperimentAnalysis; law: RateLaw }) {
  const whole = () => {
    const { whole } = props.analysis;
    return whole.ok ? whole : null;
  };
  const wholeK = () => whole()?.accepted ?? null;
  const wholeUnit = () => {
    const it = wholeK();
    return it && constantUnit(sum(it.orders), it.fit.unit);
  };
  const unit = () => constantOf(props.law, props.analysis.unit);
  const accepted = () => props.law.accepted;
  return (
    <>
      <h3>Orders and k, two ways</h3>
      <p>
        The starting rates give the law one figure a run. Fitting all readings at once uses every reading and how the
        reagent was used up; where both can be had, the second is the better one and the first its check.
      </p>
      <ScrollRegion label="Orders and k from the starting rates and from all readings at once">
        <table>
          <caption class="for-screen-readers">
            Orders and k from the starting rates and from all readings at once
          </caption>
          <thead>
            <tr>
              <th scope="col">quantity</th>
              <th scope="col">from starting rates</th>
              <th scope="col">95 % interval</th>
              <th scope="col">accepted as</th>
              <th scope="col">from all readings at once</th>
              <th scope="col">95 % interval</th>
            </tr>
          </thead>
          <tbody>
            <For each={Object.entries(props.law.orders)}>
              {([species, order]) => {
                const other = () => whole()?.orders[species];
                return (
                  <Row
                    name={`order in ${speciesText(species)}`}
                    first={figure(order.value, order.u)}
                    firstRange={rangeText(order.low95, order.high95, order.u)}
                    accepted={order.accepted === null ? 'none' : plainNumber(order.accepted)}
                    second={other() ? figure(other()!.value, other()!.u) : '–'}
                    secondRange={other() ? rangeText(other()!.low95, other()!.high95, other()!.u) : '–'}
                  />
                );
              }}
            </For>
            <Show when={unit()}>
              {(of) => (
                <Row
                  name={`k (${of().unit.printed})`}
                  first={accepted() ? figure(accepted()!.k, accepted()!.u, of().factor) : '–'}
                  firstRange={rangeText(
                    accepted()?.low95 ?? null,
                    accepted()?.high95 ?? null,
                    accepted()?.u ?? null,
                    of().factor,
                  )}
                  accepted=""
                  second={wholeK() ? figure(wholeK()!.k, wholeK()!.u, wholeUnit()!.factor) : '–'}
                  secondRange={
                    wholeK() ? rangeText(wholeK()!.low95, wholeK()!.high95, wholeK()!.u, wholeUnit()!.factor) : '–'
                  }
                />
              )}
            </Show>
          </tbody>
        </table>
      </ScrollRegion>
      <ul class="notes">
        <For each={Object.entries(props.law.orders)}>
          {([species, order]) => (
            <li>
              Order in {speciesText(species)}: {order.reason.replace(/(^|\s)-(?=\d)/g, '$1−')}
            </li>
          )}
        </For>
        <For each={props.law.problems}>
          {({ species, sentence }) => (
            <li>
              <strong>Not to be told: order in {speciesText(species)}.</strong>{' '}
              {speciesInText(sentence, speciesOf(props.analysis))}
            </li>
          )}
        </For>
        <Show when={!whole() && !props.analysis.whole.ok}>
          <li>
            All readings at once:{' '}
            {props.analysis.whole.ok ? '' : speciesInText(props.analysis.whole.sentence, speciesOf(props.analysis))}
          </li>
        </Show>
        <Show when={wholeUnit() && unit() && wholeUnit()!.unit.printed !== unit()!.unit.printed}>
          <li>k from all readings at once is in {wholeUnit()!.unit.printed}.</li>
        </Show>
      </ul>
    </>
  );
}

const sum = (orders: Readonly<Record<string, number>>): number => Object.values(orders).reduce((a, b) => a + b, 0);

function Row(props: {
  name: string;
  first: string;
  firstRange: string;
  accepted: string;
  second: string;
  secondRange: string;
}): JSX.Element {
  return (
    <tr>
      <th scope="row">{props.name}</th>
      <td class="figure">{props.first}</td>
      <td class="figure">{props.firstRange}</td>
      <td>{props.accepted}</td>
      <td class="figure">{props.second}</td>
      <td class="figure">{props.secondRange}</td>
    </tr>
  );
}
