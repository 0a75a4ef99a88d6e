import { For } from 'solid-js';
import type { HandOut } from '../../files/hand-out.ts';

/** The plan of a hand-out, to look at before beginning with it. */
export function HandOutView(props: { handOut: HandOut }) {
  const plan = () => props.handOut.plan;
  const name = (id: string): string =>
    [...plan().stocks, ...plan().dilutions].find((solution) => solution.id === id)?.name ?? id;
  return (
    <article class="report-sheet" aria-label="Run sheet">
      <h2 class="sheet-title">{props.handOut.title}</h2>
      <h3>Bottles</h3>
      <ul>
        <For each={plan().stocks}>
          {(stock) => (
            <li>
              {stock.name}:{' '}
              {stock.strength.unit === 'M-unknown'
                ? 'strength not known'
                : `${stock.strength.value} ${stock.strength.unit}`}
            </li>
          )}
        </For>
        <For each={plan().dilutions}>
          {(dilution) => (
            <li>
              {dilution.name}: {dilution.takeMl} mL of {name(dilution.from)}{' '}
              {dilution.makeUpToMl === undefined
                ? `and ${dilution.addWaterMl ?? 0} mL of water`
                : `made up to ${dilution.makeUpToMl} mL`}
            </li>
          )}
        </For>
      </ul>
      <h3>Runs</h3>
      <ul>
        <For each={plan().runs}>
          {(run) => (
            <li>
              Run {run.label}: {run.pours.map((pour) => `${pour.volumeMl} mL of ${name(pour.solution)}`).join(', ')}
              {run.temperatureC === undefined ? '' : `, ${run.temperatureC} °C`}
            </li>
          )}
        </For>
      </ul>
    </article>
  );
}
