import { createMemo, createSignal, type JSX, Show } from 'solid-js';
import type { CommandLanguage } from '../../language/spoken-commands.ts';
import { preferences } from '../preferences/device.ts';
import { Settings } from '../preferences/Settings.tsx';
import { createRoute, hrefOf } from '../route.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { BrowserReport } from './BrowserReport.tsx';
import { OtherWords } from './OtherWords.tsx';
import { Part, Rows } from './Part.tsx';
import { helpParts, type PartName, withCallsIn } from './parts.ts';
import { foundIn, queryWords } from './search.ts';
import { texts } from './texts.ts';
import './help.css';

/** What to say, first; everything else behind its title, and a search over all of it. */
export function Help() {
  const t = textsOf(texts);
  const route = createRoute();
  const [query, setQuery] = createSignal('');
  const words = createMemo(() => queryWords(query()));
  const searching = () => words().length > 0;
  const callsLanguage = () => (/^de\b/i.test(preferences().language) ? 'de' : 'en');
  const parts = createMemo(() => helpParts(pageLanguage(), callsLanguage()));
  const found = (name: PartName) => foundIn(parts()[name], words());
  const count = createMemo(() => Object.values(parts()).reduce((sum, part) => sum + foundIn(part, words()).count, 0));
  const table = (name: PartName, heads: readonly [string, string]) => (
    <Rows label={parts()[name].title} heads={heads} or={t().or} rows={found(name).rows} />
  );
  const part = (name: PartName, content: () => JSX.Element) => (
    <Part title={parts()[name].title} found={found(name)} searching={searching()} wanted={route().rest[0] === name}>
      {content()}
    </Part>
  );
  return (
    <div class="help">
      <h1>{t().heading}</h1>
      <p>
        {t().start[0]}
        <a href={hrefOf('bench')}>{t().start[1]}</a>
        {t().start[2]}
      </p>
      <Search query={query()} onQuery={setQuery} />
      <p class="found" role="status">
        {searching() && (count() > 0 ? t().found(count()) : t().none(query().trim()))}
      </p>
      <div class="help-pair">
        <section hidden={found('words').count === 0}>
          <h2>{parts().words.title}</h2>
          {table('words', t().say)}
          <Show when={!searching()}>
            <WordsNote calls={callsLanguage()} />
          </Show>
        </section>
        <div>
          {part('more', () => (
            <>
              {table('more', t().say)}
              <Show when={!searching()}>
                <OtherWords />
              </Show>
            </>
          ))}
          {part('speaking', () =>
            t().speakingHow.map((sentence) => <p>{withCallsIn(sentence, pageLanguage(), callsLanguage())}</p>),
          )}
          {part('answers', () => table('answers', t().hear))}
          {part('keys', () => table('keys', t().press))}
          {part('privacy', () => (
            <p>{t().privacyHow}</p>
          ))}
          {part('settings', () => (
            <Settings />
          ))}
          {part('browser', () => (
            <BrowserReport />
          ))}
          {part('safety', () => (
            <p class="caution">{t().safetyHow}</p>
          ))}
          {part('licences', () => (
            <p>
              {t().licencesHow[0]}
              <a href="licences.txt">{t().licencesHow[1]}</a>
              {t().licencesHow[2]}
            </p>
          ))}
        </div>
      </div>
    </div>
  );
}

function Search(props: { query: string; onQuery: (query: string) => void }) {
  const t = textsOf(texts);
  let field!: HTMLInputElement;
  const clear = (): void => {
    props.onQuery('');
    field.focus();
  };
  return (
    <search class="row">
      <label>
        {t().search}
        <input
          ref={field}
          type="search"
          value={props.query}
          autocomplete="off"
          onInput={(event) => props.onQuery(event.currentTarget.value)}
          onKeyDown={(event) => event.key === 'Escape' && clear()}
        />
      </label>
      <Show when={props.query !== ''}>
        <button type="button" onClick={clear}>
          {t().clear}
        </button>
      </Show>
    </search>
  );
}

/** Where the words shown are not those that every recogniser knows. */
function WordsNote(props: { calls: CommandLanguage }) {
  const t = textsOf(texts);
  return (
    <Show when={props.calls === 'de' ? t().callsInGerman : t().callsInEnglish}>
      {(sentence) => (
        <p class="quiet">
          {sentence()[0]}
          <a href={hrefOf('help', 'settings')}>{sentence()[1]}</a>
          {sentence()[2]}
        </p>
      )}
    </Show>
  );
}

export default Help;
