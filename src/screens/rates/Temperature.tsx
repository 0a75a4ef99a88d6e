import { createMemo, createSignal, Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { TemperatureFit } from '../../analysis/temperature.ts';
import { constantOf } from '../../results/rate-table.ts';
import { plainFigure, type Table, textCell } from '../../results/table.ts';
import { celsius } from '../../results/unit.ts';
import { TableView } from '../table/TableView.tsx';
import { figure, kilo, rangeText } from './figures.ts';
import { PlotFigure } from './PlotFigure.tsx';
import { constantsByTemperature, temperaturePlot } from './temperature-plot.ts';

/** How k goes with temperature, where the runs were at different ones. */
export function Temperature(props: { analysis: ExperimentAnalysis }) {
  const found = (): TemperatureFit | null => (props.analysis.temperature.ok ? props.analysis.temperature : null);
  const [eyring, setEyring] = createSignal(false);
  return (
    <section aria-labelledby="rates-temperature">
      <h2 id="rates-temperature" tabindex="-1">
        Temperature
      </h2>
      <Show when={found()} fallback={<p>{props.analysis.temperature.ok ? '' : props.analysis.temperature.sentence}</p>}>
        {(result) => (
          <>
            <p>{result().sentence.replaceAll(' -', ' −')}</p>
            <label class="beside">
              <input type="checkbox" checked={eyring()} onChange={(event) => setEyring(event.currentTarget.checked)} />
              Show it after Eyring (k/T) instead of Arrhenius
            </label>
            <dl class="pairs-plain">
              <Show
                when={eyring()}
                fallback={
                  <>
                    <Pair name="Activation energy" text={`${kilo(result().activation)} kJ/mol`} />
                    <Pair name="95 % interval" text={`${range(result().activation)} kJ/mol`} />
                    <Pair name="ln A" text={figure(result().lnA.value, result().lnA.u)} />
                  </>
                }
              >
                <Pair name="Enthalpy of activation" text={`${kilo(result().enthalpy)} kJ/mol`} />
                <Pair name="95 % interval" text={`${range(result().enthalpy)} kJ/mol`} />
                <Pair
                  name="Entropy of activation"
                  text={`${figure(result().entropy.value, result().entropy.u)} J/(mol K)`}
                />
              </Show>
              <Pair name="Degrees of freedom" text={String(Math.round(result().df * 10) / 10)} />
            </dl>
            <Plotted analysis={props.analysis} fit={result()} eyring={eyring()} />
          </>
        )}
      </Show>
    </section>
  );
}

const range = ({ low95, high95, u }: TemperatureFit['activation']): string => rangeText(low95, high95, u, 1e-3);

function Pair(props: { name: string; text: string }) {
  return (
    <div>
      <dt>{props.name}</dt>
      <dd>{props.text}</dd>
    </div>
  );
}

function Plotted(props: { analysis: ExperimentAnalysis; fit: TemperatureFit; eyring: boolean }) {
  const points = createMemo(() => constantsByTemperature(props.analysis, props.fit));
  const plot = createMemo(() => temperaturePlot(points(), props.fit, props.eyring));
  const table = createMemo((): Table => {
    const k = constantOf(props.analysis.law, props.analysis.unit);
    return {
      title: 'k of each run at its own temperature',
      columns: [
        { key: 'run', label: 'run', kind: 'text' },
        { key: 'temperature', label: 'temperature', unit: celsius, kind: 'figure' },
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
      <PlotFigure plot={plot()} sentence={`${plot().description} Numbers: runs. Bars: standard uncertainty.`} />
      <div>
        <h3>{table().title}</h3>
        <TableView table={table()} rowHeads notes={false} />
      </div>
    </div>
  );
}
