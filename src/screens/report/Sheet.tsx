import { For, type JSX, Show } from 'solid-js';
import { readingsSheet } from '../../results/readings-table.ts';
import type { Report } from '../../results/report.ts';
import { Marked } from '../table/Marked.tsx';
import { TableView } from '../table/TableView.tsx';
import { pageLanguage } from '../texts.ts';
import { LawText } from './LawText.tsx';
import { PlotView } from './PlotView.tsx';
import { reportTexts as t } from './texts.ts';

/**
 * The report itself, as it is printed: what was done, what came out, and everything that speaks against it. Children
 * stand behind the budget: the simulation, where there is one.
 */
export function Sheet(props: { report: Report; children?: JSX.Element }) {
  const report = (): Report => props.report;
  return (
    <article class="on-paper report-sheet" aria-label={t().title}>
      <h2 class="sheet-title">{report().title}</h2>
      <Show when={report().invented}>
        <p class="caution">{t().invented}</p>
      </Show>
      <Pairs pairs={report().facts} />
      <Section title={t().rates} show={report().rates.rows.length > 0}>
        <TableView table={report().rates} />
      </Section>
      <Section title={t().law} show={report().law.rows.length > 0 || report().law.notes.length > 0}>
        <Show when={report().lawText}>
          {(text) => (
            <p class="law">
              <LawText text={text()} />
            </p>
          )}
        </Show>
        <TableView table={{ ...report().law, notes: report().law.notes.filter((n) => n !== `${report().lawText}.`) }} />
      </Section>
      <Section title={t().curves} show={report().curves.length > 0}>
        <div class="plots">
          <For each={[...report().curves, ...report().orders]}>{(plot) => <PlotView plot={plot} />}</For>
        </div>
        <p class="quiet">{t().curvesKey}</p>
      </Section>
      <Section title={t().estimates} show={report().estimates.rows.length > 0}>
        <TableView table={report().estimates} />
      </Section>
      <Show when={report().budget}>
        {(budget) => (
          <Section title={t().budget} show={true}>
            <TableView table={budget()} />
          </Section>
        )}
      </Show>
      {props.children}
      <Show when={report().pours}>
        {(pours) => (
          <Section title={t().pours} show={true}>
            <TableView table={pours()} />
          </Section>
        )}
      </Show>
      <Section title={t().readings} show={report().readings.rows.length > 0}>
        <TableView table={readingsSheet(report().readings, pageLanguage())} />
      </Section>
      <Sentences title={t().happenings} sentences={report().happenings} />
      <Sentences title={t().limits} sentences={report().limits} />
      <Sentences title={t().cautions} sentences={report().cautions} />
      <Section title={t().provenance} show={true}>
        <Pairs pairs={report().provenance} />
      </Section>
    </article>
  );
}

function Section(props: { title: string; show: boolean; children: JSX.Element }) {
  return (
    <Show when={props.show}>
      <section>
        <h3>{props.title}</h3>
        {props.children}
      </section>
    </Show>
  );
}

function Sentences(props: { title: string; sentences: readonly string[] }) {
  return (
    <Section title={props.title} show={props.sentences.length > 0}>
      <ul>
        <For each={props.sentences}>
          {(sentence) => (
            <li>
              <Marked text={sentence} />
            </li>
          )}
        </For>
      </ul>
    </Section>
  );
}

function Pairs(props: { pairs: readonly (readonly [string, string])[] }) {
  return (
    <dl class="pairs">
      <For each={props.pairs}>
        {([label, text]) => (
          <div>
            <dt>{label}</dt>
            <dd>
              <Marked text={text} />
            </dd>
          </div>
        )}
      </For>
    </dl>
  );
}
