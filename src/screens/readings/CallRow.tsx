import { Show } from 'solid-js';
import { durationText } from '../../log/runs.ts';
import type { Call, Reading } from '../../log/state.ts';
import { local } from '../texts.ts';
import { CallDetail } from './CallDetail.tsx';
import { stateText } from './call-list.ts';
import { readingsTexts as t } from './texts.ts';

/** One call as a line; opened, it shows everything about it. */
export function CallRow(props: {
  call: Call;
  readings: readonly Reading[];
  zeroMs: number;
  /** Words before the time where the row stands outside its run. */
  place?: string;
  /** Why the person should look at it, where the row itself does not show that. */
  remark?: string;
  open: boolean;
  onToggle: () => void;
}) {
  const reading = () => props.readings[0];
  const value = () => props.readings.map((one) => one.value).join(', ');
  const words = () => props.call.heard.at(-1)?.alternatives[0]?.text ?? '';
  const state = () => stateText(props.call, reading());
  const time = () => local(durationText((reading()?.timeMs ?? props.call.onsetMs) - props.zeroMs, true));
  return (
    <li
      class="call"
      classList={{
        doubt:
          Boolean(props.remark) || state() === 'in doubt' || state() === 'no value yet' || state() === 'not judged',
        struck: state() === 'struck',
        minor: state() === 'command' || state() === 'no reading',
      }}
    >
      <button
        type="button"
        class="call-row"
        data-call={props.call.id}
        aria-expanded={props.open}
        onClick={props.onToggle}
      >
        <span class="time">
          <Show when={props.place}>{props.place}, </Show>
          {time()}
        </span>
        <span class="value">{value() === '' ? '' : `${value()} mL`}</span>
        <span class="words">{words() ? t().spoken(words()) : ''}</span>
        <span class="state">{t().states[state()]}</span>
      </button>
      <Show when={props.remark}>
        <p class="remark">{props.remark}</p>
      </Show>
      <Show when={props.open}>
        <CallDetail call={props.call} readings={props.readings} zeroMs={props.zeroMs} />
      </Show>
    </li>
  );
}
