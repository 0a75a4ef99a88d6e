import type { Plot } from '../../results/plot-svg.ts';
import { plotSvg } from '../../results/plot-svg.ts';
import { type SvgNode, svgText } from '../../results/svg.ts';
import { useDesk } from '../desk.tsx';
import { Drawing, pngOf } from './Drawing.tsx';
import { fileStem, saveFile } from './save-file.ts';

/** A plot with its title and the ways to take it along. */
export function PlotView(props: { plot: Plot }) {
  return <PictureView title={props.plot.title} drawing={plotSvg(props.plot)} />;
}

export function PictureView(props: { title: string; drawing: SvgNode }) {
  return (
    <figure class="plot">
      <figcaption>{props.title}</figcaption>
      <Drawing drawing={props.drawing} />
      <PictureWays title={props.title} drawing={props.drawing} />
    </figure>
  );
}

/** The picture as a file. */
export function PictureWays(props: { title: string; drawing: SvgNode }) {
  const desk = useDesk();
  const name = (): string => fileStem(props.title);
  const savePng = async (): Promise<void> => {
    try {
      saveFile(`${name()}.png`, await pngOf(props.drawing), 'image/png');
    } catch {
      desk.announce('This browser could not make a PNG of it. The SVG holds the same picture.');
    }
  };
  return (
    <p class="row plot-ways no-print">
      <button
        type="button"
        aria-label={`Save ${props.title} as SVG`}
        onClick={() => saveFile(`${name()}.svg`, svgText(props.drawing), 'image/svg+xml')}
      >
        SVG
      </button>
      <button type="button" aria-label={`Save ${props.title} as PNG`} onClick={() => void savePng()}>
        PNG
      </button>
    </p>
  );
}
