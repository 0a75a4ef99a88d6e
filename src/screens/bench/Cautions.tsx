import { For, Show } from 'solid-js';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/**
 * What is said before the first run of a notebook; the label wins over it.
 * @param props.sentences those of the run sheet; without them the usual ones, the long list behind one tap
 */
export function Cautions(props: { sentences?: readonly string[] }) {
  const t = textsOf(texts);
  return (
    <section class="caution" aria-label={t().beforeYouMix}>
      <h2>{t().beforeYouMix}</h2>
      <ul>
        <For each={props.sentences ?? t().usual}>{(sentence) => <li>{sentence}</li>}</For>
        <li>{t().labelsFirst}</li>
      </ul>
      <Show when={!props.sentences}>
        <details>
          <summary>{t().allCautions}</summary>
          <ul>
            <For each={t().full}>{(sentence) => <li>{sentence}</li>}</For>
          </ul>
        </details>
      </Show>
    </section>
  );
}
