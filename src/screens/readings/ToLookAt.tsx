import { For, type JSX, Show } from 'solid-js';
import { readingsTexts as t } from './texts.ts';

/** What waits for a person: calls in doubt, and readings that the rest of their run speaks against. */
export function ToLookAt(props: {
  calls: readonly string[];
  /** false until the runs have been worked out: nothing can be said to be in order before. */
  known: boolean;
  failed: string | null;
  row: (call: string) => JSX.Element;
}) {
  const heading = (): string => {
    if (props.calls.length > 0) return t().toLookAt(props.calls.length);
    return props.known ? t().nothingInDoubt : t().oneMoment;
  };
  return (
    <section aria-labelledby="doubts-heading" class="doubts">
      <h2 id="doubts-heading" tabindex="-1">
        {heading()}
      </h2>
      <Show when={props.failed}>{(sentence) => <p class="problem">{sentence()}</p>}</Show>
      <Show when={props.calls.length > 0}>
        <p class="quiet key-hint">{t().arrows}</p>
        <ul class="calls">
          <For each={props.calls}>{(id) => props.row(id)}</For>
        </ul>
      </Show>
    </section>
  );
}
