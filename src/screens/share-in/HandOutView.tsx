import { For, Show } from 'solid-js';
import { reactionOf } from '../../chemistry/reactions.ts';
import type { HandOut } from '../../files/hand-out.ts';
import type { Stock } from '../../log/plan.ts';
import type { Setup } from '../../log/setup.ts';
import { nameIn } from '../../planning/names.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** All that a hand-out sets, and nothing else: for who makes it, and for who opens it. */
export function HandOutView(props: { handOut: HandOut }) {
  const t = textsOf(texts);
  const plan = () => props.handOut.plan;
  const name = (id: string): string =>
    id === 'water'
      ? t().water
      : ([...plan().stocks, ...plan().dilutions].find((solution) => solution.id === id)?.name ?? id);
  const strength = ({ strength: { value, unit, uRelative } }: Stock): string =>
    unit === 'M-unknown'
      ? t().unknownStrength
      : `${value} ${t().units[unit]}${uRelative ? ` ± ${Number((100 * uRelative).toPrecision(3))} %` : ''}`;
  return (
    <article class="on-paper report-sheet" aria-label={t().sheet}>
      <h2 class="sheet-title">{props.handOut.title}</h2>
      <h3>{t().sets}</h3>
      <Show when={reactionOf(plan().reaction, plan().own)}>
        {(reaction) => <p>{nameIn(reaction().name, pageLanguage())}</p>}
      </Show>
      <ul>
        <For each={setLines(props.handOut.setup, t())}>{(line) => <li>{line}</li>}</For>
      </ul>
      <h3>{t().bottles}</h3>
      <ul>
        <For each={plan().stocks}>
          {(stock) => (
            <li>
              {stock.name}: {strength(stock)}
            </li>
          )}
        </For>
        <For each={plan().dilutions}>
          {(dilution) => (
            <li>
              {dilution.name}: {t().take(dilution.takeMl, name(dilution.from))}
              {dilution.makeUpToMl === undefined
                ? t().addWater(dilution.addWaterMl ?? 0)
                : t().makeUp(dilution.makeUpToMl)}
            </li>
          )}
        </For>
      </ul>
      <h3>{t().runs}</h3>
      <ul>
        <For each={plan().runs}>
          {(run) => (
            <li>
              {t().run(run.label)}
              {run.pours.map((pour) => t().pour(pour.volumeMl, name(pour.solution))).join(', ')}
              {run.temperatureC === undefined ? '' : `, ${run.temperatureC} °C`}
              {run.note ? ` (${run.note})` : ''}
            </li>
          )}
        </For>
      </ul>
      <Show when={props.handOut.groups?.length}>
        <h3>{t().groups}</h3>
        <p>{props.handOut.groups?.join(', ')}</p>
      </Show>
      <Show when={props.handOut.questions}>
        <h3>{t().questions}</h3>
        <ol>
          <For each={props.handOut.questions?.split('\n').filter((line) => line.trim() !== '')}>
            {(question) => <li>{question}</li>}
          </For>
        </ol>
      </Show>
    </article>
  );
}

function setLines(setup: Setup | undefined, t: (typeof texts)['en']): string[] {
  if (!setup) return [t.noSetup];
  const { cylinder, pressure, temperatureC, waterHeadMm, dissolving, backPressure } = setup;
  return [
    t.marks(setup.stepMl, setup.spanMl),
    ...(setup.firstMarkMl === undefined ? [] : [t.firstMark(setup.firstMarkMl)]),
    t.cylinder(cylinder.capacityMl, cylinder.divisionMl, cylinder.accuracy),
    temperatureC === undefined ? t.noTemperature : t.temperature(temperatureC, setup.uTemperatureC),
    !pressure
      ? t.noPressure
      : pressure.kind === 'station'
        ? t.station(pressure.hPa)
        : t.seaLevel(pressure.hPa, pressure.altitudeM),
    ...(waterHeadMm === undefined ? [] : [t.head(waterHeadMm)]),
    ...(dissolving ? [t.standsOn(dissolving.water, dissolving.waterMl)] : []),
    ...(backPressure ? [t.headspace(backPressure.headspaceMl, backPressure.on)] : []),
  ];
}
