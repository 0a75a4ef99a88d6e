import { createEffect, createMemo, createSignal, on, Show } from 'solid-js';
import { latestUndo } from '../../bench/undo.ts';
import { useDesk } from '../desk.tsx';
import { pageLanguage } from '../texts.ts';
import { readingsTexts as t } from './texts.ts';

/** Takes the latest act back and says which; asks first where more hangs on it. What was undone stays in the log. */
export function UndoButton() {
  const desk = useDesk();
  const latest = createMemo(() => {
    const state = desk.state();
    const undo = state && latestUndo(state, pageLanguage());
    // The runs of the example are as they are; what a person did to their readings can be taken back.
    const ended =
      desk
        .journal()
        ?.events()
        .find(({ id }) => id === undo?.events[0])?.body.kind === 'run-ended';
    return ended && desk.practice() === 'example' ? null : undo;
  });
  const [asking, setAsking] = createSignal(false);
  createEffect(
    on(
      () => latest()?.events.join(' '),
      () => setAsking(false),
      { defer: true },
    ),
  );
  const undo = async (): Promise<void> => {
    const found = latest();
    if (!found) return;
    if (found.asks && !asking()) {
      setAsking(true);
      return;
    }
    const stored = await desk.record(...found.events.map((event) => ({ kind: 'undone', event }) as const));
    if (stored) desk.announce(t().takenBack(found.sentence));
  };
  return (
    <Show when={latest()}>
      {(found) => (
        <Show
          when={asking()}
          fallback={
            <button type="button" class="undo" onClick={() => void undo()}>
              {t().takeBack(found().sentence)}
            </button>
          }
        >
          <fieldset class="row asking" aria-label={t().takeBackQuestion(found().sentence)}>
            <p>{t().takeBackQuestion(found().sentence)}</p>
            <button type="button" class="danger" onClick={() => void undo()}>
              {t().yes}
            </button>
            <button
              type="button"
              onClick={() => setAsking(false)}
              ref={(button) => queueMicrotask(() => button.focus())}
            >
              {t().leaveIt}
            </button>
          </fieldset>
        </Show>
      )}
    </Show>
  );
}
