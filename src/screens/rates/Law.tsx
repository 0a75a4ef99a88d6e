import { createMemo, For, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { orderPlot } from '../../results/curve-plot.ts';
import { lawRemarks, nothingLeftOver } from '../../results/law-remarks.ts';
import { pouredLawRemark } from '../../results/pours-table.ts';
import { pressedGasNotes } from '../../results/pressed-gas.ts';
import { rateTable, speciesOf } from '../../results/rate-table.ts';
import { agreementSentence, lawSentence } from '../../results/sentences.ts';
import { speciesInText, speciesText } from '../../results/species.ts';
import { hrefOf } from '../route.ts';
import { TableView } from '../table/TableView.tsx';
import { Comparison } from './Comparison.tsx';
import { LawFormula } from './LawFormula.tsx';
import { Orders } from './Orders.tsx';
import { PlotFigure } from './PlotFigure.tsx';

/** What the runs say together: the rate law as a formula, in words and as a table. */
export function Law(props: { found: NotebookAnalysis; state: NotebookState }) {
  const analysis = () => props.found.analysis;
  const law = () => {
    const { law } = analysis();
    return law.ok ? law : null;
  };
  const nameOf = (key: string): string =>
    props.found.reaction?.species.find((one) => one.key === key)?.name ?? speciesText(key);
  const hasK = () => {
    const { law, whole } = analysis();
    return (law.ok && law.accepted !== null) || (whole.ok && whole.accepted !== null);
  };
  const said = (sentence: string): string => speciesInText(sentence, speciesOf(analysis()));
  const table = createMemo(() => {
    const whole = rateTable(props.state.title, analysis(), 'mL/s');
    // Said at the switch for it, on the same screen.
    const elsewhere = pressedGasNotes(analysis());
    return { ...whole, notes: whole.notes.filter((note) => !elsewhere.includes(note)) };
  });
  const plots = createMemo(() => speciesOf(analysis()).flatMap((species) => orderPlot(analysis(), species) ?? []));
  return (
    <section aria-labelledby="rates-law">
      <h2 id="rates-law" tabindex="-1">
        Rate law
      </h2>
      <Show when={!law()}>
        <NoLaw sentence={said(lawSentence(analysis(), nameOf))} />
      </Show>
      <Show when={law()}>
        {(found) => (
          <>
            <LawFormula analysis={analysis()} law={found()} nameOf={nameOf} />
            <p>{said(lawSentence(analysis(), nameOf))}</p>
            <Show when={hasK() && analysis().experiment.convention}>{(words) => <p>{said(words())}</p>}</Show>
            <Show when={hasK() && analysis().referenceK}>
              {(kelvin) => <p>k belongs to {(kelvin() - 273.15).toFixed(1)} °C, the mean of the runs.</p>}
            </Show>
          </>
        )}
      </Show>
      <h3>Starting rate and k of each run</h3>
      <TableView table={table()} rowHeads />
      <Show when={pouredLawRemark(props.state, props.found.experiment, props.found.runs)}>
        {(sentence) => <p>{sentence()}</p>}
      </Show>
      <Show when={law()}>
        {(found) => (
          <>
            <For each={lawRemarks(analysis())}>{(sentence) => <p>{sentence}</p>}</For>
            <Show when={!nothingLeftOver(found()) && agreementSentence(analysis())}>
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
                  Run {label} is not part of the law: {said(sentence)}
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
