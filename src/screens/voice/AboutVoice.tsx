import { Show } from 'solid-js';
import { twentyWords } from '../../bench/word-round.ts';
import { textsOf } from '../texts.ts';
import { texts } from './say-words-texts.ts';

/** What the step is, what it takes, and what becomes of the sounds. */
export function AboutVoice(props: { known: boolean; words: number }) {
  const t = textsOf(texts);
  const first = () => (props.words === twentyWords.length ? t().halfMinute : t().twoMinutes);
  return (
    <>
      <h2>{props.known ? t().onceMore : first()}</h2>
      <p>
        {t().how(props.words)}
        <Show when={props.known}> {t().added}</Show>
      </p>
      <p>{t().tries}</p>
      <p>{t().stays}</p>
    </>
  );
}
