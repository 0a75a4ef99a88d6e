import type { Plot } from '../../results/plot-svg.ts';
import { plotSvg } from '../../results/plot-svg.ts';
import { scriptParts } from '../../results/species.ts';
import { type SvgNode, svgText } from '../../results/svg.ts';
import { Contained } from '../Contained.tsx';
import { containedTexts } from '../contained-texts.ts';
import { useDesk } from '../desk.tsx';
import { Marked } from '../table/Marked.tsx';
import { textsOf } from '../texts.ts';
import { Drawing, pngOf } from './Drawing.tsx';
import { fileStem, saveFile } from './save-file.ts';
import { reportTexts as t } from './texts.ts';

/** A plot with its title and the ways to take it along. */
export function PlotView(props: { plot: Plot }) {
  const contained = textsOf(containedTexts);
  return (
    <Contained what={contained().plot(plainText(props.plot.title))}>
      <PictureView title={props.plot.title} drawing={plotSvg(props.plot)} />
    </Contained>
  );
}

export function PictureView(props: { title: string; drawing: SvgNode }) {
  return (
    <figure class="plot">
      <figcaption>
        <Marked text={props.title} />
      </figcaption>
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
      desk.announce(t().noPng);
    }
  };
  return (
    <details class="menu plot-ways no-print">
      <summary aria-label={t().pictureOf(plainText(props.title))}>{t().savePicture}</summary>
      <div class="row">
        <button
          type="button"
          aria-label={t().pictureAs(plainText(props.title), 'SVG')}
          onClick={() => saveFile(`${name()}.svg`, svgText(props.drawing), 'image/svg+xml')}
        >
          SVG
        </button>
        <button type="button" aria-label={t().pictureAs(plainText(props.title), 'PNG')} onClick={() => void savePng()}>
          PNG
        </button>
      </div>
    </details>
  );
}

const plainText = (title: string): string =>
  scriptParts(title)
    .map(({ text }) => text)
    .join('');
