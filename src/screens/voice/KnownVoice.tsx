import { createSignal, Show } from 'solid-js';
import { type KeptVoice, longestName } from '../../hearing/voice-store.ts';
import { gainSentence, useSentence } from './gain.ts';
import { forget, keep } from './known-voice.ts';

/** The voice that is kept: its gain, its switch, its name, and away with it by one control. */
export function KnownVoice(props: {
  voice: KeptVoice;
  onTrouble: (sentence: string) => void;
  onForgotten: () => void;
}) {
  const [asking, setAsking] = createSignal(false);
  const change = (next: Partial<KeptVoice>): void => {
    keep({ ...props.voice, ...next }).catch(() => props.onTrouble('The browser did not keep that.'));
  };
  const remove = async (): Promise<void> => {
    setAsking(false);
    try {
      await forget();
      props.onForgotten();
    } catch {
      props.onTrouble('The browser did not delete the voice. Try again.');
    }
  };
  return (
    <section class="known-voice" aria-labelledby="known-voice-heading">
      <h2 id="known-voice-heading">{props.voice.name ? `The voice of ${props.voice.name}` : 'The voice it knows'}</h2>
      <Show
        when={props.voice.learnt}
        fallback={
          <p>
            The recogniser was renewed since this voice was learnt, so the voice is not used. Its sounds are kept: learn
            it again from them.
          </p>
        }
      >
        {(learnt) => (
          <p>
            Learnt on {new Date(props.voice.learntWallMs).toLocaleDateString()} from {learnt().calls} calls.{' '}
            {gainSentence(learnt())} {useSentence(learnt(), props.voice.wanted)}
          </p>
        )}
      </Show>
      <div class="row">
        <label>
          Whose voice, if you like
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
            <span>Hear with this voice</span>
          </label>
        </Show>
      </div>
      <div class="row">
        <Show
          when={asking()}
          fallback={
            <button type="button" onClick={() => setAsking(true)}>
              Delete this voice…
            </button>
          }
        >
          <button type="button" class="danger" onClick={() => void remove()}>
            Delete it and its sounds for good
          </button>
          <button type="button" ref={(button) => queueMicrotask(() => button.focus())} onClick={() => setAsking(false)}>
            Keep it
          </button>
        </Show>
      </div>
    </section>
  );
}
