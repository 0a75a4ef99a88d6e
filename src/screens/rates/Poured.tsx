import { For, Show } from 'solid-js';
import { countingPours, type PouredEvent } from '../../analysis/poured.ts';
import type { Run } from '../../log/state.ts';
import { putPourRight } from '../../planning/pour-put-right.ts';
import { solutionsOf } from '../../planning/reagent-name.ts';
import { useDesk } from '../desk.tsx';
import { createRefusal } from '../form/refusal.tsx';
import { typedValue } from '../readings/call-list.ts';
import { local, pageLanguage } from '../texts.ts';
import type { RunProps } from './run-props.ts';
import { ratesTexts as t } from './texts.ts';

/** What was called as poured into a run's flask, each to be put right where it was misheard. */
export function Poured(props: RunProps & { onDone: () => void }) {
  const run = () => props.state.runs.find(({ id }) => id === props.named.id);
  const called = () => {
    const found = run();
    return found && props.state.plan ? { run: found, pours: countingPours(props.state, found) } : null;
  };
  return (
    <Show when={called()?.pours.length ? called() : null}>
      {(found) => (
        <details class="poured no-print">
          <summary>{t().calledPoured(props.named.label)}</summary>
          <For each={found().pours}>{(pour) => <PourForm {...props} run={found().run} pour={pour} />}</For>
        </details>
      )}
    </Show>
  );
}

function PourForm(props: RunProps & { onDone: () => void; run: Run; pour: PouredEvent }) {
  const desk = useDesk();
  const refusal = createRefusal();
  let volume!: HTMLInputElement;
  let solution!: HTMLSelectElement;
  const choices = () => (props.state.plan ? solutionsOf(props.state.plan) : []);
  const known = () => choices().find((one) => one.id === props.pour.solution);
  const called = () => t().pour(props.pour.value, known()?.name ?? `“${props.pour.reagent}”`);
  const put = async (): Promise<void> => {
    const really = { value: typedValue(volume.value), solution: solution.value };
    const found = putPourRight(props.state, props.run, props.pour, really);
    refusal.say(found.ok ? '' : local(found.sentences[pageLanguage()]));
    if (!found.ok || !(await desk.record(found.event))) return;
    desk.announce(t().pourPutRight(props.named.label));
    props.onDone();
  };
  return (
    <form
      class="value-form"
      aria-label={t().pourIn(called(), props.named.label)}
      onSubmit={(event) => {
        event.preventDefault();
        void put();
      }}
    >
      <p>
        {called()}
        {props.pour.replaces === null ? '' : t().putRightByHand}
      </p>
      <div class="row">
        <label>
          {t().reallyPoured}
          <input
            ref={volume}
            inputmode="decimal"
            autocomplete="off"
            size="6"
            value={props.pour.value}
            {...refusal.field}
          />
        </label>
        <label>
          {t().of}
          <select ref={solution}>
            <Show when={!known()}>
              <option value="">{t().choose}</option>
            </Show>
            <For each={choices()}>
              {(one) => (
                <option value={one.id} selected={one.id === props.pour.solution}>
                  {one.name}
                </option>
              )}
            </For>
          </select>
        </label>
        <button type="submit">{t().putRight}</button>
      </div>
      <refusal.Line />
    </form>
  );
}
