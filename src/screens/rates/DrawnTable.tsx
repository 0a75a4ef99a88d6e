import { For } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { ChainResult } from '../../analysis/uncertainty.ts';
import type { Simulated } from '../../numerics/monte-carlo.ts';
import { constantOf, constantUnit } from '../../results/rate-table.ts';
import { Marked } from '../table/Marked.tsx';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { figure, rangeText } from './figures.ts';
import { ratesTexts as t } from './texts.ts';

/** What the draws gave, beside the linear figures. */
export function DrawnTable(props: { analysis: ExperimentAnalysis; result: ChainResult }) {
  return (
    <ScrollRegion label={t().drawnTable}>
      <table>
        <caption class="for-screen-readers">{t().drawnTable}</caption>
        <thead>
          <tr>
            <th scope="col">{t().columns.quantity}</th>
            <th scope="col">{t().columns.linear}</th>
            <th scope="col">{t().columns.intervalLinear}</th>
            <th scope="col">{t().columns.drawn}</th>
            <th scope="col">{t().columns.intervalDrawn}</th>
          </tr>
        </thead>
        <tbody>
          <For each={rowsOf(props.analysis, props.result)}>
            {({ name, linear, drawn, factor }) => (
              <tr>
                <th scope="row">
                  <Marked text={name} />
                </th>
                <td class="figure">{figure(linear.value, linear.u, factor)}</td>
                <td class="figure">{rangeText(linear.low95, linear.high95, linear.u, factor)}</td>
                <td class="figure">{figure(drawn.mean, drawn.u, factor)}</td>
                <td class="figure">{rangeText(drawn.symmetric[0], drawn.symmetric[1], drawn.u, factor)}</td>
              </tr>
            )}
          </For>
        </tbody>
      </table>
    </ScrollRegion>
  );
}

interface DrawnRow {
  readonly name: string;
  readonly linear: { value: number; u: number | null; low95: number | null; high95: number | null };
  readonly drawn: Simulated;
  readonly factor: number;
}

function rowsOf({ runs, law, whole, unit }: ExperimentAnalysis, result: ChainResult): DrawnRow[] {
  const rows = result.rates.flatMap(({ label, result: drawn }): DrawnRow[] => {
    const run = runs.find((one) => one.ok && one.run.label === label);
    if (!run?.ok || !run.used) return [];
    return [{ name: t().rateOfRun(label), linear: { ...run.used, value: run.used.rateM3PerS }, drawn, factor: 1e6 }];
  });
  const k = constantOf(law, unit);
  if (law.ok && law.accepted && k && result.k) {
    const name = t().kStarting(k.unit.printed);
    rows.push({ name, linear: { ...law.accepted, value: law.accepted.k }, drawn: result.k, factor: k.factor });
  }
  if (whole.ok && whole.accepted && result.kWhole) {
    const { accepted } = whole;
    const order = Object.values(accepted.orders).reduce((a, b) => a + b, 0);
    const own = constantUnit(order, accepted.fit.unit);
    const name = t().kReadings(own.unit.printed);
    rows.push({ name, linear: { ...accepted, value: accepted.k }, drawn: result.kWhole, factor: own.factor });
  }
  return rows;
}
