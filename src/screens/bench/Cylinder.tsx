import { createMemo, createSignal, For, onCleanup, onMount, Show } from 'solid-js';
import { countingReadings, durationText, latestReading, originMl, zeroMs } from '../../log/runs.ts';
import type { Setup } from '../../log/setup.ts';
import type { Run } from '../../log/state.ts';
import { local, textsOf } from '../texts.ts';
import { Glass, Water } from './CylinderGlass.tsx';
import { hungText, shownLabels } from './cylinder-scale.ts';
import { createCylinderShape } from './cylinder-shape.ts';
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
  const shape = createCylinderShape({
    size,
    setup: () => props.setup,
    originMl: () => (props.run ? (originMl(props.run) ?? 0) : 0),
    lastMl,
    times,
  });
  const { left, right, wide, top, bottom, y } = shape;
  const labelled = createMemo(() =>
    shownLabels(
      readings().map((reading) => y(reading.volumeMl)),
      shape.big() ? 22 : 16,
    ),
  );
  const summary = (): string => {
    const { run, nextMark, setup } = props;
    const now = run
      ? t().waterAt(lastMl(), countingReadings(run).length)
      : t().emptyCylinder(setup.cylinder.capacityMl);
    return local(nextMark ? `${now} ${t().nextMark(nextMark.text)}` : now);
  };

  return (
    <figure class="cylinder" ref={figure}>
      <svg width={size().width} height={size().height} role="img" aria-label={summary()}>
        <Water shape={shape} ml={lastMl()} />
        <Glass shape={shape} setup={props.setup} nextMl={props.nextMark?.ml ?? null} />
        <For each={readings()}>
          {(reading, index) => (
            <g
              class="hung"
              classList={{
                doubtful: reading.outcome === 'doubtful',
                aside: reading.setAside !== null,
                // Below or above the part of the cylinder that is drawn.
                beyond: y(reading.volumeMl) > bottom() || y(reading.volumeMl) < top,
              }}
            >
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
