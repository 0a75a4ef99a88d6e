import { For } from 'solid-js';
import { languages } from '../../language/words-for.ts';
import { prefer, preferences } from './device.ts';

/** How it answers, what it keeps, how it looks. */
export function AnswerChoice() {
  return (
    <fieldset>
      <legend>How it answers</legend>
      <div class="row">
        <label>
          Read back aloud
          <select
            value={preferences().readBack}
            onChange={(event) => {
              const value = event.currentTarget.value;
              prefer({ readBack: value === 'always' || value === 'when-doubtful' ? value : 'off' });
            }}
          >
            <option value="off">off</option>
            <option value="when-doubtful">when in doubt</option>
            <option value="always">always</option>
          </select>
        </label>
        <label>
          Loudness of the cues
          <input
            type="range"
            min="0"
            max="1"
            step="0.05"
            value={preferences().cueVolume}
            onInput={(event) => prefer({ cueVolume: event.currentTarget.valueAsNumber })}
          />
        </label>
        <label>
          Language of the calls
          <select value={preferences().language} onChange={(event) => prefer({ language: event.currentTarget.value })}>
            <For each={languages}>{(language) => <option value={language.tag}>{language.name}</option>}</For>
          </select>
        </label>
        <label>
          Language of the page
          <select
            value={preferences().pageLanguage}
            onChange={(event) => prefer({ pageLanguage: event.currentTarget.value === 'de' ? 'de' : 'en' })}
          >
            <option value="en">English</option>
            <option value="de">Deutsch (noch nicht alle Seiten)</option>
          </select>
        </label>
        <label>
          Colours of the desk
          <select
            value={preferences().theme}
            onChange={(event) => {
              const value = event.currentTarget.value;
              prefer({ theme: value === 'light' || value === 'dark' ? value : 'system' });
            }}
          >
            <option value="system">as the system</option>
            <option value="light">light</option>
            <option value="dark">dark</option>
          </select>
        </label>
      </div>
      <label class="beside">
        <input
          type="checkbox"
          checked={preferences().silent}
          onChange={(event) => prefer({ silent: event.currentTarget.checked })}
        />
        <span>Silent: no cues, nothing read back; everything is still shown</span>
      </label>
      <label class="beside">
        <input
          type="checkbox"
          checked={preferences().clips}
          onChange={(event) => prefer({ clips: event.currentTarget.checked })}
        />
        <span>Keep the sound of each call on this device, to listen to on Readings</span>
      </label>
    </fieldset>
  );
}
