import { createMemo, type JSX, Show } from 'solid-js';
import { type Plot, plotSvg } from '../../results/plot-svg.ts';
import { Contained } from '../Contained.tsx';
import { containedTexts } from '../contained-texts.ts';
import { Drawing } from '../report/Drawing.tsx';
import { PictureWays } from '../report/PlotView.tsx';
import { Marked } from '../table/Marked.tsx';
import { textsOf } from '../texts.ts';

/** A plot with a sentence that says what it shows, and what else belongs to it (a key, a table). */
function Figure(props: { plot: Plot; sentence: string; children?: JSX.Element }) {
  const drawing = createMemo(() => plotSvg(props.plot));
  return (
    <figure class="rates-plot">
      <Drawing drawing={drawing()} />
      <figcaption>
        <strong>
          <Marked text={props.plot.title} />.
        </strong>{' '}
        <Marked text={props.sentence} />
        <Show when={props.children}>{props.children}</Show>
      </figcaption>
      <PictureWays title={props.plot.title} drawing={drawing()} />
    </figure>
  );
}

/** The same, where a plot that fails takes nothing with it. */
export function PlotFigure(props: { plot: Plot; sentence: string; children?: JSX.Element }) {
  const t = textsOf(containedTexts);
  return (
    <Contained what={t().plot(props.plot.title)}>
      <Figure {...props} />
    </Contained>
  );
}
