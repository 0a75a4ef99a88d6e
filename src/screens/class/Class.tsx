import { createEffect, createMemo, createSignal, For, on, onCleanup, onMount, Show } from 'solid-js';
import { namesakesOf, namesOf } from '../../class/class-names.ts';
import { type ClassResult, classResult, quantitiesOf } from '../../class/class-result.ts';
import { classForest, pooledTable } from '../../class/class-tables.ts';
import { classSentence, classTexts, methodSentences, valueText } from '../../class/class-texts.ts';

import { forestSvg } from '../../class/forest-svg.ts';
import type { SvgNode } from '../../results/svg.ts';
import { useDesk } from '../desk.tsx';
import { Fold } from '../rates/Fold.tsx';
import { Drawing } from '../report/Drawing.tsx';
import { PictureWays } from '../report/PlotView.tsx';
import '../look/paper.css';
import '../report/report.css';
import { Marked } from '../table/Marked.tsx';
import { TableView } from '../table/TableView.tsx';
import { local, pageLanguage } from '../texts.ts';

import { BringIn } from './BringIn.tsx';
import './class.css';
import { ClassWays } from './ClassWays.tsx';
import { classList } from './class-list.ts';
import { GroupList } from './GroupList.tsx';
import { NotCombined } from './NotCombined.tsx';
import { PooledLaw } from './PooledLaw.tsx';
import { classScreenTexts as t } from './texts.ts';

/** Many groups side by side: one picture, one sentence, what each left out lacks; the statistics open in place. */
export function Class() {
  const desk = useDesk();
  onMount(() => void classList.open());
  const { entries } = classList;
  const quantities = createMemo(() => quantitiesOf(entries()));
  // What the person chose to see stays, also while no group has it.
  const quantity = (): string => classList.quantity() ?? quantities()[0] ?? 'k';
  const offered = (): readonly string[] => [...new Set([...quantities(), quantity()])];
  const names = createMemo(() => namesOf(entries(), classList.anonymous(), classTexts[pageLanguage()].group));
  const result = createMemo(() => classResult(entries(), quantity()));
  const sentence = createMemo(() => classSentence(result(), names(), pageLanguage()));
  const value = createMemo(() => valueText(result(), pageLanguage()));
  createEffect(
    on(
      [value, sentence],
      ([now, words], before) => {
        if (before?.[0] && now !== before[0] && now !== '') desk.announce(t().now(now, words));
      },
      { defer: true },
    ),
  );
  const namesakes = (): readonly string[] => (classList.anonymous() ? [] : namesakesOf(entries()));
  return (
    <div class="on-paper class-page">
      <h1>{t().title}</h1>
      <div class="class-columns">
        <Show
          when={result().rows.length > 0}
          fallback={<p class="class-answer">{entries().length > 0 ? t().none : t().what}</p>}
        >
          <section class="class-answer" aria-label={t().title}>
            <p class="class-value">
              <Show
                when={quantity() === 'k'}
                fallback={<Marked text={classTexts[pageLanguage()].quantity(quantity())} />}
              >
                <i>k</i>
              </Show>
              <Marked text={` = ${value().replaceAll('mol s', 'mol\u00a0s')}`} />{' '}
              <Show when={quantity() === 'k' && result().kind?.referenceK}>
                {(kelvin) => <span class="quiet">{local(t().at((kelvin() - 273.15).toFixed(1)))}</span>}
              </Show>
            </p>
            <p class="class-sentence">
              <Marked text={sentence()} />
            </p>
            <Show when={result().published}>
              {(known) => (
                <p class="quiet">
                  {t().published(local(String(Number(known().value.toPrecision(3)))), known().source)}
                </p>
              )}
            </Show>
          </section>
          <Picture result={result()} names={names()} />
        </Show>
        <div class="class-side">
          <BringIn />
          <Show when={classList.notKept() && entries().length > 0}>
            <p class="problem">{t().notKept}</p>
          </Show>
          <NotCombined result={result()} names={names()} />
          <Show when={namesakes().length > 0}>
            <p class="quiet no-print">{t().sameNames(namesakes().slice(0, 20).join(', '))}</p>
          </Show>
        </div>
      </div>
      <Show when={entries().length > 0}>
        <Show when={result().rows.length > 0}>
          <div class="class-folds no-print">
            <Fold title={t().how} label={t().how}>
              <For each={methodSentences(result(), pageLanguage())}>
                {(one) => (
                  <p>
                    <Marked text={one} />
                  </p>
                )}
              </For>
              <TableView table={pooledTable(result(), pageLanguage())} />
            </Fold>
            <Fold title={t().groups(result().rows.length + result().beside.length)} label={t().groupsTitle}>
              <GroupList result={result()} names={names()} />
            </Fold>
            <Show when={result().kind?.reaction}>
              <Fold title={t().law} label={t().law}>
                <PooledLaw entries={entries()} result={result()} names={names()} />
              </Fold>
            </Show>
          </div>
        </Show>
        <Options offered={offered()} quantity={quantity()} />
        <Show when={result().rows.length > 0}>
          <ClassWays entries={entries()} result={result()} names={names()} />
        </Show>
      </Show>
    </div>
  );
}

/** Each group with its interval, the class's value and the published one; as wide as there is room. */
function Picture(props: { result: ClassResult; names: ReadonlyMap<string, string> }) {
  const [narrow, setNarrow] = createSignal(innerWidth < 700);
  const onResize = (): void => {
    setNarrow(innerWidth < 700);
  };
  addEventListener('resize', onResize);
  onCleanup(() => removeEventListener('resize', onResize));
  const plot = createMemo(() => classForest(props.result, props.names, pageLanguage()));
  const drawing = (): SvgNode => forestSvg({ ...plot(), width: narrow() ? 370 : 720 });
  return (
    <figure class="plot forest">
      <Drawing drawing={drawing()} />
      <figcaption class="quiet">{t().key}</figcaption>
      <PictureWays title={plot().title} drawing={drawing()} />
    </figure>
  );
}

/** What is compared, names or numbers, and the end of a class. */
function Options(props: { offered: readonly string[]; quantity: string }) {
  const desk = useDesk();
  const [asking, setAsking] = createSignal(false);
  return (
    <div class="row no-print class-options">
      <label>
        {t().compare}
        <select value={props.quantity} onChange={(event) => classList.choose(event.currentTarget.value)}>
          <For each={props.offered}>
            {(name) => (
              <option value={name} selected={name === props.quantity}>
                {classTexts[pageLanguage()].quantity(name)}
              </option>
            )}
          </For>
        </select>
      </label>
      <label class="beside">
        <input
          type="checkbox"
          checked={classList.anonymous()}
          onChange={(event) => classList.nameless(event.currentTarget.checked)}
        />
        {t().numbers}
      </label>
      <Show
        when={asking()}
        fallback={
          <button type="button" onClick={() => setAsking(true)}>
            {t().empty}
          </button>
        }
      >
        <span class="row">
          <span>{t().reallyEmpty(classList.entries().length)}</span>
          <button
            type="button"
            onClick={() => {
              classList.clear();
              setAsking(false);
              desk.announce(t().emptied);
            }}
          >
            {t().yes}
          </button>
          <button type="button" onClick={() => setAsking(false)}>
            {t().no}
          </button>
        </span>
      </Show>
    </div>
  );
}

export default Class;
