import { Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import { headspaceShare } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { pressedGasNotes } from '../../results/pressed-gas.ts';
import { useDesk } from '../desk.tsx';
import { local, pageLanguage } from '../texts.ts';
import { ratesTexts as t } from './texts.ts';

/** What the gas above the reaction takes up as the level rises: how much, whether it is corrected for, and a switch. */
export function HeadspaceLine(props: { state: NotebookState; analysis: ExperimentAnalysis }) {
  const desk = useDesk();
  const back = () => props.state.setup.backPressure;
  const percent = () => {
    const share = headspaceShare(props.state.setup);
    const text = (fraction: number) => (100 * fraction).toPrecision(2);
    return share && { atStart: text(share.atStart), atEnd: text(share.atEnd) };
  };
  const corrected = () => (back()?.on ? pressedGasNotes(props.analysis, pageLanguage()).join(' ') : '');
  const counts = () => {
    if (!back()?.on) return t().headspaceOff;
    return props.analysis.experiment.runs.some(({ gas }) => gas) ? t().headspaceOn : t().headspaceLater;
  };
  const change = (on: boolean) => {
    const { setup } = props.state;
    if (!setup.backPressure) return;
    void desk.record({ kind: 'set-up', setup: { ...setup, backPressure: { ...setup.backPressure, on } } });
  };
  const NotYet = () => (
    <Show when={percent()} fallback={<p>{t().headspaceNotYet}</p>}>
      {(size) => (
        <p>
          {local(t().headspaceEffect(size().atStart, size().atEnd, props.state.setup.spanMl))} {counts()}{' '}
          {t().headspaceOrders}
        </p>
      )}
    </Show>
  );
  return (
    <Show when={back()}>
      {(stated) => (
        <>
          <Show when={corrected()} fallback={<NotYet />}>
            <p>
              {corrected()} {t().headspaceOrders}
            </p>
          </Show>
          <button type="button" class="no-print" onClick={() => change(!stated().on)}>
            {stated().on ? t().leaveHeadspace : t().correctHeadspace}
          </button>
        </>
      )}
    </Show>
  );
}
