import { For, type JSX, Show } from 'solid-js';
import { readingsSheet } from '../../results/readings-table.ts';
import type { Report } from '../../results/report.ts';
import { TableView } from '../table/TableView.tsx';
import { PlotView } from './PlotView.tsx';

/**
 * The report itself, as it is printed: what was done, what came out, and everything that speaks against it. Children
 * stand behind the budget: the simulation, where there is one.
 */
export function Sheet(props: { report: Report; children?: JSX.Element }) {
  const report = (): Report => props.report;
  return (
    <article class="sheet" aria-label="Report">
      <h2 class="sheet-title">{report().title}</h2>
      <Show when={report().invented}>
        <p class="caution">The figures of this notebook are invented, to show what a result looks like.</p>
      </Show>
      <Pairs pairs={report().facts} />
      <Section title="Rates" show={report().rates.rows.length > 0}>
        <TableView table={report().rates} />
      </Section>
      <Section title="Rate law" show={report().law.rows.length > 0 || report().law.notes.length > 0}>
        <Show when={report().lawText}>{(text) => <p class="law">{text()}</p>}</Show>
        <TableView table={{ ...report().law, notes: report().law.notes.filter((n) => n !== `${report().lawText}.`) }} />
      </Section>
      <Section title="Curves" show={report().curves.length > 0}>
        <div class="plots">
          <For each={[...report().curves, ...report().orders]}>{(plot) => <PlotView plot={plot} />}</For>
        </div>
        <p class="quiet">Dot: used. Ring with a stroke: set aside. Line: the estimate that is used.</p>
      </Section>
      <Section title="The three estimates of each run" show={report().estimates.rows.length > 0}>
        <TableView table={report().estimates} />
      </Section>
      <Show when={report().budget}>
        {(budget) => (
          <Section title="What the uncertainty of k comes from" show={true}>
            <TableView table={budget()} />
          </Section>
        )}
      </Show>
      {props.children}
      <Show when={report().pours}>
        {(pours) => (
          <Section title="Planned and poured" show={true}>
            <TableView table={pours()} />
          </Section>
        )}
      </Show>
      <Section title="Every reading" show={report().readings.rows.length > 0}>
        <TableView table={readingsSheet(report().readings)} />
      </Section>
      <Sentences title="What was called besides" sentences={report().happenings} />
      <Sentences title="What limits these figures" sentences={report().limits} />
      <Sentences title="Safety, if it is done again" sentences={report().cautions} />
      <Section title="To have these figures again" show={true}>
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
        <For each={props.sentences}>{(sentence) => <li>{sentence}</li>}</For>
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
            <dd>{text}</dd>
          </div>
        )}
      </For>
    </dl>
  );
}
