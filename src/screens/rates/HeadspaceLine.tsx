import { Show } from 'solid-js';
import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import { headspaceShare } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { pressedGasNotes } from '../../results/pressed-gas.ts';
import { useDesk } from '../desk.tsx';

/** What the gas above the reaction takes up as the level rises: how much, whether it is reckoned with, and a switch. */
export function HeadspaceLine(props: { state: NotebookState; analysis: ExperimentAnalysis }) {
  const desk = useDesk();
  const back = () => props.state.setup.backPressure;
  const percent = () => {
    const share = headspaceShare(props.state.setup);
    const text = (fraction: number) => (100 * fraction).toPrecision(2);
    return share && { atStart: text(share.atStart), atEnd: text(share.atEnd) };
  };
  const reckoned = () => (back()?.on ? pressedGasNotes(props.analysis).join(' ') : '');
  const counts = () => {
    if (!back()?.on) return 'This is not reckoned with.';
    return props.analysis.experiment.runs.some(({ gas }) => gas)
      ? 'This is reckoned with.'
      : 'It will be reckoned with once the Run sheet says what is in the flasks.';
  };
  const change = (on: boolean) => {
    const { setup } = props.state;
    if (!setup.backPressure) return;
    void desk.record({ kind: 'set-up', setup: { ...setup, backPressure: { ...setup.backPressure, on } } });
  };
  const NotYet = () => (
    <Show
      when={percent()}
      fallback={<p>Its effect can be told once the temperature and the air pressure are in the setup.</p>}
    >
      {(size) => (
        <p>
          As the level rises it is compressed: the rates in moles are {size().atStart}&nbsp;% larger than the displaced
          volume says at the start of a run, and {size().atEnd}&nbsp;% larger at {props.state.setup.spanMl}&nbsp;mL.{' '}
          {counts()} Orders hardly change by it.
        </p>
      )}
    </Show>
  );
  return (
    <Show when={back()}>
      {(stated) => (
        <section aria-labelledby="rates-headspace">
          <h2 id="rates-headspace">Gas above the reaction</h2>
          <Show when={reckoned()} fallback={<NotYet />}>
            <p>{reckoned()} Orders hardly change by it.</p>
          </Show>
          <button type="button" class="no-print" onClick={() => change(!stated().on)}>
            {stated().on ? 'Leave it out' : 'Reckon with it'}
          </button>
        </section>
      )}
    </Show>
  );
}
