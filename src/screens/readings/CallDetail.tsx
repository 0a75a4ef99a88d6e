import { For, Show } from 'solid-js';
import type { By } from '../../notebook/event.ts';
import type { Call, Change, Reading } from '../../notebook/state.ts';
import { givenValue } from '../../session/act.ts';
import { durationText } from '../../session/marks.ts';
import { useDesk } from '../desk.tsx';
import { ClipPlayer } from './ClipPlayer.tsx';
import { choicesOf, timingText } from './call-list.ts';
import { OutsideCall } from './OutsideCall.tsx';
import { causeText, SetAside } from './SetAside.tsx';
import { ValueForm } from './ValueForm.tsx';

/** One call in full: sound, words, choices, what was done to it. */
export function CallDetail(props: { call: Call; readings: readonly Reading[]; zeroMs: number }) {
  const desk = useDesk();
  const reading = () => (props.readings.length === 1 ? props.readings[0] : undefined);
  const give = (value: string, which: Reading | undefined): void => {
    if (which) void desk.record({ kind: 'corrected', reading: which.id, value, by: 'hand' });
    else void desk.record(givenValue(props.call.id, value, 'hand'));
  };
  const canHaveValue = () => props.call.run !== null && props.call.outcome !== 'command';
  return (
    <div class="call-detail">
      <Show when={props.call.clip}>
        <ClipPlayer call={props.call.id} />
      </Show>
      <Heard call={props.call} />
      <p>
        <span class="quiet">Moment:</span> {timingText(props.call)}.
        <Show when={props.call.reason}>
          {' '}
          <span class="quiet">Judged:</span> {props.call.reason}.
        </Show>
      </p>
      <Show when={canHaveValue()}>
        <Choices values={choicesOf(props.call, reading())} onValue={(value) => give(value, reading())} />
        <For each={props.readings.length === 0 ? [undefined] : props.readings}>
          {(one) => (
            <ValueForm
              label={one ? `Correct ${one.value} mL to` : 'Give it the value (mL)'}
              value={one?.value ?? ''}
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
          It is no reading
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
        <legend>It was</legend>
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

function Heard(props: { call: Call }) {
  return (
    <Show when={props.call.heard.length > 0} fallback={<p class="quiet">No words were heard.</p>}>
      <For each={props.call.heard}>
        {(words) => (
          <p>
            <span class="quiet">{earNames[words.ear]} heard</span>{' '}
            <For each={words.alternatives}>
              {(alternative, index) => (
                <>
                  {index() > 0 ? ', or ' : ''}
                  <q>{alternative.text}</q>
                  {alternative.p === null ? '' : ` (${Math.round(100 * alternative.p)} %)`}
                </>
              )}
            </For>
            <Show when={words.lagMs !== null}>
              <span class="quiet"> {((words.lagMs ?? 0) / 1000).toFixed(1)} s after the sound began</span>
            </Show>
          </p>
        )}
      </For>
    </Show>
  );
}

function ReadingActs(props: { reading: Reading }) {
  const desk = useDesk();
  const id = () => props.reading.id;
  return (
    <>
      <div class="row">
        <Show
          when={props.reading.struck}
          fallback={
            <button type="button" onClick={() => void desk.record({ kind: 'struck', reading: id(), by: 'hand' })}>
              Strike {props.reading.value} mL
            </button>
          }
        >
          <button type="button" onClick={() => void desk.record({ kind: 'restored', reading: id() })}>
            Restore {props.reading.value} mL
          </button>
        </Show>
        <Show when={props.reading.setAside}>
          <button type="button" onClick={() => void desk.record({ kind: 'put-back', reading: id() })}>
            Put {props.reading.value} mL back
          </button>
        </Show>
      </div>
      <Show
        when={props.reading.setAside}
        fallback={
          <Show when={!props.reading.struck}>
            <SetAside reading={props.reading} />
          </Show>
        }
      >
        {(aside) => (
          <p>
            Set aside: {causeText(aside().cause)}
            {aside().why ? `, ${aside().why}` : ''}.
          </p>
        )}
      </Show>
    </>
  );
}

function History(props: { changes: readonly Change[]; zeroMs: number }) {
  return (
    <Show when={props.changes.length > 0}>
      <details class="history">
        <summary>History ({props.changes.length})</summary>
        <ol>
          <For each={props.changes}>
            {(change) => (
              <li>
                {durationText(change.atMs - props.zeroMs)} {change.what.replace('-', ' ')}
                {change.value === null ? '' : ` ${change.value} mL`}, {byNames[change.by]}
                {change.reason ? `: ${change.reason}` : ''}
              </li>
            )}
          </For>
        </ol>
      </details>
    </Show>
  );
}

/** Changes of a call and of its readings, each event once, in order. */
function historyOf(call: Call, readings: readonly Reading[]): readonly Change[] {
  const changes = new Map<string, Change>();
  for (const change of [...call.history, ...readings.flatMap((reading) => reading.history)])
    changes.set(change.event + change.what, change);
  return [...changes.values()].sort((a, b) => a.atMs - b.atMs);
}

const earNames: Readonly<Record<Call['heard'][number]['ear'], string>> = {
  browser: 'The browser’s recogniser',
  own: 'The recogniser in this page',
  sound: 'The sound finder',
  rehearsal: 'The rehearsal',
};

const byNames: Readonly<Record<By, string>> = {
  ear: 'as heard',
  expectation: 'in the light of later readings',
  voice: 'by voice',
  hand: 'by hand',
};
