import { For, Show } from 'solid-js';
import { runMarkAt } from '../../results/plot-svg.ts';
import { pouredLawRemark, pourRemarks } from '../../results/pours-table.ts';
import { rateIn } from '../../results/rate-table.ts';
import { flagsSentence, runSentence } from '../../results/sentences.ts';
import { node } from '../../results/svg.ts';
import { resultTexts } from '../../results/texts.ts';
import { Drawing } from '../report/Drawing.tsx';
import { Marked } from '../table/Marked.tsx';
import { pageLanguage } from '../texts.ts';
import { AsideList } from './AsideList.tsx';
import { CheckCard } from './CheckCard.tsx';
import { Estimates } from './Estimates.tsx';
import { Fold } from './Fold.tsx';
import { figure } from './figures.ts';
import { Poured } from './Poured.tsx';
import { RunPlots } from './RunPlots.tsx';
import type { RunProps } from './run-props.ts';
import { ratesTexts as t } from './texts.ts';
import { countOf } from './to-check.ts';
import { WithAndWithout } from './WithAndWithout.tsx';

/** One run in one line: mark, rate, readings, what to check. Everything about it opens in place. */
export function RunLine(props: RunProps) {
  const rate = (): string | null => {
    const found = rateIn(props.result, 'mL/s');
    return 'why' in found ? null : `${figure(found.value, found.u)} mL/s`;
  };
  const used = () => props.analysis.experiment.runs[props.index]?.readings.filter((one) => !one.setAside).length ?? 0;
  const aside = () => (props.analysis.experiment.runs[props.index]?.readings.length ?? 0) - used();
  const notes = () => [
    t().readings(used()),
    ...(aside() > 0 ? [t().aside(aside())] : []),
    ...(pouredNotes(props).length > 0 ? [t().poured] : []),
  ];
  const title = (
    <span class="run-line">
      <Drawing drawing={swatch(props.index)} class="run-swatch" />
      <span class="run-name">{t().run(props.named.label)}</span>
      <strong class="rate-figure">{rate() ?? t().noRate}</strong>
      <span class="quiet run-notes">{notes().join(', ')}</span>
      <Show when={countOf(props.items) > 0}>
        <span class="run-check">{t().toCheckCount(countOf(props.items))}</span>
      </Show>
    </span>
  );
  return (
    <Fold class="rates-run" label={t().run(props.named.label)} title={title}>
      <RunDetail {...props} />
    </Fold>
  );
}

const swatch = (run: number) =>
  node('svg', { viewBox: '0 0 18 18', width: 18, height: 18, 'aria-hidden': 'true' }, runMarkAt(run, 9, 9));

/** A flask that was filled otherwise than planned, a sentence each. */
function pouredNotes(props: RunProps): readonly string[] {
  const run = props.state.runs.find(({ id }) => id === props.named.id);
  if (!run) return [];
  const inLaw = pouredLawRemark(props.state, props.analysis.experiment, [props.named]) !== null;
  return [...pourRemarks(props.state, run, props.named.label, pageLanguage()), ...(inLaw ? [t().inLaw] : [])];
}

function RunDetail(props: RunProps) {
  const good = () => (props.result.ok ? props.result : null);
  let top: HTMLParagraphElement | undefined;
  const back = (): void => top?.focus({ preventScroll: true });
  return (
    <>
      <RateLine result={props.result} />
      <p tabindex="-1" ref={(element) => (top = element)}>
        {runSentence(props.result, pageLanguage())}
      </p>
      <Show when={pouredNotes(props).length > 0 || props.items.length > 0}>
        <section class="flags" aria-label={t().toCheckIn(props.named.label)}>
          <For each={pouredNotes(props)}>
            {(sentence) => (
              <p>
                <Marked text={sentence} />
              </p>
            )}
          </For>
          <Show when={good()}>
            {(result) => (
              <Show when={flagsSentence(result(), pageLanguage())}>
                {(sentence) => (
                  <p>
                    <Marked text={sentence()} />
                  </p>
                )}
              </Show>
            )}
          </Show>
          <For each={props.items.map(({ key }) => key)}>
            {(key) => (
              <Show when={props.items.find((item) => item.key === key)}>
                {(item) => <CheckCard item={item()} state={props.state} onDone={back} />}
              </Show>
            )}
          </For>
        </section>
      </Show>
      <Poured {...props} onDone={back} />
      <Show when={good()}>{(result) => <RunPlots {...props} result={result()} />}</Show>
      <AsideList {...props} onDone={back} />
      <Show when={good()}>
        {(result) => (
          <>
            <WithAndWithout result={result()} />
            <Estimates result={result()} run={props.named.id} label={props.named.label} />
          </>
        )}
      </Show>
    </>
  );
}

function RateLine(props: Pick<RunProps, 'result'>) {
  const used = () => (props.result.ok ? props.result.used : null);
  const amount = (): string | null => {
    const rate = rateIn(props.result, 'mol/(L s)');
    return 'why' in rate ? null : `${figure(rate.value, rate.u)} mol/(L s)`;
  };
  return (
    <Show when={used()}>
      {(estimate) => (
        <p class="rate-line">
          <Show when={amount()}>
            {(text) => (
              <>
                <Marked text={text()} />,{' '}
              </>
            )}
          </Show>
          <span class="quiet">
            {t().starting(
              resultTexts[pageLanguage()].estimators[estimate().estimator],
              props.result.ok && props.result.usedBy === 'choice',
              props.result.ok && props.result.meanRate,
            )}
          </span>
        </p>
      )}
    </Show>
  );
}
