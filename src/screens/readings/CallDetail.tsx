import { createEffect, For, on, onCleanup, Show } from 'solid-js';
import { givenValue } from '../../bench/act.ts';
import type { Call, Reading } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { pageLanguage } from '../texts.ts';
import { ClipPlayer } from './ClipPlayer.tsx';
import { choicesOf, timingText } from './call-list.ts';
import { Heard } from './Heard.tsx';
import { History, historyOf } from './History.tsx';
import { OutsideCall } from './OutsideCall.tsx';
import { ReadingActs } from './ReadingActs.tsx';
import { readingsTexts as t } from './texts.ts';
import { ValueForm } from './ValueForm.tsx';

/** One call in full: sound, words, choices, what was done to it. */
export function CallDetail(props: { call: Call; readings: readonly Reading[]; zeroMs: number }) {
  const desk = useDesk();
  const reading = () => (props.readings.length === 1 ? props.readings[0] : undefined);
  const give = (value: string, which: Reading | undefined): void => {
    if (which) void desk.record({ kind: 'corrected', reading: which.id, value, by: 'hand' });
    else void desk.record(givenValue(props.call.id, value, 'hand'));
  };
  const choices = () => choicesOf(props.call, reading());
  const isOpen = () => {
    const one = reading();
    return one === undefined || (one.outcome === 'doubtful' && !one.settled);
  };
  const canHaveValue = () => props.call.run !== null && props.call.outcome !== 'command';
  /** Something was pressed here; what was pressed may be gone once it is recorded. */
  let acted = false;
  let detail!: HTMLDivElement;
  const lost = (): boolean => acted && (document.activeElement === document.body || document.activeElement === null);
  createEffect(
    on(
      () => [props.call, props.readings],
      () =>
        setTimeout(() => {
          if (lost()) detail.parentElement?.querySelector<HTMLElement>('.call-row')?.focus();
          acted = false;
        }),
      { defer: true },
    ),
  );
  // A doubt that is settled leaves its list: on to the next one, or to the words that none is left.
  onCleanup(() =>
    setTimeout(() => {
      if (!lost()) return;
      const next =
        document.querySelector<HTMLElement>('.doubts .call-row') ?? document.getElementById('doubts-heading');
      next?.focus();
    }),
  );
  return (
    <div
      class="call-detail"
      ref={detail}
      on:click={(event) => {
        // By key, or by what reads the screen aloud: a pointer needs no focus put back.
        acted = event.detail === 0;
      }}
    >
      <Show when={props.call.clip}>
        <ClipPlayer call={props.call.id} />
      </Show>
      <Heard call={props.call} />
      <p>
        <span class="quiet">{t().moment}</span> {timingText(props.call, pageLanguage())}.
        <Show when={props.call.reason}>
          {' '}
          <span class="quiet">{t().judged}</span> {props.call.reason}.
        </Show>
      </p>
      <Show when={canHaveValue()}>
        <Show when={isOpen() || choices().length > 1}>
          <Choices values={choices()} onValue={(value) => give(value, reading())} />
        </Show>
        <For each={props.readings.length === 0 ? [undefined] : props.readings}>
          {(one) => (
            <ValueForm
              label={one ? t().correct(one.value) : t().give}
              value={one?.value ?? ''}
              stands={one !== undefined && (one.outcome === 'taken' || one.settled)}
              onValue={(value) => give(value, one)}
            />
          )}
        </For>
      </Show>
      <Show when={props.call.run === null && props.call.outcome !== 'command'}>
        <OutsideCall call={props.call} runs={desk.state()?.runs ?? []} />
      </Show>
      <For each={props.readings}>{(one) => <ReadingActs reading={one} />}</For>
      <Show when={props.readings.length === 0 && canHaveValue() && props.call.outcome !== 'not-a-reading'}>
        <button
          type="button"
          onClick={() =>
            void desk.record({
              kind: 'judged',
              call: props.call.id,
              outcome: 'not-a-reading',
              meaning: null,
              rivals: [],
              reason: 'no reading, by hand',
              by: 'hand',
            })
          }
        >
          {t().noReading}
        </button>
      </Show>
      <History changes={historyOf(props.call, props.readings)} zeroMs={props.zeroMs} />
    </div>
  );
}

function Choices(props: { values: readonly string[]; onValue: (value: string) => void }) {
  return (
    <Show when={props.values.length > 0}>
      <fieldset class="choices">
        <legend>{t().itWas}</legend>
        <div class="row">
          <For each={props.values}>
            {(value) => (
              <button type="button" onClick={() => props.onValue(value)}>
                {value} <span class="unit">mL</span>
              </button>
            )}
          </For>
        </div>
      </fieldset>
    </Show>
  );
}
