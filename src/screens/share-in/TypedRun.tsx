import { createSignal, For, Index, onMount, Show } from 'solid-js';
import { enteredEvents } from '../../files/pasted-readings.ts';
import { typedFigure } from '../../files/typed-figure.ts';
import type { EnteredReading } from '../../log/event.ts';
import { newId } from '../../log/new-id.ts';
import { distinctLabel, nextRunLabel } from '../../log/runs.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** How well a time that was read from a stopwatch and written down is known, s (a judgement, no source). */
const usualTimeS = '0.5';

/**
 * A table for a run on paper, filled by keys alone: Enter goes to the next cell, and after the last volume to a new row.
 * A volume that follows the last two at the same step is filled in beforehand.
 */
export function TypedRun(props: { intoOpen: boolean; onDone: () => void }) {
  const desk = useDesk();
  const t = textsOf(texts);
  const [rows, setRows] = createSignal<readonly { time: string; volume: string }[]>([{ time: '', volume: '' }]);
  const [label, setLabel] = createSignal('');
  const [goodTo, setGoodTo] = createSignal(usualTimeS);
  const [wrong, setWrong] = createSignal('');
  let table!: HTMLTableElement;
  onMount(() => table.querySelector('input')?.focus());

  const wantedLabel = (): string => {
    const state = desk.state();
    return props.intoOpen && state ? nextRunLabel(state) : '1';
  };
  const change = (index: number, part: { time?: string; volume?: string }): void => {
    setRows(rows().map((row, i) => (i === index ? { ...row, ...part } : row)));
  };
  /** The step of the last two volumes, carried on. */
  const nextVolume = (): string => {
    const [a, b] = rows()
      .slice(-2)
      .map((row) => Number(row.volume.replace(',', '.')));
    const next = 2 * (b ?? Number.NaN) - (a ?? Number.NaN);
    return rows().length > 1 && Number.isFinite(next) ? String(Number(next.toFixed(6))) : '';
  };
  const onEnter = (event: KeyboardEvent, index: number, cell: 'time' | 'volume'): void => {
    if (event.key !== 'Enter') return;
    event.preventDefault();
    const last = index === rows().length - 1;
    const filled = rows()[index];
    if (cell === 'time' && filled?.volume.trim() === '' && filled.time.trim() !== '') focus(index, 1);
    else if (last && filled?.time.trim() === '') void keep();
    else {
      if (last) setRows([...rows(), { time: '', volume: nextVolume() }]);
      focus(index + 1, 0);
    }
  };
  const focus = (row: number, cell: 0 | 1): void => {
    queueMicrotask(() => table.querySelectorAll<HTMLInputElement>('tbody input')[2 * row + cell]?.focus());
  };

  const readings = (): EnteredReading[] | null => {
    const u = Number(goodTo().replace(',', '.'));
    const found: EnteredReading[] = [];
    for (const [i, row] of rows().entries()) {
      if (row.time.trim() === '') continue;
      const time = typedFigure(row.time);
      const value = row.volume.includes(':') ? null : typedFigure(row.volume);
      const sentence = time === null ? t().wrongTime(i + 1) : value === null ? t().wrongVolume(i + 1) : '';
      setWrong(sentence);
      if (time === null || value === null) return null;
      found.push({ time, value, uTimeMs: u >= 0 && u <= 60 ? 1000 * u : 500 });
    }
    setWrong(found.length < 2 ? t().needTwo : '');
    return found.length < 2 ? null : found;
  };
  const keep = async (): Promise<void> => {
    const found = readings();
    if (!found) return;
    if (!props.intoOpen && !(await desk.create(t().newTitle))) return;
    const journal = desk.journal();
    const state = desk.state();
    if (!journal || !state) return;
    const events = enteredEvents(
      [{ label: label().trim().slice(0, 40) || nextRunLabel(state), readings: found }],
      { timing: 'hand', stated: true, nowMs: journal.now() },
      distinctLabel,
      state.runs.map((run) => run.label),
      () => newId().slice(0, 13),
    );
    await desk.record(...events);
    desk.announce(t().taken(1));
    location.hash = hrefOf(props.intoOpen ? 'readings' : 'rates');
    props.onDone();
  };

  return (
    <div class="typed-run">
      <div class="row">
        <label>
          {t().runName}
          <input
            size="6"
            autocomplete="off"
            placeholder={wantedLabel()}
            onInput={(event) => setLabel(event.currentTarget.value)}
          />
        </label>
        <label>
          {t().goodTo}
          <input
            size="5"
            inputmode="decimal"
            autocomplete="off"
            value={goodTo()}
            onInput={(event) => setGoodTo(event.currentTarget.value)}
          />
        </label>
      </div>
      <table ref={table}>
        <thead>
          <tr>
            <For each={[t().time, t().volume]}>{(heading) => <th scope="col">{heading}</th>}</For>
          </tr>
        </thead>
        <tbody>
          <Index each={rows()}>
            {(row, i) => (
              <tr>
                <td>
                  <input
                    aria-label={`${t().reading(i + 1)}: ${t().time}`}
                    inputmode="text"
                    autocomplete="off"
                    size="9"
                    value={row().time}
                    onInput={(event) => change(i, { time: event.currentTarget.value })}
                    onKeyDown={(event) => onEnter(event, i, 'time')}
                  />
                </td>
                <td>
                  <input
                    aria-label={`${t().reading(i + 1)}: ${t().volume}`}
                    inputmode="decimal"
                    autocomplete="off"
                    size="7"
                    value={row().volume}
                    onInput={(event) => change(i, { volume: event.currentTarget.value })}
                    onKeyDown={(event) => onEnter(event, i, 'volume')}
                  />
                </td>
              </tr>
            )}
          </Index>
        </tbody>
      </table>
      <Show when={wrong()}>
        <p class="wrong" role="alert">
          {wrong()}
        </p>
      </Show>
      <button type="button" class="primary" onClick={() => void keep()}>
        {t().keepRun}
      </button>
    </div>
  );
}
