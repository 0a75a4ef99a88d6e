import { createMemo, createSignal, For, Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { local } from '../texts.ts';
import { differenceText, mlText, secondsText } from './figures.ts';
import { residualsOf } from './run-plot.ts';
import { ratesTexts as t } from './texts.ts';

/** As many rows as a person reads; the rest is on the Readings screen. */
const shownRows = 300;

/** What the two plots of a run show, as figures. Made when it is opened. */
export function ReadingsTable(props: { result: RunAnalysis; label: string }) {
  const [open, setOpen] = createSignal(false);
  const rows = createMemo(() => (open() ? residualsOf(props.result) : []));
  const title = () => t().tableOf(props.label);
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{t().asTable(title())}</summary>
      <Show when={open()}>
        <ScrollRegion label={title()}>
          <table>
            <caption class="for-screen-readers">{title()}</caption>
            <thead>
              <tr>
                <th scope="col">{t().columns.time}</th>
                <th scope="col">{t().columns.reading}</th>
                <th scope="col">{t().columns.curve}</th>
                <th scope="col">{t().columns.difference}</th>
                <th scope="col">{t().columns.standing}</th>
              </tr>
            </thead>
            <tbody>
              <For each={rows().slice(0, shownRows)}>
                {({ timeS, volumeM3, curveM3, standing }) => (
                  <tr>
                    <th scope="row">{secondsText(timeS)}</th>
                    <td>{local(mlText(volumeM3))}</td>
                    <td>{curveM3 === null ? '–' : local((curveM3 * 1e6).toFixed(2))}</td>
                    <td>{curveM3 === null ? '–' : differenceText(volumeM3 - curveM3)}</td>
                    <td>{standing}</td>
                  </tr>
                )}
              </For>
            </tbody>
          </table>
        </ScrollRegion>
        <Show when={rows().length > shownRows}>
          <p class="quiet">{t().firstRows(shownRows, rows().length)}</p>
        </Show>
      </Show>
    </details>
  );
}
