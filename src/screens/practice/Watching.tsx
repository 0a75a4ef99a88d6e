import { Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { stateOf } from '../state-of.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** What to do while the simulated caller calls (nothing), and after. */
export function Watching() {
  const t = textsOf(texts);
  const state = stateOf(useDesk());
  const done = () => state().runs.length > 0 && state().openRun === null;
  return (
    <Show when={done()} fallback={<p class="quiet">{t().watch}</p>}>
      <p>{t().seen}</p>
      <a class="button" href={hrefOf('rehearsal')}>
        {t().again}
      </a>
    </Show>
  );
}

export default Watching;
