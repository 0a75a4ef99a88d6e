import { Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { gainSentence, useSentence } from './gain.ts';
import { keep, voice } from './known-voice.ts';

/** In the settings: whether the recogniser knows a voice, its switch, and the way to teach it one. */
export function VoiceChoice() {
  const desk = useDesk();
  return (
    <fieldset>
      <legend>Your voice</legend>
      <Show
        when={voice()}
        fallback={<p>The recogniser in this page knows no voice in particular. It can learn yours in two minutes.</p>}
      >
        {(known) => (
          <>
            <p>
              {known().name ? `It learnt the voice of ${known().name}. ` : 'It learnt a voice. '}
              <Show
                when={known().learnt}
                fallback="The recogniser was renewed since, so the voice is not used until it is learnt again."
              >
                {(learnt) => `${gainSentence(learnt())} ${useSentence(learnt(), known().wanted)}`}
              </Show>
            </p>
            <Show when={known().learnt?.helps}>
              <label class="beside">
                <input
                  type="checkbox"
                  checked={known().wanted}
                  onChange={(event) =>
                    keep({ ...known(), wanted: event.currentTarget.checked }).catch(() =>
                      desk.complain('The browser did not keep that choice.'),
                    )
                  }
                />
                <span>Hear with this voice</span>
              </label>
            </Show>
          </>
        )}
      </Show>
      <a class="button" href={hrefOf('voice')}>
        {voice() ? 'Change or delete it' : 'Say these words'}
      </a>
    </fieldset>
  );
}
