import { createMemo, createSignal, Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { TemperatureFit } from '../../analysis/temperature.ts';
import { refusalText, temperatureText } from '../../results/analysis-texts.ts';
import { constantOf } from '../../results/rate-table.ts';
import { plainFigure, type Table, textCell } from '../../results/table.ts';
import { resultTexts } from '../../results/texts.ts';
import { celsius } from '../../results/unit.ts';
import { Marked } from '../table/Marked.tsx';
import { TableView } from '../table/TableView.tsx';
import { local, pageLanguage } from '../texts.ts';
import { figure, kilo, rangeText } from './figures.ts';
import { PlotFigure } from './PlotFigure.tsx';
import { constantsByTemperature, temperaturePlot } from './temperature-plot.ts';
import { ratesTexts as t } from './texts.ts';

/** How k goes with temperature, where the runs were at different ones. */
export function Temperature(props: { analysis: ExperimentAnalysis }) {
  const found = (): TemperatureFit | null => (props.analysis.temperature.ok ? props.analysis.temperature : null);
  const [eyring, setEyring] = createSignal(false);
  return (
    <Show
      when={found()}
      fallback={<p>{props.analysis.temperature.ok ? '' : refusalText(props.analysis.temperature, pageLanguage())}</p>}
    >
      {(result) => (
        <>
          <p>{temperatureText(result(), pageLanguage())}</p>
          <label class="beside">
            <input type="checkbox" checked={eyring()} onChange={(event) => setEyring(event.currentTarget.checked)} />
            {t().eyring}
          </label>
          <dl class="pairs-plain">
            <Show
              when={eyring()}
              fallback={
                <>
                  <Pair name={t().activation} text={`${kilo(result().activation)} kJ/mol`} />
                  <Pair name={t().interval95} text={`${range(result().activation)} kJ/mol`} />
                  <Pair name={t().lnA} text={figure(result().lnA.value, result().lnA.u)} />
                </>
              }
            >
              <Pair name={t().enthalpy} text={`${kilo(result().enthalpy)} kJ/mol`} />
              <Pair name={t().interval95} text={`${range(result().enthalpy)} kJ/mol`} />
              <Pair name={t().entropy} text={`${figure(result().entropy.value, result().entropy.u)} J/(mol K)`} />
            </Show>
            <Pair name={t().freedom} text={local(String(Math.round(result().df * 10) / 10))} />
          </dl>
          <Plotted analysis={props.analysis} fit={result()} eyring={eyring()} />
        </>
      )}
    </Show>
  );
}

const range = ({ low95, high95, u }: TemperatureFit['activation']): string => rangeText(low95, high95, u, 1e-3);

function Pair(props: { name: string; text: string }) {
  return (
    <div>
      <dt>{props.name}</dt>
      <dd>
        <Marked text={props.text} />
      </dd>
    </div>
  );
}

function Plotted(props: { analysis: ExperimentAnalysis; fit: TemperatureFit; eyring: boolean }) {
  const points = createMemo(() => constantsByTemperature(props.analysis, props.fit));
  const plot = createMemo(() => temperaturePlot(points(), props.fit, props.eyring, pageLanguage()));
  const table = createMemo((): Table => {
    const k = constantOf(props.analysis.law, props.analysis.unit);
    return {
      title: t().kByTemperature,
      columns: [
        { key: 'run', label: resultTexts[pageLanguage()].run, kind: 'text' },
        { key: 'temperature', label: resultTexts[pageLanguage()].rates.temperature, unit: celsius, kind: 'figure' },
        { key: 'k', label: 'k', ...(k ? { unit: k.unit } : {}), kind: 'figure' },
      ],
      rows: points().map(({ label, kelvin, lnK, uRelative }) => {
        const value = Math.exp(lnK) * (k?.factor ?? 1);
        return [
          textCell(label),
          plainFigure(kelvin - 273.15, undefined),
          plainFigure(value, uRelative === null ? undefined : value * uRelative),
        ];
      }),
      notes: [],
    };
  });
  return (
    <div class="run-plots">
      <PlotFigure plot={plot()} sentence={t().orderKey(plot().description)} />
      <div>
        <h3>{table().title}</h3>
        <TableView table={table()} rowHeads notes={false} />
      </div>
    </div>
  );
}
