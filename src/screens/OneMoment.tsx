import { createSignal, onCleanup, Show } from 'solid-js';
import { deskTexts } from './desk-texts.ts';
import { patienceMs } from './patience.ts';
import { textsOf } from './texts.ts';

/** In the place of a screen whose code is on its way; a way out where it does not come. */
export function OneMoment() {
  const t = textsOf(deskTexts);
  const [long, setLong] = createSignal(false);
  const timer = setTimeout(() => setLong(true), patienceMs);
  onCleanup(() => clearTimeout(timer));
  return (
    <>
      <p class="quiet">{t().oneMoment}</p>
      <Show when={long()}>
        <div class="problem" role="alert">
          <p>{t().slowScreen}</p>
          <button type="button" onClick={() => location.reload()}>
            {t().loadAgain}
          </button>
        </div>
      </Show>
    </>
  );
}
