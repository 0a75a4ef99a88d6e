import { createSignal, Show } from 'solid-js';
import { impossibleReading } from '../../bench/plausible.ts';
import { typedFigure } from '../../files/typed-figure.ts';
import type { EventOf } from '../../log/event.ts';
import { zeroMs } from '../../log/runs.ts';
import type { Run } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { local, pageLanguage } from '../texts.ts';
import { typedValue } from './call-list.ts';
import { readingsTexts as t } from './texts.ts';

/** How well a time that was written down is known, s (a judgement, no source). */
const usualTimeS = '0.5';

/** A reading that was forgotten, with its time counted from the run's first reading, as the list shows times. */
export function AddReading(props: { run: Run; onAdd: (ml: string, body: EventOf<'readings-entered'>) => void }) {
  const desk = useDesk();
  const [wrong, setWrong] = createSignal('');
  const add = (form: HTMLFormElement): void => {
    const typed = new FormData(form);
    const text = (name: string): string => String(typed.get(name) ?? '').trim();
    const early = /^[-−]/.test(text('time'));
    const time = typedFigure(text('time').replace(/^[-−]/, ''));
    const value = typedValue(text('volume'));
    const u = Number(text('u').replace(',', '.') || Number.NaN);
    const setup = desk.state()?.setup;
    const refusal = value !== null && setup ? impossibleReading(value, setup, pageLanguage()) : null;
    setWrong(
      time === null
        ? t().wrongTime
        : value === null
          ? t().notANumber
          : refusal
            ? t().refused(local(refusal))
            : u >= 0 && u <= 60
              ? ''
              : t().wrongUncertainty,
    );
    if (time === null || value === null || wrong() !== '') return;
    const zero = zeroMs(props.run);
    const fromMs = early ? Math.max(0, zero - Math.round(Number(time) * 1000)) : zero;
    props.onAdd(value, {
      kind: 'readings-entered',
      run: props.run.id,
      label: props.run.label,
      timing: 'hand',
      stated: true,
      fromMs: Math.round(fromMs * 10) / 10,
      readings: [{ time: early ? '0' : time, value, uTimeMs: Math.round(1000 * u) }],
    });
  };
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        add(event.currentTarget);
      }}
    >
      <label>
        {t().timeAfterFirst}
        <input name="time" size="8" autocomplete="off" ref={(input) => queueMicrotask(() => input.focus())} />
      </label>
      <label>
        {t().volume}
        <input name="volume" inputmode="decimal" size="7" autocomplete="off" />
      </label>
      <label>
        {t().goodTo}
        <input name="u" inputmode="decimal" size="5" autocomplete="off" value={usualTimeS} />
      </label>
      <button type="submit">{t().add}</button>
      <Show when={wrong()}>
        <p class="wrong" role="alert">
          {wrong()}
        </p>
      </Show>
    </form>
  );
}
