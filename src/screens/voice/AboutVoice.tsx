import { Show } from 'solid-js';
import { twentyWords } from '../../bench/word-round.ts';

/** What the step is, what it takes, and what becomes of the sounds. */
export function AboutVoice(props: { known: boolean; words: number }) {
  const minutes = () => (props.words === twentyWords.length ? 'Half a minute' : 'Two minutes');
  return (
    <>
      <h2>{props.known ? 'Once more' : `${minutes()} to teach it your voice`}</h2>
      <p>
        The recogniser in this page learns your voice from {props.words} words, one after the other: it reads a word
        aloud and shows it large, you say it, the next one comes. After the first tap nothing needs to be touched. Stand
        where you will stand later, with the same microphone.
        <Show when={props.known}> What you say is added to what it knows of your voice.</Show>
      </p>
      <p>
        Then it tries itself on words held back from the learning, and uses your voice only if that helps. This is
        optional: without it the recogniser hears everybody alike. English words only.
      </p>
      <p>
        What it learns and the sounds of these words stay in this browser, on this device, until you delete them here:
        they are in no notebook, file or link. Who else calls on this device has a voice of their own: choose the caller
        in the settings of the Bench.
      </p>
    </>
  );
}
