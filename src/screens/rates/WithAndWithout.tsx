import { For, Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { RateEstimate } from '../../analysis/estimate.ts';
import { resultTexts } from '../../results/texts.ts';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { local, pageLanguage } from '../texts.ts';
import { figure, rangeText } from './figures.ts';
import { ratesTexts as t } from './texts.ts';

/** The rate with and without the readings that are in question, side by side. */
export function WithAndWithout(props: { result: RunAnalysis }) {
  const rows = (): { what: string; estimate: RateEstimate }[] => {
    const { used, withAll, withoutFlags } = props.result;
    if (!used || !(withAll || withoutFlags)) return [];
    return [
      { what: t().asItStands, estimate: used },
      ...(withAll ? [{ what: t().allCounted, estimate: withAll }] : []),
      ...(withoutFlags ? [{ what: t().flagsDealt, estimate: withoutFlags }] : []),
    ];
  };
  const base = () => props.result.used?.rateM3PerS ?? Number.NaN;
  const change = (rate: number): string => {
    const percent = (rate / base() - 1) * 100;
    if (!Number.isFinite(percent)) return '–';
    return percent === 0 ? '' : local(`${percent > 0 ? '+' : '−'}${Math.abs(percent).toFixed(1)} %`);
  };
  const label = () => t().withAndWithoutOf(props.result.run.label);
  return (
    <Show when={rows().length > 0}>
      <h3>{t().withAndWithout}</h3>
      <ScrollRegion label={label()}>
        <table>
          <caption class="for-screen-readers">{label()}</caption>
          <thead>
            <tr>
              <th scope="col">{t().columns.readings}</th>
              <th scope="col">{t().columns.estimate}</th>
              <th scope="col">{t().columns.rate}</th>
              <th scope="col">{t().columns.intervalMl}</th>
              <th scope="col">{t().columns.change}</th>
            </tr>
          </thead>
          <tbody>
            <For each={rows()}>
              {({ what, estimate }) => (
                <tr>
                  <th scope="row">{what}</th>
                  <td>{resultTexts[pageLanguage()].estimators[estimate.estimator]}</td>
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
