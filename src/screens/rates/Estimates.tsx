import { For, Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { EstimatorName } from '../../analysis/run-data.ts';
import { reasonText, refusalText } from '../../results/analysis-texts.ts';
import { resultTexts } from '../../results/texts.ts';
import { useDesk } from '../desk.tsx';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { pageLanguage } from '../texts.ts';
import { figure, rangeText } from './figures.ts';
import { ratesTexts as t } from './texts.ts';

const names: readonly EstimatorName[] = ['line', 'quadratic', 'firstOrder'];

const nameOf = (name: EstimatorName): string => resultTexts[pageLanguage()].estimators[name];

/** The three estimates beside one another, the recommended one named with its reason, and the person's choice. */
export function Estimates(props: { result: RunAnalysis; run: string; label: string }) {
  const desk = useDesk();
  const recommended = () => props.result.recommended;
  const chosen = (): EstimatorName | null => props.result.run.chosen ?? null;
  const choose = async (estimator: EstimatorName | null): Promise<void> => {
    if (await desk.record({ kind: 'estimate-chosen', run: props.run, estimator }))
      desk.announce(t().chosen(props.label, estimator === null ? null : nameOf(estimator)));
  };
  const verdict = (name: EstimatorName): string =>
    [
      ...(recommended()?.name === name ? [t().recommended] : []),
      ...(props.result.used?.estimator === name ? [t().used] : []),
    ].join(', ');
  return (
    <>
      <h3>{t().estimates}</h3>
      <Show when={recommended()}>
        {(it) => {
          const parts = () => t().recommendedIs(nameOf(it().name), reasonText(props.result, pageLanguage()));
          return (
            <p>
              {parts()[0]}
              <strong>{parts()[1]}</strong>
              {parts()[2]}
            </p>
          );
        }}
      </Show>
      <ScrollRegion label={t().estimatesOf(props.label)}>
        <table class="estimates">
          <caption class="for-screen-readers">{t().estimatesOf(props.label)}</caption>
          <thead>
            <tr>
              <th scope="col">{t().columns.estimate}</th>
              <th scope="col">{t().columns.rate}</th>
              <th scope="col">{t().columns.intervalMl}</th>
              <th scope="col">{t().columns.verdict}</th>
            </tr>
          </thead>
          <tbody>
            <For each={names}>
              {(name) => {
                const estimate = () => {
                  // What is used may be averaged over the curves that all runs show together.
                  const one = props.result.used?.estimator === name ? props.result.used : props.result.estimates[name];
                  return one.ok ? one : null;
                };
                const refusal = () => {
                  const one = props.result.estimates[name];
                  return one.ok ? '' : refusalText(one, pageLanguage());
                };
                return (
                  <>
                    <tr class="estimate" classList={{ used: props.result.used?.estimator === name }}>
                      <th scope="row">{nameOf(name)}</th>
                      <td class="figure">{figure(estimate()?.rateM3PerS ?? Number.NaN, estimate()?.u, 1e6)}</td>
                      <td class="figure">
                        {rangeText(estimate()?.low95 ?? null, estimate()?.high95 ?? null, estimate()?.u ?? null, 1e6)}
                      </td>
                      <td>{verdict(name)}</td>
                    </tr>
                    <tr>
                      <td class="quiet" colspan="4">
                        {refusal() || t().assumptions[name]}
                      </td>
                    </tr>
                  </>
                );
              }}
            </For>
          </tbody>
        </table>
      </ScrollRegion>
      <fieldset class="choice">
        <legend>{t().choice(props.label)}</legend>
        <For each={[null, ...names]}>
          {(name) => (
            <label class="beside">
              <input
                type="radio"
                name={`estimate-${props.run}`}
                checked={chosen() === name}
                disabled={name !== null && !props.result.estimates[name].ok}
                onChange={() => void choose(name)}
              />
              {name === null ? t().theRecommended : t().the(nameOf(name))}
            </label>
          )}
        </For>
      </fieldset>
    </>
  );
}
