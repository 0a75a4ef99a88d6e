import { Match, Show, Switch } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { Refused } from '../../analysis/run-data.ts';
import { refusalText } from '../../results/analysis-texts.ts';
import { flagsSentence } from '../../results/sentences.ts';
import { figure } from '../rates/figures.ts';
import { hrefOf } from '../route.ts';
import { pageLanguage } from '../texts.ts';
import { readingsTexts as t } from './texts.ts';

/** The rate that Rates uses, and what was left out. */
export function RunRate(props: { result: RunAnalysis | Refused | null }) {
  const done = () => (props.result?.ok ? props.result : null);
  const used = () => done()?.used ?? null;
  const refusal = () => (props.result && !props.result.ok ? refusalText(props.result, pageLanguage()) : '');
  const readings = (): string => {
    const all = done()?.run.readings ?? [];
    const aside = all.filter(({ setAside }) => setAside !== undefined).length;
    return t().counted(all.length - aside, aside);
  };
  return (
    <p class="rate-now" aria-live="polite">
      <Switch fallback={props.result ? t().noRate : t().oneMoment}>
        <Match when={used()}>
          {(rate) => (
            <>
              <strong>{figure(rate().rateM3PerS, rate().u, 1e6)} mL/s</strong>{' '}
              <span class="quiet">
                {t().estimators[rate().estimator]}, {readings()}
              </span>
            </>
          )}
        </Match>
        <Match when={refusal()}>{(sentence) => sentence()}</Match>
      </Switch>
    </p>
  );
}

/** What does not go with that rate. */
export function RunDoubt(props: { result: RunAnalysis | Refused | null }) {
  const flagged = () => (props.result?.ok && props.result.flags.length > 0 ? props.result : null);
  return (
    <Show when={flagged()}>
      {(result) => (
        <p class="rate-doubt">
          {flagsSentence(result(), pageLanguage())} <a href={hrefOf('rates')}>{t().seeRates}</a>
        </p>
      )}
    </Show>
  );
}
