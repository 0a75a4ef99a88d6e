import { Show } from 'solid-js';
import { callWords } from '../../language/call-words.ts';
import { textsOf } from '../texts.ts';
import { prefer, preferences } from './device.ts';
import { texts } from './texts.ts';

const t = textsOf(texts);

const browserHasEar = (): boolean => 'SpeechRecognition' in window || 'webkitSpeechRecognition' in window;

/** Which ears may listen. The consent for sound leaving the device is asked here, in plain words. */
export function HearingChoice() {
  return (
    <div class="hearing-choice">
      <fieldset>
        <legend>{t().hears}</legend>
        <label class="beside">
          <input
            type="radio"
            name="hears"
            checked={!preferences().soundMarks}
            onChange={() => prefer({ soundMarks: false })}
          />
          <span>{t().words(callWords(preferences().language).mark)}</span>
        </label>
        <label class="beside">
          <input
            type="radio"
            name="hears"
            checked={preferences().soundMarks}
            onChange={() => prefer({ soundMarks: true })}
          />
          <span>{t().soundMarks}</span>
        </label>
      </fieldset>
      <Show when={!preferences().soundMarks}>
        <fieldset>
          <legend>{t().whoListens}</legend>
          <label class="beside">
            <input
              type="checkbox"
              checked={preferences().ownEar}
              onChange={(event) => prefer({ ownEar: event.currentTarget.checked })}
            />
            <span>{t().ownEar}</span>
          </label>
          <Show when={browserHasEar()} fallback={<p class="quiet">{t().noBrowserEar}</p>}>
            <p>{t().browserEar}</p>
            <BrowserEarRadio value="never" label={t().never} />
            <BrowserEarRadio value="on-device" label={t().onDevice} />
            <BrowserEarRadio value="may-send" label={t().maySend} />
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
