import { For, Show } from 'solid-js';
import { languages } from '../../language/words-for.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { prefer, preferences } from './device.ts';
import { texts } from './texts.ts';

const t = textsOf(texts);

/** How it answers, what it keeps, how it looks. */
export function AnswerChoice() {
  return (
    <fieldset>
      <legend>{t().answers}</legend>
      <div class="row">
        <label>
          {t().readBack}
          <select
            value={preferences().readBack}
            onChange={(event) => {
              const value = event.currentTarget.value;
              prefer({ readBack: value === 'always' || value === 'when-doubtful' ? value : 'off' });
            }}
          >
            <option value="off">{t().off}</option>
            <option value="when-doubtful">{t().whenDoubtful}</option>
            <option value="always">{t().always}</option>
          </select>
        </label>
        <label>
          {t().volume}
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
          {t().calls}
          <select value={preferences().language} onChange={(event) => prefer({ language: event.currentTarget.value })}>
            <For each={languages}>{(language) => <option value={language.tag}>{language.name}</option>}</For>
          </select>
        </label>
        <label>
          {t().page}
          <select
            value={preferences().pageLanguage}
            onChange={(event) => {
              const { value } = event.currentTarget;
              prefer({ pageLanguage: value === 'en' || value === 'de' ? value : 'system' });
            }}
          >
            <option value="system">{t().asBrowser}</option>
            <option value="en" lang="en">
              English
            </option>
            <option value="de" lang="de">
              Deutsch
            </option>
          </select>
        </label>
        <label>
          {t().colours}
          <select
            value={preferences().theme}
            onChange={(event) => {
              const value = event.currentTarget.value;
              prefer({ theme: value === 'light' || value === 'dark' ? value : 'system' });
            }}
          >
            <option value="system">{t().system}</option>
            <option value="light">{t().light}</option>
            <option value="dark">{t().dark}</option>
          </select>
        </label>
      </div>
      <Show when={pageLanguage() !== 'en' || !preferences().language.startsWith('en')}>
        <p class="quiet">{t().englishOnly}</p>
      </Show>
      <label class="beside">
        <input
          type="checkbox"
          checked={preferences().silent}
          onChange={(event) => prefer({ silent: event.currentTarget.checked })}
        />
        <span>{t().silent}</span>
      </label>
      <label class="beside">
        <input
          type="checkbox"
          checked={preferences().clips}
          onChange={(event) => prefer({ clips: event.currentTarget.checked })}
        />
        <span>{t().clips}</span>
      </label>
    </fieldset>
  );
}
