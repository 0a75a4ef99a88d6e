import { Show } from 'solid-js';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { Refused } from '../../analysis/run-data.ts';
import { rateIn } from '../../results/rate-table.ts';
import { runSentence } from '../../results/sentences.ts';
import { resultTexts } from '../../results/texts.ts';
import { AsideList } from './AsideList.tsx';
import { Estimates } from './Estimates.tsx';
import { figure } from './figures.ts';
import { LookAtThis } from './LookAtThis.tsx';
import { Poured } from './Poured.tsx';
import { RunPlots } from './RunPlots.tsx';
import type { RunProps } from './run-props.ts';
import { WithAndWithout } from './WithAndWithout.tsx';

const estimatorNames = resultTexts.en.estimators;

/** Everything about one run: its rate in words and figures, the curve, the estimates, what does not fit. */
export function RunSection(props: RunProps) {
  const good = () => (props.result.ok ? props.result : null);
  const heading = () => `rates-run-${props.index}`;
  return (
    <section class="rates-run" aria-labelledby={heading()}>
      <h2 id={heading()} tabindex="-1">
        Run {props.named.label}
      </h2>
      <RateLine result={props.result} />
      <p>{runSentence(props.result)}</p>
      <LookAtThis {...props} heading={heading()} />
      <Poured {...props} heading={heading()} />
      <Show when={good()}>{(result) => <RunPlots {...props} result={result()} />}</Show>
      <AsideList {...props} heading={heading()} />
      <Show when={good()}>
        {(result) => (
          <>
            <WithAndWithout result={result()} />
            <Estimates result={result()} run={props.named.id} label={props.named.label} />
          </>
        )}
      </Show>
    </section>
  );
}

function RateLine(props: { result: RunAnalysis | Refused }) {
  const text = (unit: 'mL/s' | 'mol/(L s)'): string | null => {
    const rate = rateIn(props.result, unit);
    return 'why' in rate ? null : `${figure(rate.value, rate.u)} ${unit}`;
  };
  return (
    <Show when={props.result.ok && props.result.used}>
      {(used) => (
        <p class="rate-line">
          <strong class="rate-figure">{text('mL/s')}</strong>{' '}
          <Show when={text('mol/(L s)')}>{(amount) => <span>or {amount()} </span>}</Show>
          <span class="quiet">
            starting rate by the {estimatorNames[used().estimator]}
            {props.result.ok && props.result.usedBy === 'choice' ? ', your choice' : ', as recommended'}
          </span>
        </p>
      )}
    </Show>
  );
}
