import { For } from 'solid-js';
import type { TroubleSentence } from '../../hearing/trouble.ts';

/** What stands in the way of hearing, each with what can be done about it. */
export function Troubles(props: { troubles: readonly TroubleSentence[] }) {
  return (
    <For each={props.troubles}>
      {(trouble) => (
        <div class="problem" role="alert">
          <p>
            <strong>{trouble.title}</strong> {trouble.advice}
          </p>
        </div>
      )}
    </For>
  );
}
