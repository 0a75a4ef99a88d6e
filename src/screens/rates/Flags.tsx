import { createMemo, createSignal, For, Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { Flag } from '../../analysis/outliers.ts';
import type { EventBody } from '../../log/event.ts';
import { flagsSentence } from '../../results/sentences.ts';
import { useDesk } from '../desk.tsx';
import { ClipPlayer } from '../readings/ClipPlayer.tsx';
import { causeText } from '../readings/SetAside.tsx';
import { hrefOf } from '../route.ts';
import { mlText, secondsText } from './figures.ts';
import type { RunProps } from './run-props.ts';

/** Readings that the rest of the run speaks against: why, and what can be done. Nothing is done by itself. */
export function Flags(props: RunProps & { result: RunAnalysis; heading: string }) {
  const desk = useDesk();
  const idOf = (flag: Flag): string => props.named.readings[flag.index]!;
  const asideOf = (flag: Flag): EventBody => ({
    kind: 'set-aside',
    reading: idOf(flag),
    cause: flag.cause,
    why: flag.sentence.slice(0, 500),
  });
  const taken = (flag: Flag): EventBody[] =>
    flag.suggestedM3 === undefined
      ? []
      : [{ kind: 'corrected', reading: idOf(flag), value: mlText(flag.suggestedM3), by: 'hand' }];
  const act = async (said: string, ...bodies: EventBody[]): Promise<void> => {
    if (!(await desk.record(...bodies))) return;
    desk.announce(`${said}; the rate of run ${props.named.label} is worked out anew.`);
    // The pressed button goes away with its flag; the keyboard stays in this run.
    document.getElementById(props.heading)?.focus({ preventScroll: true });
  };
  const groups = createMemo(() => bySentence(props.result.flags));
  const suggestions = () => props.result.flags.flatMap(taken);
  const value = (flag: Flag): string => mlText(props.result.run.readings[flag.index]!.volumeM3);
  return (
    <>
      <p>{flagsSentence(props.result)}</p>
      <For each={groups()}>
        {(flags) => (
          <div class="flag">
            <p>
              <strong>Likely cause: {causeText(flags[0]!.cause)}.</strong> {flags[0]!.sentence}
            </p>
            <ul>
              <For each={flags}>
                {(flag) => (
                  <li>
                    <span>
                      {value(flag)} mL at{' '}
                      {secondsText(props.result.run.readings[flag.index]!.timeS - props.result.frame.firstTimeS)} s
                    </span>
                    <FlagActs
                      flag={flag}
                      value={value(flag)}
                      {...clipOf(props, idOf(flag))}
                      onTake={(ml) => void act(`${value(flag)} mL corrected to ${ml} mL`, ...taken(flag))}
                      onAside={() => void act(`${value(flag)} mL set aside`, asideOf(flag))}
                    />
                  </li>
                )}
              </For>
            </ul>
          </div>
        )}
      </For>
      <Show when={props.result.flags.length > 1}>
        <div class="row">
          <Show when={suggestions().length > 1}>
            <button
              type="button"
              onClick={() => void act(`${suggestions().length} suggested values taken`, ...suggestions())}
            >
              Take all {suggestions().length} suggested values
            </button>
          </Show>
          <button
            type="button"
            onClick={() =>
              void act(`${props.result.flags.length} flagged readings set aside`, ...props.result.flags.map(asideOf))
            }
          >
            Set all {props.result.flags.length} flagged aside
          </button>
        </div>
      </Show>
    </>
  );
}

function FlagActs(props: {
  flag: Flag;
  value: string;
  call: string | null;
  clip: boolean;
  onTake: (ml: string) => void;
  onAside: () => void;
}) {
  const [listening, setListening] = createSignal(false);
  return (
    <>
      <span class="row">
        <Show when={props.clip && props.call}>
          <button
            type="button"
            aria-label={`Listen to ${props.value} mL`}
            aria-expanded={listening()}
            onClick={() => setListening(!listening())}
          >
            Listen
          </button>
        </Show>
        <Show when={props.flag.suggestedM3}>
          {(m3) => (
            <button type="button" class="primary" onClick={() => props.onTake(mlText(m3()))}>
              Take {mlText(m3())}
            </button>
          )}
        </Show>
        <button type="button" aria-label={`Set aside ${props.value} mL`} onClick={() => props.onAside()}>
          Set aside
        </button>
        <Show when={props.call}>{(call) => <a href={hrefOf('readings', call())}>See this call</a>}</Show>
      </span>
      <Show when={!props.clip}>
        <span class="quiet">No sound of it is kept.</span>
      </Show>
      <Show when={listening() && props.call}>{(call) => <ClipPlayer call={call()} />}</Show>
    </>
  );
}

/** Flags that say the same of several readings (a missed mark shifts all that follow) are one matter. */
function bySentence(flags: readonly Flag[]): Flag[][] {
  const groups = new Map<string, Flag[]>();
  for (const flag of flags) groups.set(flag.sentence, [...(groups.get(flag.sentence) ?? []), flag]);
  return [...groups.values()];
}

function clipOf({ state, named }: RunProps, id: string): { call: string | null; clip: boolean } {
  const run = state.runs.find((one) => one.id === named.id);
  const call = run?.readings.find((reading) => reading.id === id)?.call ?? null;
  return { call, clip: state.calls.some((one) => one.id === call && one.clip) && !state.clipsDeleted };
}
