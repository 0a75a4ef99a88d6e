import { Show } from 'solid-js';
import { displacedText, durationText, latestReading, zeroMs } from '../../log/runs.ts';
import type { Setup } from '../../log/setup.ts';
import type { Run } from '../../log/state.ts';
import type { ShownFigures } from '../live-figures.ts';

/** The numbers of the run in progress, legible from two metres. */
export function Figures(props: {
  run: Run;
  setup: Setup;
  nowMs: number;
  nextMark: { ml: number; text: string } | null;
  live: ShownFigures | null;
}) {
  const displaced = () => displacedText(props.run);
  const started = () => latestReading(props.run) !== null;
  const untilNext = () => untilText(props.live?.nextMarkMs ?? null, props.nowMs);
  const untilEnd = () => untilText(props.live?.spanMs ?? null, props.nowMs);
  return (
    <dl class="figures">
      <div class="displaced">
        <dt>Displaced, mL</dt>
        <dd style={{ '--characters': String((displaced() ?? '0').length) }}>{displaced() ?? '0'}</dd>
      </div>
      <div class="elapsed">
        <dt>Run {props.run.label}</dt>
        <dd>{started() ? durationText(props.nowMs - zeroMs(props.run)) : '0:00'}</dd>
      </div>
      <div class="next">
        <dt>Next mark</dt>
        <dd>
          {props.nextMark?.text ?? 'none'}
          <Show when={untilNext()}>{(text) => <span class="until"> {text()}</span>}</Show>
        </dd>
      </div>
      <Show when={props.live}>
        {(live) => (
          <div class="rate">
            <dt>Rate</dt>
            <dd>
              {live().text}
              <span class="unit"> mL/s</span>
              <Show when={leftOut(live().leftOut)}>{(text) => <span class="left-out">{text()}</span>}</Show>
            </dd>
          </div>
        )}
      </Show>
      <Show when={untilEnd()}>
        {(text) => (
          <div class="end">
            <dt>Span of {props.setup.spanMl} mL</dt>
            <dd>{text()}</dd>
          </div>
        )}
      </Show>
    </dl>
  );
}

/** The rate does not pass over readings in silence. */
const leftOut = (count: number): string =>
  count === 0 ? '' : `without ${count} ${count === 1 ? 'reading that does' : 'readings that do'} not fit`;

/** "in 0:32", "now" when it is due, empty when it is not known. */
function untilText(atMs: number | null, nowMs: number): string {
  if (atMs === null) return '';
  return atMs <= nowMs ? 'now' : `in ${durationText(atMs - nowMs + 999)}`;
}
