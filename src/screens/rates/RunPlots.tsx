import { createMemo, Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import { residualPlot } from '../../results/curve-plot.ts';
import type { Plot } from '../../results/plot-svg.ts';
import { local, pageLanguage } from '../texts.ts';
import { PlotFigure } from './PlotFigure.tsx';
import { ReadingsTable } from './ReadingsTable.tsx';
import { runPlot, thinned } from './run-plot.ts';
import type { RunProps } from './run-props.ts';
import { ratesTexts as t } from './texts.ts';

/** The curve with the estimate that is used, the residuals under it, and both as a table. */
export function RunPlots(props: RunProps & { result: RunAnalysis }) {
  const curve = createMemo(() => thinned(runPlot(props.analysis, props.index)));
  const residuals = createMemo(() => {
    const plot = residualPlot(props.analysis, props.index, pageLanguage());
    return plot && thinned(withZeroLine(plot, props.result.frame.timeScaleS)).plot;
  });
  const flagged = () => props.result.flags.length > 0;
  const aside = () => props.result.run.readings.some(({ setAside }) => setAside !== undefined);
  return (
    <>
      <div class="run-curves">
        <PlotFigure plot={curve().plot} sentence={t().curveKey}>
          <Show when={aside()}>{t().curveAside}</Show>
          <Show when={flagged()}>{t().curveFlagged}</Show>
          <Show when={curve().every > 1}>{t().every(curve().every)}</Show>
        </PlotFigure>
        <Show when={residuals()}>
          {(plot) => <PlotFigure plot={plot()} sentence={t().residualKey(largestResidual(props.result))} />}
        </Show>
      </div>
      <ReadingsTable result={props.result} label={props.named.label} />
    </>
  );
}

/** The curve itself, to see the residuals against. */
const withZeroLine = (plot: Plot, lastS: number): Plot => ({
  ...plot,
  series: [
    {
      kind: 'line',
      name: 'curve',
      dashed: true,
      points: [0, lastS].map((x) => ({ x, y: 0 })),
    },
    ...plot.series,
  ],
});

/** The furthest that a used reading lies from the curve, mL. */
function largestResidual({ used }: RunAnalysis): string {
  const largest = (used?.residualsM3 ?? []).reduce((most, r) => Math.max(most, Math.abs(r)), 0);
  return local((largest * 1e6).toFixed(2));
}
