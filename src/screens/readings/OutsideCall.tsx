import { createMemo, For, Show } from 'solid-js';
import { givenValue } from '../../bench/act.ts';
import type { Call, Run } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { choicesOf, runForOutside } from './call-list.ts';
import { readingsTexts as t } from './texts.ts';
import { ValueForm } from './ValueForm.tsx';

/** A call made while no run was open: it is kept, and can be put into a run after all. */
export function OutsideCall(props: { call: Call; runs: readonly Run[] }) {
  const desk = useDesk();
  let chosen: HTMLSelectElement | undefined;
  const likely = createMemo(() => runForOutside(props.call, props.runs));
  const take = (value: string): void => {
    const run = chosen?.value ?? likely()?.id;
    if (run === undefined) return;
    const { id, onsetMs, endMs, timing, uOnsetMs, clip } = props.call;
    void desk.record(
      { kind: 'called', call: id, onsetMs, endMs, timing, uOnsetMs, clip, run },
      givenValue(id, value, 'hand'),
    );
  };
  return (
    <Show when={props.runs.length > 0}>
      <label>
        {t().belongsTo}
        <select ref={(select) => (chosen = select)}>
          <For each={props.runs}>
            {(run) => (
              <option value={run.id} selected={run.id === likely()?.id}>
                {t().optionRun(run.label)}
              </option>
            )}
          </For>
        </select>
      </label>
      <ValueForm
        label={t().withValue}
        value={choicesOf(props.call, undefined)[0] ?? numberIn(props.call)}
        onValue={take}
      />
    </Show>
  );
}

/** The number among the words heard, to start from. */
const numberIn = (call: Call): string => /\d+(\.\d+)?/.exec(call.heard.at(-1)?.alternatives[0]?.text ?? '')?.[0] ?? '';
