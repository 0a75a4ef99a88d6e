import { createSignal, createUniqueId, For, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { EventBody } from '../../log/event.ts';
import { Setup } from '../../log/setup.ts';
import type { NotebookState } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { ratesTexts as t } from './texts.ts';

/** What keeps k from being stated in moles, or the law from being stated at all, asked for where it is missed. */
export function Missing(props: { found: NotebookAnalysis; state: NotebookState }) {
  const noPressure = () => !props.state.setup.pressure;
  const noTemperature = () => props.found.experiment.runs.some(({ temperatureK }) => !temperatureK);
  const unknown = () => (props.state.plan?.stocks ?? []).filter(({ strength }) => strength.unit === 'M-unknown');
  const noPlan = () => !props.found.experiment.runs.some(({ concentrations }) => concentrations);
  const conditions = () => noPressure() || noTemperature() || unknown().length > 0;
  const hasK = () => {
    const { law, unit } = props.found.analysis;
    return unit === 'volume' && law.ok && law.accepted !== null;
  };
  return (
    <Show when={conditions() || noPlan()}>
      <section class="missing no-print" aria-label={t().missing}>
        <Show when={hasK()}>
          <p>{t().inGas}</p>
        </Show>
        <Show when={noPlan()}>
          <p>
            {t().noPlan}{' '}
            <a class="button" href={hrefOf('run-sheet')}>
              {t().toRunSheet}
            </a>
          </p>
        </Show>
        <Show when={conditions()}>
          <Conditions
            state={props.state}
            pressure={noPressure()}
            temperature={noTemperature()}
            stocks={unknown().map(({ id, name }) => ({ id, name }))}
          />
        </Show>
      </section>
    </Show>
  );
}

interface Wanted {
  readonly state: NotebookState;
  readonly pressure: boolean;
  readonly temperature: boolean;
  readonly stocks: readonly { readonly id: string; readonly name: string }[];
}

function Conditions(props: Wanted) {
  const desk = useDesk();
  const [weather, setWeather] = createSignal(false);
  const [wrong, setWrong] = createSignal('');
  const id = createUniqueId();
  const submit = async (form: HTMLFormElement): Promise<void> => {
    const found = eventsOf(props, new FormData(form), weather());
    setWrong('sentence' in found ? found.sentence : '');
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
      <p class="missing-head">{t().missingConditions}</p>
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
        <button type="submit" aria-describedby={wrong() ? id : undefined}>
          {t().save}
        </button>
      </div>
      <Show when={wrong()}>
        <p id={id} role="alert" class="wrong">
          {wrong()}
        </p>
      </Show>
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

/** The events that what was typed makes, or what is wrong with it. Empty fields stay unknown. */
export function eventsOf(
  { state, stocks }: Pick<Wanted, 'state' | 'stocks'>,
  typed: Pick<FormData, 'get'>,
  weather: boolean,
): { readonly events: readonly EventBody[] } | { readonly sentence: string } {
  const { ranges, outOfRange } = t();
  const text = (name: string): string => String(typed.get(name) ?? '').trim();
  const number = (name: string): number | undefined =>
    text(name) === '' ? undefined : Number(text(name).replace(',', '.'));
  const [hPa, altitudeM, temperatureC] = [number('hPa'), number('altitude'), number('temperature')];
  const events: EventBody[] = [];
  let { setup } = state;
  if (temperatureC !== undefined) {
    const parsed = Setup.safeParse({ ...setup, temperatureC });
    if (!parsed.success) return { sentence: outOfRange(ranges.temperature) };
    setup = parsed.data;
  }
  if (hPa !== undefined) {
    const pressure = weather ? { kind: 'sea-level', hPa, altitudeM } : { kind: 'station', hPa };
    const parsed = Setup.safeParse({ ...setup, pressure });
    if (!parsed.success) return { sentence: outOfRange(weather ? ranges.seaLevel : ranges.station) };
    setup = parsed.data;
  }
  if (setup !== state.setup) events.push({ kind: 'set-up', setup });
  const strengths = new Map(stocks.flatMap(({ id }) => (text(id) === '' ? [] : [[id, number(id) ?? Number.NaN]])));
  if ([...strengths.values()].some((value) => !(value > 0 && value < 100)))
    return { sentence: outOfRange(ranges.strength) };
  const { plan } = state;
  if (plan && strengths.size > 0)
    events.push({
      kind: 'planned',
      plan: {
        ...plan,
        stocks: plan.stocks.map((stock) => {
          const value = strengths.get(stock.id);
          return value === undefined ? stock : { ...stock, strength: { ...stock.strength, value, unit: 'mol/L' } };
        }),
      },
    });
  return events.length === 0 ? { sentence: outOfRange(ranges.nothing) } : { events };
}
