import { For, Show } from 'solid-js';
import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import { nameIn } from '../../planning/names.ts';
import { bestConstant, headlineOf } from '../../results/headline.ts';
import { speciesText } from '../../results/species.ts';
import { furtherReasons } from '../../results/verdict-texts.ts';
import { Marked } from '../table/Marked.tsx';
import { local, pageLanguage } from '../texts.ts';
import { figure } from './figures.ts';
import { ratesTexts as t } from './texts.ts';

/** The answer: the law, k with its uncertainty, and in one sentence whether to trust it. */
export function Answer(props: { found: NotebookAnalysis; toCheck: number }) {
  const analysis = () => props.found.analysis;
  const best = () => {
    const k = bestConstant(analysis());
    return k && { ...k, text: figure(k.value, k.u) };
  };
  const headline = () => headlineOf(analysis(), props.toCheck, pageLanguage());
  const further = () => furtherReasons(analysis().verdict, pageLanguage());
  const terms = () => Object.entries(best()?.orders ?? {}).filter(([, order]) => order !== 0);
  const nameOf = (key: string): string =>
    nameIn(props.found.reaction?.species.find((one) => one.key === key)?.name ?? speciesText(key), pageLanguage());
  const powerWords = ([species, order]: [string, number]): string => {
    if (order === 1) return nameOf(species);
    return order === 2 ? t().squared(nameOf(species)) : t().toThePower(nameOf(species), order);
  };
  return (
    <section class="rates-answer" aria-label={t().result}>
      <Show when={best()}>
        {(k) => (
          <>
            <p
              class="formula"
              role="math"
              aria-label={t().formulaWords(terms().map(powerWords), `${k().text} ${k().unit}`)}
            >
              <i>{t().rate}</i> = <i>k</i>
              <For each={terms()}>
                {([species, order]) => (
                  <>
                    {' '}
                    [<Marked text={speciesText(species)} />]
                    <Show when={order !== 1}>
                      <sup>{local(String(order).replace('-', '−'))}</sup>
                    </Show>
                  </>
                )}
              </For>
            </p>
            <p class="constant">
              <i>k</i> ={' '}
              <strong>
                <Marked text={k().text} />
              </strong>{' '}
              <span class="constant-unit">
                <Marked text={k().unit} />
              </span>
              <Show when={analysis().referenceK}>
                {(kelvin) => <span class="quiet"> {t().at(local((kelvin() - 273.15).toFixed(1)))}</span>}
              </Show>
            </p>
          </>
        )}
      </Show>
      <p class={`verdict ${headline().tone}`}>
        <VerdictMark tone={headline().tone} />
        <span>
          <Marked text={headline().sentence} />
        </span>
      </p>
      <Show when={further().length > 0}>
        <ul class="verdict-reasons">
          <For each={further()}>
            {(reason) => (
              <li>
                <Marked text={reason} />
              </li>
            )}
          </For>
        </ul>
      </Show>
    </section>
  );
}

/** A shape for the tone, so that colour is not alone: tick, exclamation mark, ring. */
function VerdictMark(props: { tone: 'good' | 'check' | 'open' }) {
  const path = () => ({ good: 'M5 12.5l4.5 4.5L19 7', check: 'M12 5v9M12 18.2v.3', open: 'M12 6v6l4 3' })[props.tone];
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true" class="verdict-mark">
      <circle cx="12" cy="12" r="11" />
      <path d={path()} />
    </svg>
  );
}
