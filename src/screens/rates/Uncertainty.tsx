import { createEffect, createMemo, For, on, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import { sourceText } from '../../results/analysis-texts.ts';
import { speciesOf } from '../../results/rate-table.ts';
import { budgetSentence, sharesOf } from '../../results/sentences.ts';
import { speciesInText } from '../../results/species.ts';
import { Marked } from '../table/Marked.tsx';
import { local, pageLanguage } from '../texts.ts';
import { createDraws } from './draws.ts';
import { FullUncertainty } from './FullUncertainty.tsx';
import { ratesTexts as t } from './texts.ts';

/** Where the uncertainty of k comes from, at once and linear; and the whole chain by random draws when asked for. */
export function Uncertainty(props: { found: NotebookAnalysis; seed: number; current: boolean }) {
  const draws = createDraws();
  const analysis = () => props.found.analysis;
  // What was drawn belongs to the readings as they were then.
  createEffect(on(analysis, draws.forget, { defer: true }));
  const species = () => speciesOf(analysis());
  const lines = createMemo(() => {
    const { whole, law } = analysis();
    if (whole.ok && whole.accepted) return whole.accepted.budget;
    return law.ok && law.accepted ? [...sharesOf(law.accepted.shares)].sort((a, b) => b.share - a.share) : [];
  });
  const ofAll = () => {
    const { whole } = analysis();
    return whole.ok && whole.accepted !== null;
  };
  return (
    <>
      <Show when={lines().length > 0} fallback={<p>{t().noK}</p>}>
        <p>
          <Marked text={speciesInText(budgetSentence(analysis(), pageLanguage()) ?? '', species())} />
        </p>
        <p class="quiet">{t().sharesOf(ofAll())}</p>
        <ul class="budget" aria-label={t().budget}>
          <For each={lines()}>
            {({ source, u, share }) => (
              <li>
                <span class="budget-name">
                  <Marked text={speciesInText(sourceText(source, pageLanguage()), species())} />
                </span>
                <span class="budget-bar" aria-hidden="true">
                  <span style={{ width: `${(100 * share).toFixed(1)}%` }} />
                </span>
                <span class="budget-share">
                  {percent(share)} <span class="quiet">{t().alone(percent(u))}</span>
                </span>
              </li>
            )}
          </For>
        </ul>
      </Show>
      <FullUncertainty analysis={analysis()} seed={props.seed} draws={draws} current={props.current} />
    </>
  );
}

function percent(share: number): string {
  const value = 100 * share;
  if (value > 0 && value < 0.1) return t().lessThan;
  return local(`${value < 10 ? value.toFixed(1) : value.toFixed(0)} %`);
}
