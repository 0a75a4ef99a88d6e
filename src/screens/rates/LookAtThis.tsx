import { For, Show } from 'solid-js';
import { pouredLawRemark, pourRemarks } from '../../results/pours-table.ts';
import { Flags } from './Flags.tsx';
import type { RunProps } from './run-props.ts';

/** What a reader of a run's rate must have seen: a flask that was filled otherwise than planned, readings that do not fit. */
export function LookAtThis(props: RunProps & { heading: string }) {
  const poured = (): readonly string[] => {
    const run = props.state.runs.find(({ id }) => id === props.named.id);
    if (!run) return [];
    // That it was poured otherwise stands in the sentences before.
    const inLaw = pouredLawRemark(props.state, props.analysis.experiment, [props.named]) !== null;
    return [
      ...pourRemarks(props.state, run, props.named.label),
      ...(inLaw ? ['Concentrations, orders and k go by what was poured.'] : []),
    ];
  };
  const flagged = () => (props.result.ok && props.result.flags.length > 0 ? props.result : null);
  return (
    <Show when={poured().length > 0 || flagged()}>
      <section class="flags" aria-label={`What does not go together in run ${props.named.label}`}>
        <h3>Look at this</h3>
        <For each={poured()}>{(sentence) => <p>{sentence}</p>}</For>
        <Show when={flagged()}>{(result) => <Flags {...props} result={result()} />}</Show>
      </section>
    </Show>
  );
}
