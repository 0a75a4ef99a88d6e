import { createSignal, Show } from 'solid-js';
import { type KeptVoice, longestName } from '../../hearing/voice-store.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { gainSentences } from './gain.ts';
import { forget, keep } from './known-voice.ts';
import { texts } from './say-words-texts.ts';

/** The voice that is kept: its gain, its switch, its name, and away with it by one control. */
export function KnownVoice(props: {
  voice: KeptVoice;
  onTrouble: (sentence: string) => void;
  onForgotten: () => void;
}) {
  const t = textsOf(texts);
  const [asking, setAsking] = createSignal(false);
  const day = () => new Date(props.voice.learntWallMs).toLocaleDateString(pageLanguage() === 'de' ? 'de' : undefined);
  const change = (next: Partial<KeptVoice>): void => {
    keep({ ...props.voice, ...next }).catch(() => props.onTrouble(t().notKept));
  };
  const remove = async (): Promise<void> => {
    setAsking(false);
    try {
      await forget();
      props.onForgotten();
    } catch {
      props.onTrouble(t().notDeleted);
    }
  };
  return (
    <section class="known-voice" aria-labelledby="known-voice-heading">
      <h2 id="known-voice-heading">{props.voice.name ? t().voiceOf(props.voice.name) : t().knownVoice}</h2>
      <Show when={props.voice.learnt} fallback={<p>{t().renewed}</p>}>
        {(learnt) => (
          <p>
            {t().learnt(day(), learnt().calls)} {gainSentences(learnt(), props.voice.wanted, pageLanguage())}
          </p>
        )}
      </Show>
      <div class="row">
        <label>
          {t().whose}
          <input
            autocomplete="off"
            maxlength={longestName}
            value={props.voice.name}
            onChange={(event) => change({ name: event.currentTarget.value.trim() })}
          />
        </label>
        <Show when={props.voice.learnt?.helps}>
          <label class="beside">
            <input
              type="checkbox"
              checked={props.voice.wanted}
              onChange={(event) => change({ wanted: event.currentTarget.checked })}
            />
            <span>{t().hearWith}</span>
          </label>
        </Show>
      </div>
      <div class="row">
        <Show
          when={asking()}
          fallback={
            <button type="button" onClick={() => setAsking(true)}>
              {t().remove}
            </button>
          }
        >
          <button type="button" class="danger" onClick={() => void remove()}>
            {t().removeForGood}
          </button>
          <button type="button" ref={(button) => queueMicrotask(() => button.focus())} onClick={() => setAsking(false)}>
            {t().keepIt}
          </button>
        </Show>
      </div>
    </section>
  );
}
