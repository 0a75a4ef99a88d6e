import { createSignal, For, Show } from 'solid-js';
import { type ClockDoubt, clockDoubtsOf } from '../../log/clock-doubts.ts';
import type { EventBody } from '../../log/event.ts';
import { newId } from '../../log/new-id.ts';
import { durationText } from '../../log/runs.ts';
import { useDesk } from '../desk.tsx';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** Asks whether to keep or move times on either side of a gap that the run does not explain. Shown where the times are used. */
export function ClockDoubts(props: {
  /** One line that opens: at the bench the numbers need the room. */
  small?: boolean;
}) {
  const desk = useDesk();
  const doubts = () => {
    const state = desk.state();
    return state ? clockDoubtsOf(state) : [];
  };
  return (
    // One at a time: settling one may settle what follows from it.
    <For each={doubts().slice(0, 1)}>{(doubt) => <Doubt doubt={doubt} open={!props.small} />}</For>
  );
}

function Doubt(props: { doubt: ClockDoubt; open: boolean }) {
  const desk = useDesk();
  const t = textsOf(texts);
  const [wrong, setWrong] = createSignal(false);
  let field!: HTMLInputElement;
  const { run, joint, gapMs, countedMs, likelyMs } = props.doubt;
  const slept = joint.why === 'clock-doubted';
  const settle = async (said: string, ...bodies: EventBody[]): Promise<void> => {
    if (await desk.record(...bodies)) desk.announce(said);
  };
  const settled = (byMs: number): EventBody => ({ kind: 'clock-settled', joint: joint.event, run: run.id, byMs });
  const shift = (): void => {
    const [, minutes = '', seconds = ''] = /^\s*(\d{1,4}):([0-5]?\d)\s*$/.exec(field.value) ?? [];
    setWrong(seconds === '');
    // What was typed is the true gap; what came before moves by the rest.
    if (seconds !== '') void settle(t().shifted, settled(countedMs - 1000 * (60 * Number(minutes) + Number(seconds))));
  };
  const end = (): void => {
    const after = run.readings.find(({ timeMs }) => timeMs >= joint.atMs);
    const ended: EventBody = after
      ? { kind: 'run-split', run: run.id, at: after.id, into: newId().slice(0, 13), label: `${run.label}b` }
      : { kind: 'run-ended', run: run.id, timeMs: joint.fromMs };
    void settle(t().ended, settled(0), ended);
  };
  return (
    <section class="problem" aria-label={t().heading(run.label)} role="alert">
      <details open={props.open}>
        <summary>
          <strong>{t().heading(run.label)}</strong>
        </summary>
        <p>{joint.why === 'unknown-gap' ? t().back : (slept ? t().slept : t().jumped)(gapText(t(), gapMs))}</p>
        <p class="row">
          <button type="button" onClick={() => void settle(t().kept, settled(0))}>
            {t().keep}
          </button>
          <label>
            {t().pause}
            <input
              ref={field}
              type="text"
              inputmode="numeric"
              autocomplete="off"
              size="6"
              value={durationText(likelyMs ?? (slept ? gapMs : 60_000))}
              aria-invalid={wrong()}
            />
          </label>
          <button type="button" onClick={shift}>
            {t().shift}
          </button>
          <button type="button" onClick={end}>
            {t().end}
          </button>
        </p>
        <Show when={wrong()}>
          <p class="wrong" role="alert">
            {t().wrong}
          </p>
        </Show>
      </details>
    </section>
  );
}

/** "20 days": in the unit that says it shortest. */
function gapText(t: (typeof texts)['en'], ms: number): string {
  const minutes = Math.round(ms / 60_000);
  if (ms < 120_000) return t.seconds(Math.round(ms / 1000));
  if (minutes < 120) return t.minutes(minutes);
  return minutes < 48 * 60 ? t.hours(Math.round(minutes / 60)) : t.days(Math.round(minutes / 1440));
}
