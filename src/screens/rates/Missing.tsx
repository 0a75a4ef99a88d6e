import { Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { NotebookState } from '../../log/state.ts';
import { ConditionsForm } from '../conditions/ConditionsForm.tsx';
import { hrefOf } from '../route.ts';
import { ratesTexts as t } from './texts.ts';

/** What keeps k from being stated in moles, or the law from being stated at all, asked for where it is missed. */
export function Missing(props: { found: NotebookAnalysis; state: NotebookState }) {
  const noPressure = () => !props.state.setup.pressure;
  const noTemperature = () => props.found.experiment.runs.some(({ temperatureK }) => !temperatureK);
  const unknown = () => (props.state.plan?.stocks ?? []).filter(({ strength }) => strength.unit === 'M-unknown');
  const noPlan = () => !props.found.experiment.runs.some(({ concentrations }) => concentrations);
  const conditions = () => noPressure() || noTemperature() || unknown().length > 0;
  const hasK = () => {
    const { law, unit } = props.found.analysis;
    return unit === 'volume' && law.ok && law.accepted !== null;
  };
  return (
    <Show when={conditions() || noPlan()}>
      <section class="missing no-print" aria-label={t().missing}>
        <Show when={hasK()}>
          <p>{t().inGas}</p>
        </Show>
        <Show when={noPlan()}>
          <p>
            {t().noPlan}{' '}
            <a class="button" href={hrefOf('run-sheet')}>
              {t().toRunSheet}
            </a>
          </p>
        </Show>
        <Show when={conditions()}>
          <Show when={props.state.skipped.length > 0}>
            <p>{t().skipped(props.state.skipped)}</p>
          </Show>
          <ConditionsForm
            state={props.state}
            pressure={noPressure()}
            temperature={noTemperature()}
            stocks={unknown().map(({ id, name }) => ({ id, name }))}
          />
        </Show>
      </section>
    </Show>
  );
}
