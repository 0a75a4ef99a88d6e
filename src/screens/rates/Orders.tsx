import { For, type JSX, Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { RateLaw } from '../../analysis/rate-law.ts';
import { orderReason, problemText, refusalText } from '../../results/analysis-texts.ts';
import { constantOf, constantUnit, speciesOf } from '../../results/rate-table.ts';
import { plainNumber } from '../../results/round-by-uncertainty.ts';
import { speciesInText, speciesText } from '../../results/species.ts';
import { resultTexts } from '../../results/texts.ts';
import { Marked } from '../table/Marked.tsx';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { local, pageLanguage } from '../texts.ts';
import { figure, rangeText } from './figures.ts';
import { ratesTexts as t } from './texts.ts';

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
  const unit = () => (props.analysis.headline?.k ? constantOf(props.law, props.analysis.unit) : null);
  const atOnce = () => constantTexts(wholeK(), wholeUnit()?.factor ?? 1);
  const otherUnit = () => {
    const [ofRates, ofReadings] = [unit()?.unit.printed, wholeUnit()?.unit.printed];
    return ofRates && ofReadings && ofRates !== ofReadings ? ofReadings : null;
  };
  return (
    <>
      <h3>{t().twoWays}</h3>
      <p>{t().twoWaysHelp}</p>
      <ScrollRegion label={t().twoWaysTable}>
        <table>
          <caption class="for-screen-readers">{t().twoWaysTable}</caption>
          <thead>
            <tr>
              <th scope="col">{t().columns.quantity}</th>
              <th scope="col">{t().columns.fromRates}</th>
              <th scope="col">{t().columns.interval}</th>
              <th scope="col">{t().columns.accepted}</th>
              <th scope="col">{t().columns.fromReadings}</th>
              <th scope="col">{t().columns.interval}</th>
            </tr>
          </thead>
          <tbody>
            <For each={Object.entries(props.law.orders)}>
              {([species, order]) => {
                const other = () => {
                  const order = whole()?.orders[species];
                  return order && [figure(order.value, order.u), rangeText(order.low95, order.high95, order.u)];
                };
                return (
                  <Row
                    name={t().order(speciesText(species))}
                    first={figure(order.value, order.u)}
                    firstRange={rangeText(order.low95, order.high95, order.u)}
                    accepted={
                      order.accepted === null ? resultTexts[pageLanguage()].none : local(plainNumber(order.accepted))
                    }
                    second={other()?.[0] ?? '–'}
                    secondRange={other()?.[1] ?? '–'}
                  />
                );
              }}
            </For>
            <Show when={unit()}>
              {(of) => (
                <Row
                  name={`k (${of().unit.printed})`}
                  {...constantTexts(props.law.accepted, of().factor)}
                  accepted=""
                  second={atOnce().first}
                  secondRange={atOnce().firstRange}
                />
              )}
            </Show>
          </tbody>
        </table>
      </ScrollRegion>
      <Notes analysis={props.analysis} law={props.law} otherUnit={otherUnit()} />
    </>
  );
}

/** What the design or the readings cannot tell, and in which unit the other k is. */
function Notes(props: { analysis: ExperimentAnalysis; law: RateLaw; otherUnit: string | null }) {
  const notAtOnce = () => (props.analysis.whole.ok ? null : refusalText(props.analysis.whole, pageLanguage()));
  return (
    <ul class="notes">
      <For each={Object.entries(props.law.orders)}>
        {([species, order]) => (
          <li>
            <Marked text={t().orderReason(speciesText(species), orderReason(order, pageLanguage()))} />
          </li>
        )}
      </For>
      <For each={props.law.problems}>
        {(problem) => (
          <li>
            <strong>
              <Marked text={t().cannotTell(speciesText(problem.species))} />
            </strong>{' '}
            <Marked text={speciesInText(problemText(problem, pageLanguage()), speciesOf(props.analysis))} />
          </li>
        )}
      </For>
      <Show when={notAtOnce()}>
        {(sentence) => (
          <li>
            <Marked text={t().atOnce(speciesInText(sentence(), speciesOf(props.analysis)))} />
          </li>
        )}
      </Show>
      <Show when={props.otherUnit}>
        {(printed) => (
          <li>
            <Marked text={t().otherUnit(printed())} />
          </li>
        )}
      </Show>
    </ul>
  );
}

/** k and its range as the table prints them; dashes where there is none. */
const constantTexts = (constant: ConstantFigures | null, factor: number) => ({
  first: constant ? figure(constant.k, constant.u, factor) : '–',
  firstRange: constant ? rangeText(constant.low95, constant.high95, constant.u, factor) : '–',
});

interface ConstantFigures {
  readonly k: number;
  readonly u: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
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
      <th scope="row">
        <Marked text={props.name} />
      </th>
      <td class="figure">
        <Marked text={props.first} />
      </td>
      <td class="figure">{props.firstRange}</td>
      <td>{props.accepted}</td>
      <td class="figure">
        <Marked text={props.second} />
      </td>
      <td class="figure">{props.secondRange}</td>
    </tr>
  );
}
