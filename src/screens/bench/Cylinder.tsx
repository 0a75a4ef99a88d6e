import { createMemo, createSignal, For, onCleanup, onMount, Show } from 'solid-js';
import { countingReadings, durationText, latestReading, originMl, zeroMs } from '../../log/runs.ts';
import type { Setup } from '../../log/setup.ts';
import type { Run } from '../../log/state.ts';
import { local, textsOf } from '../texts.ts';
import { cutEdge, graduationsOf, hungText, sectionOf, shownLabels } from './cylinder-scale.ts';
import { texts } from './texts.ts';

/**
 * The graduated cylinder, to scale: it is the log. The water stands at the last reading, every reading's time hangs
 * at its graduation, the next mark glows.
 */
export function Cylinder(props: { run: Run | null; setup: Setup; nextMark: { ml: number; text: string } | null }) {
  const t = textsOf(texts);
  let figure!: HTMLElement;
  const [size, setSize] = createSignal({ width: 180, height: 560 });
  onMount(() => {
    const watch = new ResizeObserver(([entry]) => {
      const box = entry?.contentRect;
      if (box && box.width > 0 && box.height > 0) setSize({ width: box.width, height: box.height });
    });
    watch.observe(figure);
    onCleanup(() => watch.disconnect());
  });

  const readings = createMemo(() => (props.run ? props.run.readings.filter((reading) => !reading.struck) : []));
  const times = createMemo(() => {
    const { run } = props;
    return run ? readings().map((reading) => hungText(durationText(reading.timeMs - zeroMs(run)), reading)) : [];
  });
  const lastMl = () => (props.run ? (latestReading(props.run)?.volumeMl ?? originMl(props.run)) : null) ?? 0;
  const section = createMemo(() => sectionOf(props.setup, props.run ? (originMl(props.run) ?? 0) : 0, lastMl()));
  const big = () => size().width >= 260;
  const left = () => (big() ? 84 : 42);
  /** The times hang at the right of the glass: room for the longest of them. */
  const right = () => {
    const longest = Math.max(0, ...times().map((text) => text.length));
    return size().width - Math.max(big() ? 116 : 56, 14 + longest * (big() ? 12.5 : 9));
  };
  const wide = () => right() - left();
  const top = 26;
  const bottom = () => size().height - 26;
  const y = (ml: number): number =>
    bottom() - ((ml - section().fromMl) / (section().toMl - section().fromMl)) * (bottom() - top);
  const graduations = createMemo(() => graduationsOf(props.setup, section(), bottom() - top));
  const rise = () => Math.min(13, Math.max(4, wide() * 0.07));
  const labelled = createMemo(() =>
    shownLabels(
      readings().map((reading) => y(reading.volumeMl)),
      big() ? 22 : 16,
    ),
  );
  const atFoot = () => section().fromMl <= 0;
  const atLip = () => section().toMl >= props.setup.cylinder.capacityMl;

  const summary = (): string => {
    const { run, nextMark, setup } = props;
    const now = run
      ? t().waterAt(lastMl(), countingReadings(run).length)
      : t().emptyCylinder(setup.cylinder.capacityMl);
    return local(nextMark ? `${now} ${t().nextMark(nextMark.text)}` : now);
  };

  /** Water surface: it climbs the glass at the walls; the reading is taken at its lowest point. */
  const surface = () => {
    const [l, r, m] = [left(), right(), (left() + right()) / 2];
    return `M${l} ${-rise()}C${l + wide() * 0.1} ${-rise() * 0.25} ${m - wide() * 0.2} 0 ${m} 0S${r - wide() * 0.1} ${-rise() * 0.25} ${r} ${-rise()}`;
  };
  const back = () =>
    `C${right() - wide() * 0.2} ${-rise() * 1.5} ${left() + wide() * 0.2} ${-rise() * 1.5} ${left()} ${-rise()}Z`;

  return (
    <figure class="cylinder" ref={figure}>
      <svg width={size().width} height={size().height} role="img" aria-label={summary()}>
        <clipPath id="inside-glass">
          <rect x={left()} y={0} width={wide()} height={bottom()} />
        </clipPath>
        {/* Light falls through a round glass: darker at the walls. */}
        <linearGradient id="water-shade">
          <stop class="shade-edge" offset="0" />
          <stop class="shade-light" offset="0.3" />
          <stop class="shade-light" offset="0.62" />
          <stop class="shade-deep" offset="0.86" />
          <stop class="shade-edge" offset="1" />
        </linearGradient>
        <g clip-path="url(#inside-glass)">
          <g class="water" classList={{ none: lastMl() <= 0 }} style={{ transform: `translateY(${y(lastMl())}px)` }}>
            <path class="water-body" fill="url(#water-shade)" d={`${surface()}V4000H${left()}Z`} />
            <path class="water-surface" d={surface() + back()} />
          </g>
        </g>
        <For each={graduations()}>
          {(graduation) => (
            <line
              class={`graduation ${graduation.rank}`}
              x1={left()}
              x2={left() + wide() * (graduation.rank === 'ten' ? 0.62 : graduation.rank === 'five' ? 0.45 : 0.28)}
              y1={y(graduation.ml)}
              y2={y(graduation.ml)}
            />
          )}
        </For>
        <path
          class="glass"
          d={`M${left() - (atLip() ? 7 : 0)} ${atLip() ? 6 : 2}${atLip() ? `Q${left()} 8 ${left()} 20` : ''}V${bottom()}M${right()} ${bottom()}V${atLip() ? 10 : 2}`}
        />
        <Show when={atFoot()} fallback={<path class="glass-cut" d={cutEdge(left(), right(), bottom() + 6)} />}>
          <path
            class="glass-foot"
            d={`M${left()} ${bottom()}H${right()}L${right() + 16} ${bottom() + 16}H${left() - 16}Z`}
          />
        </Show>
        <Show when={!atLip()}>
          <path class="glass-cut" d={cutEdge(left(), right(), 8)} />
        </Show>
        <line class="glint" x1={right() - wide() * 0.14} x2={right() - wide() * 0.14} y1={20} y2={bottom() - 10} />
        <For each={graduations().filter((graduation) => graduation.rank === 'ten')}>
          {(graduation) => (
            <Show when={!props.nextMark || Math.abs(y(graduation.ml) - y(props.nextMark.ml)) > 24}>
              <text class="numeral" x={left() - 10} y={y(graduation.ml)} dy="0.35em">
                {local(String(graduation.ml))}
              </text>
            </Show>
          )}
        </For>
        <For each={readings()}>
          {(reading, index) => (
            <g class="hung" classList={{ doubtful: reading.outcome === 'doubtful', aside: reading.setAside !== null }}>
              <line x1={right() - wide() * 0.2} x2={right() + 8} y1={y(reading.volumeMl)} y2={y(reading.volumeMl)} />
              <Show when={labelled()[index()]}>
                <text x={right() + 11} y={y(reading.volumeMl)} dy="0.35em">
                  {times()[index()]}
                </text>
              </Show>
            </g>
          )}
        </For>
        <Show when={props.nextMark}>
          {(mark) => (
            <g class="next-mark">
              <line x1={left() - 6} x2={right() + 8} y1={y(mark().ml)} y2={y(mark().ml)} />
              <text x={left() - 10} y={y(mark().ml)} dy="0.35em">
                {local(mark().text)}
              </text>
            </g>
          )}
        </Show>
      </svg>
    </figure>
  );
}
