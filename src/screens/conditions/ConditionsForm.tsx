import { createSignal, For, Show } from 'solid-js';
import type { NotebookState } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { createRefusal } from '../form/refusal.tsx';
import { pageLanguage, textsOf } from '../texts.ts';
import { conditionsTyped } from './conditions-typed.ts';
import { texts } from './texts.ts';

/** The fields for what is missing, where it is missed. */
export function ConditionsForm(props: {
  state: NotebookState;
  pressure: boolean;
  temperature: boolean;
  stocks: readonly { readonly id: string; readonly name: string }[];
  /** Offered beside the saving: goes on without. */
  onSkip?: () => void;
}) {
  const desk = useDesk();
  const t = textsOf(texts);
  const [weather, setWeather] = createSignal(false);
  const refusal = createRefusal();
  const submit = async (form: HTMLFormElement): Promise<void> => {
    const found = conditionsTyped(props.state, props.stocks, new FormData(form), weather(), pageLanguage());
    refusal.say('sentence' in found ? found.sentence : '');
    if ('sentence' in found || !(await desk.record(...found.events))) return;
    desk.announce(t().saved);
  };
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void submit(event.currentTarget);
      }}
    >
      <p class="missing-head">{t().forMoles}</p>
      <div class="row">
        <Show when={props.pressure}>
          <NumberField name="hPa" label={t().pressure} />
          <label>
            {t().pressureFrom}
            <select onChange={(event) => setWeather(event.currentTarget.value === 'weather')}>
              <option value="barometer">{t().barometer}</option>
              <option value="weather">{t().weather}</option>
            </select>
          </label>
          <Show when={weather()}>
            <NumberField name="altitude" label={t().altitude} />
          </Show>
        </Show>
        <Show when={props.temperature}>
          <NumberField name="temperature" label={t().temperature} />
        </Show>
        <For each={props.stocks}>{(stock) => <NumberField name={stock.id} label={t().strength(stock.name)} />}</For>
        <button type="submit" aria-describedby={refusal.field['aria-describedby']}>
          {t().save}
        </button>
        <Show when={props.onSkip}>
          {(skip) => (
            <button type="button" onClick={() => skip()()}>
              {t().skip}
            </button>
          )}
        </Show>
      </div>
      <refusal.Line />
    </form>
  );
}

function NumberField(props: { name: string; label: string }) {
  return (
    <label>
      {props.label}
      <input name={props.name} inputmode="decimal" autocomplete="off" size="8" />
    </label>
  );
}
