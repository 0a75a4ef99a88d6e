import { createSignal, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { prefer, preferences } from '../preferences/device.ts';
import { readingsTexts as t } from './texts.ts';

/** What becomes of the sounds: kept or not, and away with all of them by one control. */
export function ClipsControl() {
  const desk = useDesk();
  const [asking, setAsking] = createSignal(false);
  const kept = () => desk.state()?.calls.filter((call) => call.clip).length ?? 0;
  const remove = async (): Promise<void> => {
    const journal = desk.journal();
    if (!journal) return;
    setAsking(false);
    await desk.store.deleteClips(journal.id);
    await desk.record({ kind: 'clips-deleted' });
    desk.announce(t().soundsDeleted);
  };
  return (
    <section class="clips" aria-labelledby="clips-heading">
      <h2 id="clips-heading">{t().sounds}</h2>
      <p>{kept() === 0 ? t().noSounds : t().soundsKept(kept())}</p>
      <div class="row">
        <label class="beside">
          <input
            type="checkbox"
            checked={preferences().clips}
            onChange={(event) => prefer({ clips: event.currentTarget.checked })}
          />
          <span>{t().keepSounds}</span>
        </label>
        <Show when={kept() > 0}>
          <Show
            when={asking()}
            fallback={
              <button type="button" onClick={() => setAsking(true)}>
                {t().deleteSounds}
              </button>
            }
          >
            <button type="button" class="danger" onClick={() => void remove()}>
              {t().deleteForGood(kept())}
            </button>
            <button
              type="button"
              ref={(button) => queueMicrotask(() => button.focus())}
              onClick={() => setAsking(false)}
            >
              {t().keepThem}
            </button>
          </Show>
        </Show>
      </div>
    </section>
  );
}
