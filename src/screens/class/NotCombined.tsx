import { createSignal, createUniqueId, For, Show } from 'solid-js';
import type { ClassEntry } from '../../class/class-entry.ts';
import type { ClassResult } from '../../class/class-result.ts';
import { classTexts, differenceText, whyText } from '../../class/class-texts.ts';
import { defaultSetup, Setup } from '../../log/setup.ts';
import { useDesk } from '../desk.tsx';
import { Marked } from '../table/Marked.tsx';
import { pageLanguage } from '../texts.ts';
import { classList } from './class-list.ts';
import { classScreenTexts as t } from './texts.ts';

/** Groups that are not combined: why, and what mends it, with the field right there. */
export function NotCombined(props: { result: ClassResult; names: ReadonlyMap<string, string> }) {
  const name = (entry: ClassEntry): string => props.names.get(entry.id) ?? entry.name;
  const apart = () => props.result.rows.filter(({ standsOut }) => standsOut);
  return (
    <Show when={props.result.apart.length + apart().length > 0}>
      <section class="not-combined" aria-labelledby="not-combined">
        <h2 id="not-combined">{t().notCombined}</h2>
        <ul>
          <For each={apart().slice(0, 100)}>
            {({ entry, differences }) => (
              <li>
                <p>
                  <strong>{name(entry)}</strong>: {classTexts[pageLanguage()].standings.apart}
                  <Show when={differences.length > 0}>
                    {'; '}
                    <Marked text={differences.map((one) => differenceText(one, pageLanguage())).join('; ')} />
                  </Show>
                  .
                </p>
              </li>
            )}
          </For>
          <For each={props.result.apart.slice(0, 100)}>
            {({ entry, why }) => (
              <li>
                <p>
                  <strong>{name(entry)}</strong>: <Marked text={whyText(why, pageLanguage())} />
                </p>
                <Show when={why.code === 'no-conditions' && why}>
                  {(lacks) => (
                    <Mend
                      entry={entry}
                      name={name(entry)}
                      pressure={lacks().pressure}
                      temperature={lacks().temperature}
                      usual={usualPressure(props.result)}
                    />
                  )}
                </Show>
              </li>
            )}
          </For>
          <Show when={props.result.apart.length > 100}>
            <li>{t().andMore(props.result.apart.length - 100)}</li>
          </Show>
        </ul>
      </section>
    </Show>
  );
}

/** What most groups of the same room read off the barometer. */
function usualPressure({ rows }: ClassResult): string {
  const known = rows.flatMap(({ entry: { hPa } }) => (hPa === null ? [] : [hPa])).sort((a, b) => a - b);
  return String(known[known.length >> 1] ?? '');
}

interface MendProps {
  readonly entry: ClassEntry;
  readonly name: string;
  readonly pressure: boolean;
  readonly temperature: boolean;
  readonly usual: string;
}

function Mend(props: MendProps) {
  const desk = useDesk();
  const [wrong, setWrong] = createSignal('');
  const id = createUniqueId();
  const add = async (form: HTMLFormElement): Promise<void> => {
    const number = (name: string): number => Number(String(new FormData(form).get(name) ?? '').replace(',', '.'));
    const pressure = Setup.safeParse({ ...defaultSetup, pressure: { kind: 'station', hPa: number('hPa') } });
    const temperature = Setup.safeParse({ ...defaultSetup, temperatureC: number('celsius') });
    if (props.pressure && !(pressure.success && number('hPa') > 0)) return void setWrong(t().wrongPressure);
    if (props.temperature && !(temperature.success && String(new FormData(form).get('celsius')) !== ''))
      return void setWrong(t().wrongTemperature);
    setWrong('');
    desk.announce(t().nowIn(props.name));
    const { withConditions } = await import('../../class/class-entry.ts');
    classList.replace(
      withConditions(props.entry, {
        ...(props.pressure && pressure.data?.pressure ? { pressure: pressure.data.pressure } : {}),
        ...(props.temperature ? { temperatureC: number('celsius') } : {}),
      }),
    );
  };
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        void add(event.currentTarget);
      }}
    >
      <span class="add-here">{t().addHere}</span>
      <Show when={props.pressure}>
        <label>
          {t().pressure}
          <input name="hPa" inputmode="decimal" autocomplete="off" size="7" value={props.usual} />
        </label>
      </Show>
      <Show when={props.temperature}>
        <label>
          {t().temperature}
          <input name="celsius" inputmode="decimal" autocomplete="off" size="7" />
        </label>
      </Show>
      <button type="submit" aria-label={t().addIt(props.name)} aria-describedby={wrong() ? id : undefined}>
        {t().addShort}
      </button>
      <Show when={wrong()}>
        <p id={id} role="alert" class="wrong">
          {wrong()}
        </p>
      </Show>
    </form>
  );
}
