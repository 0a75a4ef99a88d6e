import { Show } from 'solid-js';
import { prefer, preferences } from './device.ts';

const browserHasEar = (): boolean => 'SpeechRecognition' in window || 'webkitSpeechRecognition' in window;

/** Which ears may listen. The consent for sound leaving the device is asked here, in plain words. */
export function HearingChoice() {
  return (
    <div class="hearing-choice">
      <fieldset>
        <legend>How it hears you</legend>
        <label class="beside">
          <input
            type="radio"
            name="hears"
            checked={!preferences().soundMarks}
            onChange={() => prefer({ soundMarks: false })}
          />
          <span>Words: say the number, or “mark”</span>
        </label>
        <label class="beside">
          <input
            type="radio"
            name="hears"
            checked={preferences().soundMarks}
            onChange={() => prefer({ soundMarks: true })}
          />
          <span>
            Sound marks: any short sound you make is the next mark. No words are recognised; works everywhere.
          </span>
        </label>
      </fieldset>
      <Show when={!preferences().soundMarks}>
        <fieldset>
          <legend>Who listens for words</legend>
          <label class="beside">
            <input
              type="checkbox"
              checked={preferences().ownEar}
              onChange={(event) => prefer({ ownEar: event.currentTarget.checked })}
            />
            <span>The recogniser in this page. Works offline; no sound leaves the device. English words only.</span>
          </label>
          <Show when={browserHasEar()} fallback={<p class="quiet">This browser brings no recogniser of its own.</p>}>
            <p>
              The recogniser of your browser as well? Most browsers send what they hear to their maker: Chrome to
              Google, Edge to Microsoft, Safari to Apple.
            </p>
            <BrowserEarRadio value="never" label="No, never" />
            <BrowserEarRadio value="on-device" label="Only if it works on this device alone" />
            <BrowserEarRadio value="may-send" label="Yes, it may send the sound to its maker" />
          </Show>
        </fieldset>
      </Show>
    </div>
  );
}

function BrowserEarRadio(props: { value: 'never' | 'on-device' | 'may-send'; label: string }) {
  const chosen = () =>
    preferences().browserEar === props.value || (props.value === 'never' && preferences().browserEar === 'not-asked');
  return (
    <label class="beside">
      <input type="radio" name="browser-ear" checked={chosen()} onChange={() => prefer({ browserEar: props.value })} />
      <span>{props.label}</span>
    </label>
  );
}
