import { Show } from 'solid-js';
import { twentyWords, wordsToSay } from '../../bench/word-round.ts';
import { useDesk } from '../desk.tsx';
import { createRoute, hrefOf } from '../route.ts';
import { AboutVoice } from './AboutVoice.tsx';
import { KnownVoice } from './KnownVoice.tsx';
import { voice } from './known-voice.ts';
import { SayingWords } from './SayingWords.tsx';
import { createTeaching } from './teaching.ts';
import './voice.css';

/**
 * Teaching the ear of this page one voice: the optional step before the day's work. `#/voice/twenty` asks for the
 * twenty words that it mixes up most.
 */
export function Voice() {
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
        Say these words
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
                teaching.tell('The voice and its sounds are deleted.');
                toHeading();
              }}
            />
          )}
        </Show>
        <AboutVoice known={voice() !== null} words={words().length} />
        <Show when={busy()}>
          <progress max="1" value={teaching.part() ?? 0} aria-label="Learning" />
        </Show>
        <p class="row">
          <Show
            when={!desk.state()?.openRun}
            fallback={<span>A run is going on. End it first; then the microphone is free for this.</span>}
          >
            <button type="button" class="primary" disabled={busy()} onClick={teaching.begin}>
              Begin
            </button>
          </Show>
          <Show when={voice()?.learnt === null}>
            <button type="button" disabled={busy()} onClick={() => void teaching.learnAgain()}>
              Learn again from what is kept
            </button>
          </Show>
          <a class="button" href={hrefOf(desk.state() ? 'bench' : 'start')}>
            {desk.state() ? 'To the bench' : 'To the notebooks'}
          </a>
        </p>
      </Show>
    </div>
  );
}

export default Voice;
