import { Show } from 'solid-js';
import { Cylinder } from '../bench/Cylinder.tsx';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { stateOf } from '../state-of.ts';
import { textsOf } from '../texts.ts';
import { keepCopy } from './keep-copy.ts';
import { texts } from './texts.ts';

/** The Bench of the example, and of a rehearsal that is over: the last run to look at, and nothing that records. */
export function LookOnly() {
  const desk = useDesk();
  const t = textsOf(texts);
  const state = stateOf(desk);
  return (
    <div class="bench look-only">
      <h1 class="for-screen-readers">{t().bench}</h1>
      <Cylinder run={state().runs.at(-1) ?? null} setup={state().setup} nextMark={null} />
      <div class="beside-cylinder">
        <Show
          when={desk.practice() === 'example'}
          fallback={
            <>
              <h2>{t().over}</h2>
              <p>{t().overHow}</p>
              <a class="button" href={hrefOf('rehearsal')}>
                {t().again}
              </a>
            </>
          }
        >
          <h2>{t().noReadings}</h2>
          <p>{t().noReadingsHow}</p>
          <button type="button" class="primary" onClick={() => void keepCopy(desk)}>
            {t().copy}
          </button>
        </Show>
      </div>
    </div>
  );
}

export default LookOnly;
