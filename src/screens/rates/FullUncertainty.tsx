import { createSignal, For, Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import { chainChoice } from '../../results/chain-choice.ts';
import { DrawnTable } from './DrawnTable.tsx';
import type { createDraws } from './draws.ts';
import { ratesTexts as t } from './texts.ts';

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
      <h3>{t().fullTitle}</h3>
      <p>
        {t().full} <strong>{props.seed}</strong>.
      </p>
      <Show when={possible()} fallback={<p class="quiet">{t().needsRate}</p>}>
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
                {t().draw}
              </button>
              <label>
                {t().draws}
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
                {t().drawing(Math.floor(100 * now().share), now().draws)}
                <progress max="1" value={now().share} />
              </label>
              <button type="button" onClick={props.draws.cancel}>
                {t().cancelDraw}
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
  if (state.kind === 'cancelled') return t().cancelled;
  if (state.kind === 'failed') return state.sentence;
  if (state.kind !== 'done') return '';
  const { draws, failed, seed } = state.result;
  return t().drawn(draws, seed, failed);
}
