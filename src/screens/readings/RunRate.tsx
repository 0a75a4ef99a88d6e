import { Match, Show, Switch } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { EstimatorName, Refused } from '../../analysis/run-data.ts';
import { flagsSentence } from '../../results/sentences.ts';
import { figure } from '../rates/figures.ts';
import { hrefOf } from '../route.ts';

/** The rate that Rates uses, and what was left out. */
export function RunRate(props: { result: RunAnalysis | Refused | null }) {
  const done = () => (props.result?.ok ? props.result : null);
  const used = () => done()?.used ?? null;
  const refusal = () => (props.result && !props.result.ok ? props.result.sentence : '');
  const readings = (): string => {
    const all = done()?.run.readings ?? [];
    const aside = all.filter(({ setAside }) => setAside !== undefined).length;
    const counted = `${all.length - aside} ${all.length - aside === 1 ? 'reading' : 'readings'}`;
    return aside === 0 ? counted : `${counted}, ${aside} set aside`;
  };
  return (
    <p class="rate-now" aria-live="polite">
      <Switch fallback={props.result ? 'No rate can be had from this run.' : 'One moment.'}>
        <Match when={used()}>
          {(rate) => (
            <>
              <strong>{figure(rate().rateM3PerS, rate().u, 1e6)} mL/s</strong>{' '}
              <span class="quiet">
                {estimators[rate().estimator]}, {readings()}
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
          {flagsSentence(result())} <a href={hrefOf('rates')}>See Rates</a>
        </p>
      )}
    </Show>
  );
}

const estimators: Readonly<Record<EstimatorName, string>> = {
  line: 'straight line',
  quadratic: 'slope at the start of a bent curve',
  firstOrder: 'start of a first-order curve',
};
