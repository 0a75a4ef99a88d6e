import { createMemo, For, Index, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { noteText } from '../../results/analysis-texts.ts';
import { dissolvedGasNotes } from '../../results/dissolved-gas.ts';
import { Contained } from '../Contained.tsx';
import { ClockDoubts } from '../clock/ClockDoubts.tsx';
import { containedTexts } from '../contained-texts.ts';
import { useDesk } from '../desk.tsx';
import { UndoButton } from '../readings/UndoButton.tsx';
import { hrefOf } from '../route.ts';
import { stateOf } from '../state-of.ts';
import { Marked } from '../table/Marked.tsx';
import { local, pageLanguage, textsOf } from '../texts.ts';
import { AllRuns } from './AllRuns.tsx';
import { Answer } from './Answer.tsx';
import { Check } from './Check.tsx';
import { Fold } from './Fold.tsx';
import { HeadspaceLine } from './HeadspaceLine.tsx';
import { LawDetail } from './LawDetail.tsx';
import { Missing } from './Missing.tsx';
import { RunLine } from './RunLine.tsx';
import { createRates, type Rates as RatesNow } from './rates-of.ts';
import { Temperature } from './Temperature.tsx';
import { ratesTexts as t } from './texts.ts';
import { countOf, itemsToCheck } from './to-check.ts';
import { Uncertainty } from './Uncertainty.tsx';
import './rates.css';

/** The answer first: law and k, whether to trust them, what to check; the rest opens in place. */
export function Rates() {
  const state = stateOf(useDesk());
  const rates = createRates(state);
  return (
    <div class="rates">
      <div class="rates-head">
        <h1>{t().title}</h1>
        <p class="rates-now quiet" role="status">
          {rates.computing() ? t().computing : rates.stopped() ? t().stopped : ''}
        </p>
        <Progress rates={rates} />
      </div>
      <Show when={rates.failed()}>{(sentence) => <p class="problem">{sentence()}</p>}</Show>
      <ClockDoubts />
      <Show when={state().runs.length > 0} fallback={<NoRuns planned={(state().plan?.runs.length ?? 0) > 0} />}>
        <Show when={rates.found()}>{(found) => <Found found={found()} state={state()} rates={rates} />}</Show>
      </Show>
    </div>
  );
}

/** Which run is worked out, and the way out of a long computation. */
function Progress(props: { rates: RatesNow }) {
  return (
    <>
      <Show when={props.rates.progress()}>
        {(progress) => (
          <p class="rates-now row no-print">
            <span>{t().progress(progress().done, progress().of)}</span>
            <progress max={progress().of} value={progress().done} aria-label={t().computing} />
            <button type="button" onClick={() => props.rates.stop()}>
              {t().stop}
            </button>
          </p>
        )}
      </Show>
      <Show when={props.rates.stopped()}>
        <button type="button" class="no-print" onClick={() => props.rates.again()}>
          {t().again}
        </button>
      </Show>
    </>
  );
}

function Found(props: { found: NotebookAnalysis; state: NotebookState; rates: RatesNow }) {
  const desk = useDesk();
  const contained = textsOf(containedTexts);
  const items = createMemo(() => itemsToCheck(props.state, props.found));
  const assumed = createMemo(() => [
    ...props.found.notes.map((note) => local(noteText(note, pageLanguage()))),
    ...dissolvedGasNotes(props.found.analysis, pageLanguage()),
  ]);
  const flagged = createMemo(
    () => new Set(items().flatMap(({ entries }) => entries.flatMap(({ reading }) => reading ?? []))),
  );
  return (
    <div class="rates-columns">
      <div class="rates-top">
        <Show
          when={props.rates.complete()}
          fallback={
            <Show when={!props.rates.stopped()}>
              <p class="quiet">{t().together}</p>
            </Show>
          }
        >
          <Answer found={props.found} toCheck={countOf(items())} />
        </Show>
        <Check items={items()} state={props.state} />
        <Show when={props.rates.complete()}>
          <Missing found={props.found} state={props.state} />
        </Show>
      </div>
      <div class="rates-plot-side">
        <Contained what={contained().allRuns}>
          <AllRuns found={props.found} state={props.state} flagged={flagged()} items={items()} />
        </Contained>
      </div>
      <div class="rates-rest">
        <div class="run-lines">
          <Index each={props.found.analysis.runs}>
            {(result, i) => (
              <Show when={props.found.runs[i]}>
                {(named) => (
                  <Contained
                    what={contained().run(named().label)}
                    onDelete={() => void desk.record({ kind: 'run-removed', run: named().id, how: 'deleted', why: '' })}
                  >
                    <RunLine
                      result={result()}
                      named={named()}
                      analysis={props.found.analysis}
                      index={i}
                      state={props.state}
                      items={items().filter(({ run }) => run === named().id)}
                    />
                  </Contained>
                )}
              </Show>
            )}
          </Index>
        </div>
        <div class="folds">
          <Show when={props.rates.complete()}>
            <Fold label={t().lawTitle} title={t().lawTitle}>
              <LawDetail found={props.found} state={props.state} />
            </Fold>
            <Fold label={t().temperatureTitle} title={t().temperatureTitle}>
              <Temperature analysis={props.found.analysis} />
            </Fold>
            <Fold label={t().uncertaintyTitle} title={t().uncertaintyTitle}>
              <Uncertainty found={props.found} seed={props.state.seed} current={!props.rates.computing()} />
            </Fold>
          </Show>
          <Show when={props.state.setup.backPressure}>
            <Fold label={t().headspace} title={t().headspace}>
              <HeadspaceLine state={props.state} analysis={props.found.analysis} />
            </Fold>
          </Show>
          <Show when={assumed().length > 0}>
            <Fold label={t().assumed} title={t().assumed}>
              <ul>
                <For each={assumed()}>
                  {(note) => (
                    <li>
                      <Marked text={note} />
                    </li>
                  )}
                </For>
              </ul>
            </Fold>
          </Show>
        </div>
        <p class="row rates-foot no-print">
          <a class="button" href={hrefOf('report')}>
            {t().toReport}
          </a>
          <UndoButton />
        </p>
      </div>
    </div>
  );
}

function NoRuns(props: { planned: boolean }) {
  return (
    <>
      <p>{t().noRuns}</p>
      <p class="row">
        <a class="button primary" href={hrefOf('bench')}>
          {t().toBench}
        </a>
        <Show when={!props.planned}>
          <a class="button" href={hrefOf('run-sheet')}>
            {t().toRunSheetFirst}
          </a>
        </Show>
      </p>
    </>
  );
}

export default Rates;
