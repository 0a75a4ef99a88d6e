import { createMemo, For, type JSX, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { chemistryText } from '../../planning/chemistry-sentences.ts';
import { allRunsPlot } from '../../results/all-runs-plot.ts';
import { bestConstant, headlineOf } from '../../results/headline.ts';
import { plotSvg } from '../../results/plot-svg.ts';
import type { Report } from '../../results/report.ts';
import { figureText, roundByUncertainty, roundToFigures } from '../../results/round-by-uncertainty.ts';
import { withColumns } from '../../results/table.ts';
import { countOf, itemsToCheck } from '../rates/to-check.ts';
import { Marked } from '../table/Marked.tsx';
import { TableView } from '../table/TableView.tsx';
import { local, pageLanguage } from '../texts.ts';
import { Drawing } from './Drawing.tsx';
import { LawText } from './LawText.tsx';
import { reportTexts as t } from './texts.ts';

/** As many doubts as leave room for the conclusion. */
const mostDoubts = 4;

/** One page to hand in: who, what was asked, table, plot, law, what is doubted, and room for the conclusion. */
export function OnePage(props: {
  report: Report;
  state: NotebookState;
  found: NotebookAnalysis;
  figures: number | null;
}) {
  const items = createMemo(() => itemsToCheck(props.state, props.found));
  const flagged = createMemo(
    () => new Set(items().flatMap(({ entries }) => entries.flatMap(({ reading }) => reading ?? []))),
  );
  const drawing = () =>
    plotSvg({
      ...allRunsPlot(props.found.analysis, flagged(), pageLanguage()).plot,
      width: 420,
      height: 300,
      fontSize: 13,
    });
  const table = () =>
    withColumns(props.report.rates, (key) => key === 'run' || key === 'rate' || key === 'k' || key.startsWith('conc_'));
  /** Without a run there is nothing to draw and nothing to doubt. */
  const hasRuns = () => props.report.rates.rows.length > 0;
  const constant = () => bestConstant(props.found.analysis);
  const kText = (k: { value: number; u: number | undefined; unit: string }): string => {
    const { figures } = props;
    const rounded = figures === null ? roundByUncertainty(k.value, k.u) : roundToFigures(k.value, k.u, figures);
    return `${local(figureText(rounded))} ${k.unit}`;
  };
  const headline = () => headlineOf(props.found.analysis, countOf(items()), pageLanguage()).sentence;
  /** What speaks against these figures: general advice on the reaction and what is said above is left to the full report. */
  const doubts = () => {
    const remarks = () => (props.found.reaction?.remarks ?? []).map((remark) => chemistryText(remark, pageLanguage()));
    const elsewhere = new Set([t().invented, headline(), ...remarks()]);
    return props.report.limits.filter((sentence) => !elsewhere.has(sentence));
  };
  const begun = () => new Date(props.state.createdWallMs);
  const date = (): string =>
    Number.isFinite(begun().getTime()) ? begun().toLocaleDateString(pageLanguage() === 'de' ? 'de-DE' : 'en-GB') : '';
  const questions = (): readonly string[] =>
    props.state.classPlan.questions.split('\n').filter((line) => line.trim() !== '');
  return (
    <article class="on-paper report-sheet one-page" aria-label={t().title}>
      <h2 class="sheet-title">{props.report.title}</h2>
      <Show when={props.report.invented}>
        <p class="caution">{t().invented}</p>
      </Show>
      <div class="blanks">
        <Blank label={t().name} text={props.state.members} />
        <Blank label={t().group} text={props.state.group} />
        <Blank label={t().date} text={date()} />
      </div>
      <Part title={t().question}>
        <For each={questions()} fallback={<p>{t().questionText}</p>}>
          {(question) => <p>{question}</p>}
        </For>
      </Part>
      <Part title={t().results}>
        <Show when={hasRuns()}>
          <TableView table={table()} rowHeads notes={false} />
        </Show>
        <div class="result">
          <Show when={hasRuns()}>
            <Drawing drawing={drawing()} />
          </Show>
          <div>
            <Show when={props.report.lawText}>
              {(text) => (
                <p class="law">
                  <LawText text={text()} />
                </p>
              )}
            </Show>
            <Show when={constant()}>
              {(k) => (
                <p class="law">
                  <i>k</i> = <Marked text={kText(k())} />
                </p>
              )}
            </Show>
            <p>
              <Marked text={headline()} />
            </p>
          </div>
        </div>
      </Part>
      <Show when={hasRuns()}>
        <Part title={t().doubts}>
          <ul>
            <For each={doubts().slice(0, mostDoubts)} fallback={<li>{t().noDoubts}</li>}>
              {(sentence) => (
                <li>
                  <Marked text={sentence} />
                </li>
              )}
            </For>
            <Show when={doubts().length > mostDoubts}>
              <li>{t().moreDoubts(doubts().length - mostDoubts)}</li>
            </Show>
          </ul>
        </Part>
      </Show>
      <Part title={t().conclusion}>
        <ul class="lines" aria-hidden="true">
          {/* Four on the screen; on paper as many as the page has room for. */}
          <For each={Array.from({ length: 24 })}>{() => <li />}</For>
        </ul>
      </Part>
    </article>
  );
}

function Blank(props: { label: string; text: string }) {
  return (
    <p class="blank">
      <span>{props.label}</span>
      <span>{props.text}</span>
    </p>
  );
}

function Part(props: { title: string; children: JSX.Element }) {
  return (
    <section>
      <h3>{props.title}</h3>
      {props.children}
    </section>
  );
}
