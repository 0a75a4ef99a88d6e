import { For, onCleanup, onMount, Show } from 'solid-js';
import { type Wish, wordOf } from '../../bench/word-round.ts';
import { Troubles } from '../bench/Troubles.tsx';
import { textsOf } from '../texts.ts';
import type { SayWords } from './say-words.ts';
import { texts } from './say-words-texts.ts';

/** The word asked for, to be read from two metres; everything here can also be said or pressed as a key. */
export function SayingWords(props: { saying: SayWords }) {
  const t = textsOf(texts);
  const saying = () => props.saying;
  const round = () => saying().round();
  const onKey = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
    const wish = wishOf(event.key, round().paused);
    if (!wish) return;
    event.preventDefault();
    saying().wish(wish);
  };
  let word!: HTMLParagraphElement;
  onMount(() => {
    addEventListener('keydown', onKey);
    word.focus({ preventScroll: true });
  });
  onCleanup(() => removeEventListener('keydown', onKey));
  return (
    <section class="saying" aria-label={t().heading}>
      <p class="saying-count">{t().of(Math.min(round().at + 1, round().words.length), round().words.length)}</p>
      <p
        class="saying-word"
        classList={{ resting: round().paused }}
        tabindex="-1"
        lang="en"
        ref={word}
        aria-live="polite"
      >
        {saying().phase() === 'saying' ? wordOf(round()) : ''}
      </p>
      <p class="saying-now" role="status">
        <span
          class="lamp"
          classList={{ hears: saying().phase() === 'saying', sounding: saying().sounding() }}
          aria-hidden="true"
        />
        {saying().now()}
      </p>
      <Show when={saying().phase() === 'learning'}>
        <progress max="1" value={saying().part()} aria-label={t().learning} />
      </Show>
      <Troubles troubles={saying().troubles()} />
      <Show when={saying().phase() === 'saying'}>
        <div class="row saying-acts">
          <For each={acts}>
            {(act) => (
              <button type="button" onClick={() => saying().wish(wishOf(act.key, round().paused) ?? 'repeat')}>
                {act.key === 'p' && round().paused ? t().goAhead : t().acts[act.name]} <kbd>{act.sign}</kbd>
              </button>
            )}
          </For>
        </div>
        <p class="quiet">{t().orSay}</p>
      </Show>
    </section>
  );
}

const acts: readonly {
  readonly key: string;
  readonly sign: string;
  readonly name: keyof (typeof texts)['en']['acts'];
}[] = [
  { key: 'r', sign: 'R', name: 'again' },
  { key: 'n', sign: 'N', name: 'leaveOut' },
  { key: 'b', sign: 'B', name: 'back' },
  { key: 'p', sign: 'P', name: 'standBy' },
  { key: 'Escape', sign: 'Esc', name: 'stop' },
];

function wishOf(key: string, paused: boolean): Wish | null {
  switch (key.length === 1 ? key.toLowerCase() : key) {
    case 'r':
      return 'repeat';
    case 'n':
      return 'skipped';
    case 'b':
      return 'back';
    case 'p':
      return paused ? 'going-on' : 'paused';
    case 'Escape':
      return 'finished';
    default:
      return null;
  }
}
