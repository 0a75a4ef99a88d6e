import { createEffect, createMemo, createSignal, For, on, Show } from 'solid-js';
import { analysisOf } from '../../analysis/notebook-analysis.ts';
import type { DecimalSign } from '../../files/csv.ts';
import { type Report as ReportData, reportOf } from '../../results/report.ts';
import { withFigures } from '../../results/table.ts';
import { type RateUnit, rateUnits } from '../../results/unit.ts';
import { useDesk } from '../desk.tsx';
import { createDraws } from '../rates/draws.ts';
import { FullUncertainty } from '../rates/FullUncertainty.tsx';
import { hrefOf } from '../route.ts';
import { pageLanguage } from '../texts.ts';
import { OnePage } from './OnePage.tsx';
import { Sheet } from './Sheet.tsx';
import { reportTexts as t } from './texts.ts';
import { WaysOut } from './WaysOut.tsx';
import '../look/paper.css';
import './report.css';

/** The sheet first, the ways out in one bar above it: one page to hand in, or the full report. */
export function Report() {
  const desk = useDesk();
  const [unit, setUnit] = createSignal<RateUnit>('mL/s');
  const [decimal, setDecimal] = createSignal<DecimalSign>(ownDecimal());
  const [full, setFull] = createSignal(false);
  const [figures, setFigures] = createSignal<number | null>(null);
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
    if (!state || !journal || !found) return null;
    const made = reportOf({ id: journal.id, events: journal.events() }, state, found, unit(), pageLanguage());
    return { ...made, rates: withFigures(made.rates, figures()), law: withFigures(made.law, figures()) };
  });
  return (
    <Show when={report()}>
      {(made) => (
        <>
          <div class="report-head no-print">
            <h1>{t().title}</h1>
            <Show when={made().rates.rows.length === 0}>
              <p class="quiet">
                {t().noRuns} <a href={hrefOf('bench')}>{t().toBench}</a>
              </p>
            </Show>
            <WaysOut report={made()} decimal={decimal()}>
              <Choices
                full={full()}
                onFull={setFull}
                unit={unit()}
                onUnit={setUnit}
                figures={figures()}
                onFigures={setFigures}
                decimal={decimal()}
                onDecimal={setDecimal}
              />
            </WaysOut>
          </div>
          <Show when={desk.state()}>
            {(state) => (
              <Show when={analysis()}>
                {(found) => (
                  <Show
                    when={full()}
                    fallback={<OnePage report={made()} state={state()} found={found()} figures={figures()} />}
                  >
                    <Sheet report={made()}>
                      <section classList={{ 'no-print': draws.state().kind !== 'done' }}>
                        <FullUncertainty analysis={found().analysis} seed={state().seed} draws={draws} current={true} />
                      </section>
                    </Sheet>
                  </Show>
                )}
              </Show>
            )}
          </Show>
        </>
      )}
    </Show>
  );
}

interface ChoicesProps {
  readonly full: boolean;
  readonly onFull: (full: boolean) => void;
  readonly unit: RateUnit;
  readonly onUnit: (unit: RateUnit) => void;
  readonly figures: number | null;
  readonly onFigures: (figures: number | null) => void;
  readonly decimal: DecimalSign;
  readonly onDecimal: (decimal: DecimalSign) => void;
}

/** What is printed, in which unit, with how many figures. */
function Choices(props: ChoicesProps) {
  const units = Object.keys(rateUnits) as RateUnit[];
  return (
    <div class="row">
      <label>
        {t().what}
        <select
          value={props.full ? 'full' : 'page'}
          onChange={(event) => props.onFull(event.currentTarget.value === 'full')}
        >
          <option value="page">{t().onePage}</option>
          <option value="full">{t().full}</option>
        </select>
      </label>
      <label>
        {t().unit}
        <select
          value={props.unit}
          onChange={(event) => props.onUnit(units.find((u) => u === event.currentTarget.value) ?? 'mL/s')}
        >
          <For each={units}>{(name) => <option value={name}>{rateUnits[name].printed}</option>}</For>
        </select>
      </label>
      <label>
        {t().figures}
        <select
          value={props.figures ?? ''}
          onChange={(event) => props.onFigures(Number(event.currentTarget.value) || null)}
        >
          <option value="">{t().byUncertainty}</option>
          <For each={[2, 3, 4]}>{(n) => <option value={n}>{t().nFigures(n)}</option>}</For>
        </select>
      </label>
      <label>
        {t().decimal}
        <select
          value={props.decimal}
          onChange={(event) => props.onDecimal(event.currentTarget.value === ',' ? ',' : '.')}
        >
          <option value=".">{t().point}</option>
          <option value=",">{t().comma}</option>
        </select>
      </label>
    </div>
  );
}

/** The decimal sign of the language that the browser is set to. */
function ownDecimal(): DecimalSign {
  const sign = new Intl.NumberFormat().formatToParts(1.5).find(({ type }) => type === 'decimal')?.value;
  return sign === ',' ? ',' : '.';
}

export default Report;
