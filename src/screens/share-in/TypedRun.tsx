import { createSignal, Show } from 'solid-js';
import { enteredEvents } from '../../files/pasted-readings.ts';
import { newId } from '../../log/new-id.ts';
import { distinctLabel, nextRunLabel } from '../../log/runs.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { TypedTable } from './TypedTable.tsx';
import { texts } from './texts.ts';
import { type TypedReadings, type TypedRow, typedReadings } from './typed-rows.ts';

/** How well a time that was read from a stopwatch and written down is known, s (a judgement, no source). */
const usualTimeS = '0.5';

/**
 * A table for a run on paper, filled by keys alone: Enter goes to the next cell, and after the last volume to a new row.
 * A volume that follows the last two at the same step is filled in beforehand.
 */
export function TypedRun(props: { intoOpen: boolean; onDone: () => void }) {
  const desk = useDesk();
  const t = textsOf(texts);
  const [rows, setRows] = createSignal<readonly TypedRow[]>([{ time: '', volume: '' }]);
  const [label, setLabel] = createSignal('');
  const [goodTo, setGoodTo] = createSignal(usualTimeS);
  const [wrong, setWrong] = createSignal('');

  const wantedLabel = (): string => {
    const state = desk.state();
    return props.intoOpen && state ? nextRunLabel(state) : '1';
  };
  const sentenceOf = (found: TypedReadings): string => {
    if (found.ok) return '';
    if (found.wrong === 'too-few') return t().needTwo;
    return found.wrong === 'time' ? t().wrongTime(found.row) : t().wrongVolume(found.row);
  };
  const keep = async (): Promise<void> => {
    const found = typedReadings(rows(), goodTo());
    setWrong(sentenceOf(found));
    if (!found.ok) return;
    if (!props.intoOpen && !(await desk.create(t().newTitle))) return;
    const journal = desk.journal();
    const state = desk.state();
    if (!journal || !state) return;
    const events = enteredEvents(
      [{ label: label().trim().slice(0, 40) || nextRunLabel(state), readings: found.readings }],
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
      <TypedTable rows={rows} onRows={setRows} onEnd={() => void keep()} />
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
