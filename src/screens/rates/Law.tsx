import { createMemo, For, Show } from 'solid-js';
import { agreementSentence, lawSentence } from '../../kinetics/sentences.ts';
import type { NotebookAnalysis } from '../../notebook/analysis.ts';
import { orderPlot } from '../../share/curve-plot.ts';
import { rateTable, speciesOf } from '../../share/rate-table.ts';
import { speciesText } from '../../share/species.ts';
import { hrefOf } from '../route.ts';
import { TableView } from '../table/TableView.tsx';
import { Comparison } from './Comparison.tsx';
import { printed } from './figures.ts';
import { LawFormula } from './LawFormula.tsx';
import { Orders } from './Orders.tsx';
import { PlotFigure } from './PlotFigure.tsx';

/** As the conventions of the reactions name them. Longer first: O2 is part of CO2. */
const gases = ['CO2', 'O2', 'N2', 'H2'] as const;

/** What the runs say together: the rate law as a formula, in words and as a table. */
export function Law(props: { found: NotebookAnalysis; title: string }) {
  const analysis = () => props.found.analysis;
  const law = () => {
    const { law } = analysis();
    return law.ok ? law : null;
  };
  const nameOf = (key: string): string =>
    props.found.reaction?.species.find((one) => one.key === key)?.name ?? speciesText(key);
  const table = createMemo(() => rateTable(props.title, analysis(), 'mL/s'));
  const plots = createMemo(() => speciesOf(analysis()).flatMap((species) => orderPlot(analysis(), species) ?? []));
  return (
    <section aria-labelledby="rates-law">
      <h2 id="rates-law" tabindex="-1">
        Rate law
      </h2>
      <Show when={!law()}>
        <NoLaw sentence={lawSentence(analysis(), nameOf)} />
      </Show>
      <Show when={law()}>
        {(found) => (
          <>
            <LawFormula analysis={analysis()} law={found()} nameOf={nameOf} />
            <p>{lawSentence(analysis(), nameOf)}</p>
            <Show when={analysis().experiment.convention}>
              {(words) => <p>{printed(words(), [...speciesOf(analysis()), ...gases])}</p>}
            </Show>
            <Show when={analysis().referenceK}>
              {(kelvin) => <p>k belongs to {(kelvin() - 273.15).toFixed(1)} °C, the mean of the runs.</p>}
            </Show>
          </>
        )}
      </Show>
      <h3>Starting rate and k of each run</h3>
      <TableView table={table()} rowHeads />
      <Show when={law()}>
        {(found) => (
          <>
            <Show when={agreementSentence(analysis())}>
              {(sentence) => (
                <p>
                  {sentence()}
                  <Show when={found().accepted?.birge}>
                    {(birge) => (
                      <span class="quiet">
                        {' '}
                        Birge ratio {birge().toFixed(2)}; 1 is what the uncertainties lead to expect.
                      </span>
                    )}
                  </Show>
                </p>
              )}
            </Show>
            <For each={found().leftOut}>
              {({ label, sentence }) => (
                <p class="quiet">
                  Run {label} is not part of the law: {sentence}
                </p>
              )}
            </For>
            <Orders analysis={analysis()} law={found()} />
            <Comparison found={props.found} />
            <div class="run-plots">
              <For each={plots()}>
                {(plot) => (
                  <PlotFigure plot={plot} sentence={`${plot.description} Numbers: runs. Bars: standard uncertainty.`} />
                )}
              </For>
            </div>
          </>
        )}
      </Show>
    </section>
  );
}

function NoLaw(props: { sentence: string }) {
  return (
    <>
      <p>{props.sentence}</p>
      <p>
        A rate law needs to know what was in each flask. Say what the bottles hold and what goes into each run on the
        Run sheet; it may be done after the runs too, and the rates stay as they are.
      </p>
      <p>
        <a class="button" href={hrefOf('run-sheet')}>
          Go to the Run sheet
        </a>
      </p>
    </>
  );
}
