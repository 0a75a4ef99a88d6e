import { Show } from 'solid-js';
import { displacedText, durationText, latestReading, zeroMs } from '../../log/runs.ts';
import type { Run } from '../../log/state.ts';
import { lagWarningText } from '../../results/verdict-texts.ts';
import type { ShownFigures } from '../live-figures.ts';
import { local, pageLanguage, textsOf } from '../texts.ts';
import { BigNumber } from './BigNumber.tsx';
import { texts } from './texts.ts';

/** The numbers of the run in progress: the last reading largest, then the next mark, then the times. */
export function Figures(props: {
  run: Run;
  nowMs: number;
  nextMark: { ml: number; text: string } | null;
  live: ShownFigures | null;
}) {
  const t = textsOf(texts);
  const last = () => latestReading(props.run);
  /** Minutes and seconds until then, "now" when it is due, empty when it is not known. */
  const until = (atMs: number | null | undefined): string => {
    if (atMs === null || atMs === undefined) return '';
    return atMs <= props.nowMs ? t().now : durationText(atMs - props.nowMs + 999);
  };
  return (
    <dl class="figures">
      <div class="last" classList={{ none: !last() }}>
        <dt>{last() ? t().last(props.run.label) : t().noneYet(props.run.label)}</dt>
        <dd>
          {/* Before the first reading its place is kept for it, and says what to do. */}
          <BigNumber class={last() ? '' : 'none'} text={local(last()?.value ?? '–')} />
        </dd>
      </div>
      {/* Before the first reading no mark is known, but for one that was set up. */}
      <Show when={last() || props.nextMark}>
        <div class="next">
          <dt>
            {t().next}
            <Show when={until(props.live?.nextMarkMs)}>
              {(text) => <strong class="until"> {text() === t().now ? text() : t().inTime(text())}</strong>}
            </Show>
          </dt>
          <dd>
            <Show when={props.nextMark} fallback={t().none}>
              {(mark) => <BigNumber text={local(mark().text)} />}
            </Show>
          </dd>
        </div>
      </Show>
      <div class="times">
        <div>
          <dt>{t().elapsed}</dt>
          <dd>{last() ? durationText(props.nowMs - zeroMs(props.run)) : '0:00'}</dd>
        </div>
        <Show when={until(props.live?.spanMs)}>
          {(text) => (
            <div>
              <dt>{t().toGo}</dt>
              <dd>{text()}</dd>
            </div>
          )}
        </Show>
      </div>
      <div class="small">
        <div>
          <dt>{t().displaced}</dt>
          <dd>{local(displacedText(props.run) ?? '0')} mL</dd>
        </div>
        <Show when={props.live}>
          {(live) => (
            <div>
              <dt>{t().rate}</dt>
              <dd>
                {local(live().text)} mL/s
                <Show when={live().leftOut > 0}>
                  <span class="left-out"> {t().leftOut(live().leftOut)}</span>
                </Show>
              </dd>
            </div>
          )}
        </Show>
      </div>
      <Show when={props.live?.lag}>
        {(lag) => (
          <div class="held-back" role="status">
            <dt class="for-screen-readers">{t().heldBack}</dt>
            <dd>{lagWarningText(lag(), pageLanguage())}</dd>
          </div>
        )}
      </Show>
    </dl>
  );
}

export default Figures;
