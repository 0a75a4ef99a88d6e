import { Show } from 'solid-js';
import type { Exchange } from '../../bench/session-step.ts';
import { dayLanguage } from '../../language/page-language.ts';
import { Sign } from '../look/Sign.tsx';
import { preferences } from '../preferences/device.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

const sign: Readonly<Record<Exchange['tone'], string>> = {
  taken: '✓',
  told: '✓',
  doubtful: '?',
  unresolved: '…',
  struck: '✕',
  trouble: '!',
};

/** The last exchange: what was heard, in the language of the calls, and what was made of it. */
export function LastHeard(props: { exchange: Exchange | null; coming: string }) {
  const t = textsOf(texts);
  const quoted = (words: string): string => texts[dayLanguage(preferences().language)].spoken(words);
  return (
    <section class="last-heard" aria-label={t().lastHeard}>
      <p class="coming" lang={preferences().language}>
        <Show when={props.coming} fallback={props.exchange?.heard ? quoted(props.exchange.heard) : ' '}>
          {quoted(`${props.coming}…`)}
        </Show>
      </p>
      <Show when={props.exchange}>
        {(exchange) => (
          <p class={`answer ${exchange().tone}`} role="status">
            <span class="sign">
              <Sign sign={sign[exchange().tone]} />
            </span>{' '}
            <span>{exchange().answer}</span>
          </p>
        )}
      </Show>
    </section>
  );
}
