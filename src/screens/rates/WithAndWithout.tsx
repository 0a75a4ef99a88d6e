import { For, Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { RateEstimate } from '../../analysis/estimate.ts';
import { resultTexts } from '../../results/texts.ts';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { figure, rangeText } from './figures.ts';

const estimatorNames = resultTexts.en.estimators;

/** The rate with and without the readings that are in question, side by side. */
export function WithAndWithout(props: { result: RunAnalysis }) {
  const rows = (): { what: string; estimate: RateEstimate }[] => {
    const { used, withAll, withoutFlags } = props.result;
    if (!used || !(withAll || withoutFlags)) return [];
    return [
      { what: 'as it stands', estimate: used },
      ...(withAll ? [{ what: 'all counted in', estimate: withAll }] : []),
      ...(withoutFlags ? [{ what: 'flags dealt with', estimate: withoutFlags }] : []),
    ];
  };
  const base = () => props.result.used?.rateM3PerS ?? Number.NaN;
  const change = (rate: number): string => {
    const percent = (rate / base() - 1) * 100;
    if (!Number.isFinite(percent)) return '–';
    return percent === 0 ? '' : `${percent > 0 ? '+' : '−'}${Math.abs(percent).toFixed(1)} %`;
  };
  const label = () => `Run ${props.result.run.label} with and without the readings in question`;
  return (
    <Show when={rows().length > 0}>
      <h3>With and without</h3>
      <p class="quiet">
        <Show when={props.result.withAll}>All counted in: as if nothing had been set aside. </Show>
        <Show when={props.result.withoutFlags}>
          Flags dealt with: suggested values taken, the other flagged readings set aside.
        </Show>
      </p>
      <ScrollRegion label={label()}>
        <table>
          <caption class="for-screen-readers">{label()}</caption>
          <thead>
            <tr>
              <th scope="col">readings</th>
              <th scope="col">estimate</th>
              <th scope="col">rate (mL/s)</th>
              <th scope="col">95 % interval (mL/s)</th>
              <th scope="col">change</th>
            </tr>
          </thead>
          <tbody>
            <For each={rows()}>
              {({ what, estimate }) => (
                <tr>
                  <th scope="row">{what}</th>
                  <td>{estimatorNames[estimate.estimator]}</td>
                  <td class="figure">{figure(estimate.rateM3PerS, estimate.u, 1e6)}</td>
                  <td class="figure">{rangeText(estimate.low95, estimate.high95, estimate.u, 1e6)}</td>
                  <td class="figure">{change(estimate.rateM3PerS)}</td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </ScrollRegion>
    </Show>
  );
}
