import { createMemo, For, type JSX, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { RateLaw } from '../../analysis/rate-law.ts';
import type { NotebookState } from '../../log/state.ts';
import { chemistryText } from '../../planning/chemistry-sentences.ts';
import { nameIn } from '../../planning/names.ts';
import { noteText } from '../../results/analysis-texts.ts';
import { orderPlot } from '../../results/curve-plot.ts';
import { dissolvedGasNotes } from '../../results/dissolved-gas.ts';
import { lawRemarks, nothingLeftOver } from '../../results/law-remarks.ts';
import { pouredLawRemark } from '../../results/pours-table.ts';
import { pressedGasNotes } from '../../results/pressed-gas.ts';
import { rateTable, speciesOf } from '../../results/rate-table.ts';
import { agreementSentence, lawSentence } from '../../results/sentences.ts';
import { speciesInText, speciesText } from '../../results/species.ts';
import { resultTexts } from '../../results/texts.ts';
import { rateUnits } from '../../results/unit.ts';
import { hrefOf } from '../route.ts';
import { Marked } from '../table/Marked.tsx';
import { TableView } from '../table/TableView.tsx';
import { local, pageLanguage } from '../texts.ts';
import { Comparison } from './Comparison.tsx';
import { figure } from './figures.ts';
import { Orders } from './Orders.tsx';
import { PlotFigure } from './PlotFigure.tsx';
import { ratesTexts as t } from './texts.ts';

/** What the runs say together: the law in words, the table behind it, the orders and what checks them. */
export function LawDetail(props: { found: NotebookAnalysis; state: NotebookState }) {
  const analysis = () => props.found.analysis;
  const law = () => (analysis().law.ok ? (analysis().law as RateLaw) : null);
  const nameOf = (key: string): string =>
    nameIn(props.found.reaction?.species.find((one) => one.key === key)?.name ?? speciesText(key), pageLanguage());
  const hasK = () => analysis().headline?.k != null;
  const said = (sentence: string): JSX.Element => (
    <Marked text={local(speciesInText(sentence, speciesOf(analysis())))} />
  );
  const table = createMemo(() => {
    const whole = rateTable(props.state.title, analysis(), 'mL/s', pageLanguage());
    // Said at the switch for it, and among what was assumed, on the same screen.
    const elsewhere = [pressedGasNotes, dissolvedGasNotes].flatMap((of) => of(analysis(), pageLanguage()));
    return { ...whole, notes: whole.notes.filter((note) => !elsewhere.includes(note)) };
  });
  const plots = createMemo(() =>
    speciesOf(analysis()).flatMap((species) => orderPlot(analysis(), species, pageLanguage()) ?? []),
  );
  const poured = () => pouredLawRemark(props.state, props.found.experiment, props.found.runs, pageLanguage());
  return (
    <>
      <p>{said(lawSentence(analysis(), nameOf, pageLanguage()))}</p>
      <Show when={law()} fallback={<NoLaw />}>
        {(found) => (
          <>
            <NoConstant law={found()} />
            <Show when={hasK() && analysis().experiment.convention}>
              {(words) => <p>{said(chemistryText(words(), pageLanguage()))}</p>}
            </Show>
            <Show when={hasK() && analysis().referenceK}>
              {(kelvin) => <p>{said(resultTexts[pageLanguage()].law.at((kelvin() - 273.15).toFixed(1)))}</p>}
            </Show>
          </>
        )}
      </Show>
      <h3>{t().lawTable}</h3>
      <TableView table={table()} rowHeads />
      <Show when={poured()}>
        {(sentence) => (
          <p>
            <Marked text={sentence()} />
          </p>
        )}
      </Show>
      <Show when={law()}>
        {(found) => (
          <>
            <For each={lawRemarks(analysis(), pageLanguage())}>{(sentence) => <p>{said(sentence)}</p>}</For>
            <Show when={!nothingLeftOver(found()) && agreementSentence(analysis(), pageLanguage())}>
              {(sentence) => (
                <p>
                  <Marked text={sentence()} />
                  <Show when={found().accepted?.birge}>
                    {(birge) => <span class="quiet">{t().birge(local(birge().toFixed(2)))}</span>}
                  </Show>
                </p>
              )}
            </Show>
            <For each={found().leftOut}>
              {({ label, sentence }) => (
                <p class="quiet">{said(t().notPart(label, noteText(sentence, pageLanguage())))}</p>
              )}
            </For>
            <Estimated law={found()} unit={analysis().unit} />
            <Orders analysis={analysis()} law={found()} />
            <Comparison found={props.found} />
            <div class="run-plots">
              <For each={plots()}>{(plot) => <PlotFigure plot={plot} sentence={t().orderKey(plot.description)} />}</For>
            </div>
          </>
        )}
      </Show>
    </>
  );
}

/** Why there is no k: the sentence on the law before it says which order is open. */
function NoConstant(props: { law: RateLaw }) {
  return (
    <Show when={!props.law.accepted}>
      <p>{props.law.kReason === null ? t().noWholeOrders : t().orderOpen}</p>
    </Show>
  );
}

/** The law with its orders as they were estimated. */
function Estimated(props: { law: RateLaw; unit: 'amount' | 'volume' }) {
  const orders = () => (props.law.accepted ? Object.entries(props.law.orders) : []);
  const unit = () => (props.unit === 'amount' ? rateUnits['mol/(L s)'] : rateUnits['mL/s']).printed;
  return (
    <Show when={orders().length > 0}>
      <p class="quiet formula-estimated">
        {t().asEstimated}
        <For each={orders()}>
          {([species, order]) => (
            <>
              {' '}
              [<Marked text={speciesText(species)} />]<sup>{figure(order.value, order.u)}</sup>
            </>
          )}
        </For>
        . {t().estimatedUnit(unit())}
      </p>
    </Show>
  );
}

function NoLaw() {
  return (
    <>
      <p>{t().noLawHelp}</p>
      <p>
        <a class="button" href={hrefOf('run-sheet')}>
          {t().toRunSheet}
        </a>
      </p>
    </>
  );
}
