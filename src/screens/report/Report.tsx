import { createEffect, createMemo, createSignal, For, on, Show } from 'solid-js';
import { analysisOf } from '../../analysis/notebook-analysis.ts';
import type { DecimalSign } from '../../files/csv.ts';
import { type Report as ReportData, reportOf } from '../../results/report.ts';
import { type RateUnit, rateUnits } from '../../results/unit.ts';
import { useDesk } from '../desk.tsx';
import { createDraws } from '../rates/draws.ts';
import { FullUncertainty } from '../rates/FullUncertainty.tsx';
import { hrefOf } from '../route.ts';
import { LinkOut } from './LinkOut.tsx';
import { Sheet } from './Sheet.tsx';
import { WaysOut } from './WaysOut.tsx';
import './report.css';

/** The rate table and the report, ready to copy, save, send and print. */
export function Report() {
  const desk = useDesk();
  const [unit, setUnit] = createSignal<RateUnit>('mL/s');
  const [decimal, setDecimal] = createSignal<DecimalSign>(ownDecimal());
  const analysis = createMemo(() => {
    const state = desk.state();
    return state ? analysisOf(state) : null;
  });
  const draws = createDraws();
  // A simulation belongs to the readings it was drawn from.
  createEffect(on(analysis, () => draws.forget(), { defer: true }));
  const report = createMemo((): ReportData | null => {
    const state = desk.state();
    const journal = desk.journal();
    const found = analysis();
    return state && journal && found
      ? reportOf({ id: journal.id, events: journal.events() }, state, found, unit())
      : null;
  });
  const units = Object.keys(rateUnits) as RateUnit[];
  return (
    <Show when={report()}>
      {(made) => (
        <>
          <h1 class="no-print">Report</h1>
          <Show when={made().rates.rows.length === 0}>
            <p class="quiet">
              There are no runs yet. The report fills itself from the <a href={hrefOf('bench')}>Bench</a>.
            </p>
          </Show>
          <div class="row no-print report-choices">
            <label>
              Rates in
              <select
                value={unit()}
                onChange={(event) => setUnit(units.find((u) => u === event.currentTarget.value) ?? 'mL/s')}
              >
                <For each={units}>{(name) => <option value={name}>{rateUnits[name].printed}</option>}</For>
              </select>
            </label>
            <label>
              Spreadsheets here write
              <select value={decimal()} onChange={(event) => setDecimal(event.currentTarget.value === ',' ? ',' : '.')}>
                <option value=".">1.5 (decimal point)</option>
                <option value=",">1,5 (decimal comma)</option>
              </select>
            </label>
          </div>
          <WaysOut report={made()} decimal={decimal()} />
          <LinkOut />
          <Sheet report={made()}>
            <Show when={analysis()}>
              {(found) => (
                <section classList={{ 'no-print': draws.state().kind !== 'done' }}>
                  <FullUncertainty
                    analysis={found().analysis}
                    seed={desk.state()?.seed ?? 0}
                    draws={draws}
                    current={true}
                  />
                </section>
              )}
            </Show>
          </Sheet>
        </>
      )}
    </Show>
  );
}

/** The decimal sign of the language that the browser is set to. */
function ownDecimal(): DecimalSign {
  const sign = new Intl.NumberFormat().formatToParts(1.5).find(({ type }) => type === 'decimal')?.value;
  return sign === ',' ? ',' : '.';
}

export default Report;
