import { For, Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { EstimatorName } from '../../analysis/run-data.ts';
import { resultTexts } from '../../results/texts.ts';
import { useDesk } from '../desk.tsx';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { figure, rangeText } from './figures.ts';

const estimatorNames = resultTexts.en.estimators;

const names: readonly EstimatorName[] = ['line', 'quadratic', 'firstOrder'];

const assumes: Readonly<Record<EstimatorName, string>> = {
  line: 'The rate is the same from the first reading to the last.',
  quadratic: 'The rate changes evenly with time; the slope at the first reading is taken.',
  firstOrder: 'The rate falls with what is left of the limiting reagent; the slope when no gas had been made is taken.',
};

/** The three estimates beside one another, the recommended one named with its reason, and the person's choice. */
export function Estimates(props: { result: RunAnalysis; run: string; label: string }) {
  const desk = useDesk();
  const recommended = () => props.result.recommended;
  const chosen = (): EstimatorName | null => props.result.run.chosen ?? null;
  const choose = async (estimator: EstimatorName | null): Promise<void> => {
    if (await desk.record({ kind: 'estimate-chosen', run: props.run, estimator }))
      desk.announce(
        `Run ${props.label} goes by ${estimator === null ? 'the recommended estimate' : `the ${estimatorNames[estimator]}`}.`,
      );
  };
  const verdict = (name: EstimatorName): string =>
    [
      ...(recommended()?.name === name ? ['recommended'] : []),
      ...(props.result.used?.estimator === name ? ['used'] : []),
    ].join(', ');
  return (
    <>
      <h3>The three estimates</h3>
      <Show when={recommended()}>
        {(it) => (
          <p>
            Recommended: the <strong>{estimatorNames[it().name]}</strong>. {it().reason}
          </p>
        )}
      </Show>
      <ScrollRegion label={`The three estimates of run ${props.label}`}>
        <table class="estimates">
          <caption class="for-screen-readers">The three estimates of run {props.label}</caption>
          <thead>
            <tr>
              <th scope="col">estimate</th>
              <th scope="col">rate (mL/s)</th>
              <th scope="col">95 % interval (mL/s)</th>
              <th scope="col">verdict</th>
              <th scope="col">what it assumes</th>
            </tr>
          </thead>
          <tbody>
            <For each={names}>
              {(name) => {
                const estimate = () => {
                  const one = props.result.estimates[name];
                  return one.ok ? one : null;
                };
                const refusal = () => {
                  const one = props.result.estimates[name];
                  return one.ok ? '' : one.sentence;
                };
                return (
                  <tr classList={{ used: props.result.used?.estimator === name }}>
                    <th scope="row">{estimatorNames[name]}</th>
                    <td class="figure">{figure(estimate()?.rateM3PerS ?? Number.NaN, estimate()?.u, 1e6)}</td>
                    <td class="figure">
                      {rangeText(estimate()?.low95 ?? null, estimate()?.high95 ?? null, estimate()?.u ?? null, 1e6)}
                    </td>
                    <td>{verdict(name)}</td>
                    <td>{refusal() || assumes[name]}</td>
                  </tr>
                );
              }}
            </For>
          </tbody>
        </table>
      </ScrollRegion>
      <fieldset class="choice">
        <legend>Run {props.label} goes by</legend>
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
              {name === null ? 'the recommended one' : `the ${estimatorNames[name]}`}
            </label>
          )}
        </For>
      </fieldset>
    </>
  );
}
