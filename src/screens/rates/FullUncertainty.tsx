import { createSignal, For, Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../kinetics/analyse-experiment.ts';
import { chainChoice } from '../../kinetics/chain-choice.ts';
import type { ChainResult } from '../../kinetics/uncertainty.ts';
import type { Simulated } from '../../numerics/monte-carlo.ts';
import { constantOf, constantUnit } from '../../share/rate-table.ts';
import type { createDraws } from './draws.ts';
import { figure, rangeText } from './figures.ts';
import { ScrollRegion } from './ScrollRegion.tsx';

const amounts = [2000, 10_000, 50_000] as const;

/** The uncertainty by random draws through the whole chain: started by hand, with progress, and cancelled by hand. */
export function FullUncertainty(props: {
  analysis: ExperimentAnalysis;
  seed: number;
  draws: ReturnType<typeof createDraws>;
  /** false while the analysis is behind the notebook: nothing is drawn from old readings. */
  current: boolean;
}) {
  const [amount, setAmount] = createSignal<number>(10_000);
  const running = () => {
    const state = props.draws.state();
    return state.kind === 'running' ? state : null;
  };
  const done = () => {
    const state = props.draws.state();
    return state.kind === 'done' ? state.result : null;
  };
  const choice = () => chainChoice(props.analysis);
  const possible = () => Object.keys(choice().estimators).length > 0;
  return (
    <>
      <h3>The full uncertainty</h3>
      <p>
        The figures above take every effect as small and straight. Random draws do without that: in each draw every
        moment, reading, pour, stock, temperature and pressure gets an error of its own size, and everything is computed
        anew. The same seed gives the same digits; the seed of this notebook is <strong>{props.seed}</strong>.
      </p>
      <Show when={possible()} fallback={<p class="quiet">It needs at least one run with a rate.</p>}>
        <Show
          when={running()}
          fallback={
            <div class="row no-print">
              <button
                type="button"
                class="primary"
                disabled={!props.current}
                onClick={() =>
                  props.draws.start({
                    experiment: props.analysis.experiment,
                    choice: choice(),
                    seed: props.seed,
                    draws: amount(),
                  })
                }
              >
                Work out the full uncertainty
              </button>
              <label>
                Draws
                <select value={amount()} onChange={(event) => setAmount(Number(event.currentTarget.value))}>
                  <For each={amounts}>
                    {(n) => <option value={n}>{n.toLocaleString('en').replace(',', ' ')}</option>}
                  </For>
                </select>
              </label>
            </div>
          }
        >
          {(now) => (
            <div class="row no-print">
              <label>
                Drawing, {Math.floor(100 * now().share)} % of {now().draws}
                <progress max="1" value={now().share} />
              </label>
              <button type="button" onClick={props.draws.cancel}>
                Cancel the drawing
              </button>
            </div>
          )}
        </Show>
        <p role="status">{statusText(props.draws.state())}</p>
        <Show when={done()}>{(result) => <DrawnTable analysis={props.analysis} result={result()} />}</Show>
      </Show>
    </>
  );
}

function statusText(state: ReturnType<ReturnType<typeof createDraws>['state']>): string {
  if (state.kind === 'cancelled') return 'Cancelled; nothing was kept of it.';
  if (state.kind === 'failed') return state.sentence;
  if (state.kind !== 'done') return '';
  const { draws, failed, seed } = state.result;
  const lost = failed === 0 ? '' : ` ${failed} more gave no result and are left out.`;
  return `Done: ${draws} draws with seed ${seed}.${lost}`;
}

function DrawnTable(props: { analysis: ExperimentAnalysis; result: ChainResult }) {
  return (
    <ScrollRegion label="The full uncertainty beside the linear one">
      <table>
        <caption class="for-screen-readers">The full uncertainty beside the linear one</caption>
        <thead>
          <tr>
            <th scope="col">quantity</th>
            <th scope="col">linear</th>
            <th scope="col">95 % interval, linear</th>
            <th scope="col">by draws</th>
            <th scope="col">95 % interval, by draws</th>
          </tr>
        </thead>
        <tbody>
          <For each={rowsOf(props.analysis, props.result)}>
            {({ name, linear, drawn, factor }) => (
              <tr>
                <th scope="row">{name}</th>
                <td class="figure">{figure(linear.value, linear.u, factor)}</td>
                <td class="figure">{rangeText(linear.low95, linear.high95, linear.u, factor)}</td>
                <td class="figure">{figure(drawn.mean, drawn.u, factor)}</td>
                <td class="figure">{rangeText(drawn.symmetric[0], drawn.symmetric[1], drawn.u, factor)}</td>
              </tr>
            )}
          </For>
        </tbody>
      </table>
    </ScrollRegion>
  );
}

interface DrawnRow {
  readonly name: string;
  readonly linear: { value: number; u: number | null; low95: number | null; high95: number | null };
  readonly drawn: Simulated;
  readonly factor: number;
}

function rowsOf({ runs, law, whole, unit }: ExperimentAnalysis, result: ChainResult): DrawnRow[] {
  const rows = result.rates.flatMap(({ label, result: drawn }): DrawnRow[] => {
    const run = runs.find((one) => one.ok && one.run.label === label);
    if (!run?.ok || !run.used) return [];
    return [
      { name: `rate of run ${label} (mL/s)`, linear: { ...run.used, value: run.used.rateM3PerS }, drawn, factor: 1e6 },
    ];
  });
  const k = constantOf(law, unit);
  if (law.ok && law.accepted && k && result.k) {
    const name = `k from starting rates (${k.unit.printed})`;
    rows.push({ name, linear: { ...law.accepted, value: law.accepted.k }, drawn: result.k, factor: k.factor });
  }
  if (whole.ok && whole.accepted && result.kWhole) {
    const { accepted } = whole;
    const order = Object.values(accepted.orders).reduce((a, b) => a + b, 0);
    const own = constantUnit(order, accepted.fit.unit);
    const name = `k from all readings at once (${own.unit.printed})`;
    rows.push({ name, linear: { ...accepted, value: accepted.k }, drawn: result.kWhole, factor: own.factor });
  }
  return rows;
}
