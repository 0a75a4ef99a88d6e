import { createSignal, Match, Show, Switch } from 'solid-js';
import type { NotebookState } from '../../log/state.ts';
import { loaded, prefer, preferences } from '../preferences/device.ts';
import { hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { voice } from './known-voice.ts';
import { texts } from './texts.ts';

/**
 * The offer of twenty words: once, before the first run. Who leaves them out is reminded at the first doubt, where the
 * ear is least use without them, and can say them between runs. Nothing is shown to a voice that it knows.
 */
export function TwentyWords(props: { state: NotebookState }) {
  const t = textsOf(texts);
  // Who left them out is not to see the offer for the moment until that is known.
  const [known, setKnown] = createSignal(false);
  void loaded.then(() => setKnown(true));
  const usable = () =>
    known() &&
    preferences().ownEar &&
    !preferences().soundMarks &&
    preferences().language.startsWith('en') &&
    voice() === null &&
    !props.state.invented;
  // What was typed says nothing of the voice.
  const doubted = () => props.state.calls.some(({ outcome, timing }) => outcome === 'doubtful' && timing !== 'key');
  const offered = () => props.state.runs.length === 0 && !preferences().twentyWordsLeftOut;
  return (
    <Show when={usable()}>
      <Switch>
        <Match when={props.state.openRun && doubted()}>
          <p class="quiet" role="status">
            {t().doubted}
          </p>
        </Match>
        <Match when={!props.state.openRun && (offered() || doubted())}>
          <details class="twenty-words">
            <summary>{t().sayTwenty}</summary>
            <p>{t().twenty}</p>
            <p class="row">
              <a class="button" href={hrefOf('voice', 'twenty')}>
                {t().beginTwenty}
              </a>
              <Show when={offered()}>
                <button type="button" onClick={() => prefer({ twentyWordsLeftOut: true })}>
                  {t().notNow}
                </button>
              </Show>
            </p>
          </details>
        </Match>
      </Switch>
    </Show>
  );
}
