import { createMemo, createSignal, onCleanup, onMount, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { allRunsPlot, type PlottedReading } from '../../results/all-runs-plot.ts';
import { layoutOf, type Plot, plotSvg } from '../../results/plot-svg.ts';
import { Drawing } from '../report/Drawing.tsx';
import { PictureWays } from '../report/PlotView.tsx';
import { pageLanguage } from '../texts.ts';
import { CheckCard } from './CheckCard.tsx';
import { secondsText } from './figures.ts';
import { ratesTexts as t } from './texts.ts';
import { type CheckItem, itemOf } from './to-check.ts';

/** Pixels around a reading within which a finger means it, and a mouse. */
const reach = { touch: 28, mouse: 18 } as const;

/**
 * All runs in one plot. Pointing at a reading names it; a tap, click or Enter opens it: its words, its sound, what it may
 * have been. The drawing is made for its place, so that the type stays readable at any width.
 */
export function AllRuns(props: {
  found: NotebookAnalysis;
  state: NotebookState;
  flagged: ReadonlySet<string>;
  items: readonly CheckItem[];
}) {
  const [size, setSize] = createSignal({ width: 360, height: 270 });
  const [near, setNear] = createSignal<PlottedReading | null>(null);
  const [picked, setPicked] = createSignal<string | null>(null);
  let frame!: HTMLDivElement;
  let card: HTMLDivElement | undefined;
  const made = createMemo(() => allRunsPlot(props.found.analysis, props.flagged, pageLanguage()));
  const plot = createMemo((): Plot => ({ ...made().plot, ...size(), fontSize: size().width > 560 ? 16 : 14 }));
  const layout = createMemo(() => layoutOf(plot()));
  /** Reading order for the arrow keys: run by run, by time. */
  const inOrder = createMemo(() => [...made().readings].sort((a, b) => a.run - b.run || a.x - b.x));
  onMount(() => {
    const watch = new ResizeObserver(() => {
      const width = Math.max(260, Math.round(frame.clientWidth));
      // On a phone the lines of the runs are to be seen below it.
      const steep = width < 480 ? 0.62 : 0.72;
      const height = Math.round(Math.min(steep * width, Math.max(240, 0.62 * innerHeight)));
      if (width !== size().width || height !== size().height) setSize({ width, height });
    });
    watch.observe(frame);
    onCleanup(() => watch.disconnect());
  });
  const nearest = (event: PointerEvent): PlottedReading | null => {
    const box = frame.getBoundingClientRect();
    const scale = size().width / box.width;
    const [x, y] = [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
    let best: PlottedReading | null = null;
    let least: number = event.pointerType === 'mouse' ? reach.mouse : reach.touch;
    for (const reading of made().readings) {
      const away = Math.hypot(layout().px(reading.x) - x, layout().py(reading.y) - y) - (reading.flagged ? 6 : 0);
      if (away < least) [best, least] = [reading, away];
    }
    return best;
  };
  const open = (reading: PlottedReading | null): void => {
    setPicked(reading?.id ?? null);
    if (reading) queueMicrotask(() => card?.scrollIntoView({ block: 'nearest' }));
  };
  const onKey = (event: KeyboardEvent): void => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const now = near();
    if (step !== undefined) {
      const at = now ? inOrder().findIndex(({ id }) => id === now.id) : step > 0 ? -1 : 0;
      setNear(inOrder().at((at + step) % inOrder().length) ?? null);
      event.preventDefault();
    } else if (event.key === 'Enter' && now) open(now);
    else if (event.key === 'Escape') setNear(null);
  };
  const item = (): CheckItem | null => {
    const id = picked();
    return id === null ? null : itemOf(props.state, props.found, id);
  };
  return (
    <figure class="all-runs rates-plot" aria-label={plot().title}>
      {/* biome-ignore lint/a11y/useSemanticElements: a drawing, not fields; the arrow keys walk through it */}
      <div
        class="all-runs-frame"
        ref={frame}
        role="group"
        aria-label={t().plotKeys}
        tabindex="0"
        onPointerMove={(event) => event.pointerType === 'mouse' && setNear(nearest(event))}
        onPointerLeave={(event) => event.pointerType === 'mouse' && setNear(null)}
        onClick={(event) => open(nearest(event as unknown as PointerEvent))}
        onKeyDown={onKey}
      >
        <Drawing drawing={plotSvg(plot())} />
        <Show when={near()}>
          {(reading) => (
            <NearReading
              reading={reading()}
              found={props.found}
              state={props.state}
              x={layout().px(reading().x) / size().width}
              y={layout().py(reading().y) / size().height}
            />
          )}
        </Show>
      </div>
      <figcaption class="all-runs-foot">
        <span class="quiet no-print">{t().plotHint}</span>
        <PictureWays
          title={plot().title}
          drawing={plotSvg({ ...made().plot, width: 640, height: 420, fontSize: 14 })}
        />
      </figcaption>
      <Show when={item()}>
        {(one) => (
          <div class="picked" ref={(element) => (card = element)}>
            <CheckCard item={one()} state={props.state} onDone={() => frame.focus({ preventScroll: true })} />
            <button type="button" onClick={() => setPicked(null)}>
              {t().close}
            </button>
          </div>
        )}
      </Show>
    </figure>
  );
}

/** What a reading says, beside it: run, value, time, and the words that were heard. */
function NearReading(props: {
  reading: PlottedReading;
  found: NotebookAnalysis;
  state: NotebookState;
  x: number;
  y: number;
}) {
  const run = () => props.state.runs.find(({ id }) => id === props.found.runs[props.reading.run]?.id);
  const value = () => run()?.readings.find(({ id }) => id === props.reading.id);
  const words = () => {
    const call = props.state.calls.find(({ id }) => id === value()?.call);
    return call?.heard.at(-1)?.alternatives[0]?.text ?? '';
  };
  const text = () =>
    t().place(props.found.runs[props.reading.run]?.label ?? '', value()?.value ?? null, secondsText(props.reading.x));
  return (
    <p
      class="near"
      role="status"
      classList={{ 'near-left': props.x > 0.5, 'near-low': props.y < 0.3 }}
      style={{ left: `${100 * props.x}%`, top: `${100 * props.y}%` }}
    >
      {text()}
      <Show when={words()}> {t().heard(words())}</Show>
    </p>
  );
}
