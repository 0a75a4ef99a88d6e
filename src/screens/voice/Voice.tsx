import { Show } from 'solid-js';
import { twentyWords, wordsToSay } from '../../bench/word-round.ts';
import { useDesk } from '../desk.tsx';
import { createRoute, hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { AboutVoice } from './AboutVoice.tsx';
import { KnownVoice } from './KnownVoice.tsx';
import { voice } from './known-voice.ts';
import { SayingWords } from './SayingWords.tsx';
import { texts } from './say-words-texts.ts';
import { createTeaching } from './teaching.ts';
import './voice.css';

/**
 * Teaching the ear of this page one voice: the optional step before the day's work. `#/voice/twenty` asks for the
 * twenty words that it mixes up most.
 */
export function Voice() {
  const t = textsOf(texts);
  const desk = useDesk();
  const route = createRoute();
  const words = () => (route().rest[0] === 'twenty' ? twentyWords : wordsToSay);
  let heading!: HTMLHeadingElement;
  const toHeading = (): void => queueMicrotask(() => heading.focus());
  const teaching = createTeaching(words, toHeading);
  const busy = () => teaching.part() !== null;
  return (
    <div class="voice">
      <h1 tabindex="-1" ref={heading}>
        {t().heading}
      </h1>
      <Show when={teaching.saying()}>{(one) => <SayingWords saying={one()} />}</Show>
      <Show when={!teaching.saying()}>
        <Show when={teaching.trouble()}>
          {(sentence) => (
            <div class="problem" role="alert">
              <p>{sentence()}</p>
            </div>
          )}
        </Show>
        <p role="status">{teaching.told()}</p>
        <Show when={voice()}>
          {(known) => (
            <KnownVoice
              voice={known()}
              onTrouble={teaching.complain}
              onForgotten={() => {
                teaching.tell(t().deleted);
                toHeading();
              }}
            />
          )}
        </Show>
        <AboutVoice known={voice() !== null} words={words().length} />
        <Show when={busy()}>
          <progress max="1" value={teaching.part() ?? 0} aria-label={t().learning} />
        </Show>
        <p class="row">
          <Show when={!desk.state()?.openRun} fallback={<span>{t().runOpen}</span>}>
            <button type="button" class="primary" disabled={busy()} onClick={teaching.begin}>
              {t().begin}
            </button>
          </Show>
          <Show when={voice()?.learnt === null}>
            <button type="button" disabled={busy()} onClick={() => void teaching.learnAgain()}>
              {t().learnAgain}
            </button>
          </Show>
          <a class="button" href={hrefOf(desk.state() ? 'bench' : 'start')}>
            {desk.state() ? t().toBench : t().toNotebooks}
          </a>
        </p>
      </Show>
    </div>
  );
}

export default Voice;
