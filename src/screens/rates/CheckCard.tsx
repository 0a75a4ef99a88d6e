import { createSignal, For, Show } from 'solid-js';
import { givenValue } from '../../bench/act.ts';
import type { EventBody } from '../../log/event.ts';
import { zeroMs } from '../../log/runs.ts';
import type { Call, NotebookState, Reading } from '../../log/state.ts';
import { flagText } from '../../results/analysis-texts.ts';
import { useDesk } from '../desk.tsx';
import { ClipPlayer } from '../readings/ClipPlayer.tsx';
import { choicesOf } from '../readings/call-list.ts';
import { ValueForm } from '../readings/ValueForm.tsx';
import { hrefOf } from '../route.ts';
import { Marked } from '../table/Marked.tsx';
import { local, pageLanguage } from '../texts.ts';
import { mlText, secondsText } from './figures.ts';
import { ratesTexts as t } from './texts.ts';
import type { CheckEntry, CheckItem } from './to-check.ts';

/** One thing to check: what was heard, what speaks against it, its sound, and what it can be made. */
export function CheckCard(props: { item: CheckItem; state: NotebookState; onDone: () => void }) {
  const desk = useDesk();
  const act = async (said: string, ...bodies: EventBody[]): Promise<void> => {
    if (!(await desk.record(...bodies))) return;
    desk.announce(said);
    // The pressed button goes away with its card; the keyboard stays here.
    props.onDone();
  };
  return (
    <div class="check-card">
      <Show
        when={props.item.entries.length > 1}
        fallback={
          <Show when={props.item.entries[0]}>{(entry) => <SingleCard {...props} entry={entry()} onAct={act} />}</Show>
        }
      >
        <GroupCard {...props} onAct={act} />
      </Show>
    </div>
  );
}

interface CardProps {
  readonly item: CheckItem;
  readonly state: NotebookState;
  readonly onAct: (said: string, ...bodies: EventBody[]) => Promise<void>;
}

const sentenceOf = ({ flag }: CheckEntry): string => (flag ? flagText(flag.flag, flag.run, pageLanguage()) : '');

const causeOf = ({ flag }: CheckEntry): string => (flag ? t().cause(t().causes[flag.flag.cause]) : '');

const asideOf = (reading: string, entry: CheckEntry): EventBody => ({
  kind: 'set-aside',
  reading,
  cause: entry.flag?.flag.cause ?? 'own-judgement',
  why: sentenceOf(entry).slice(0, 500),
});

const correctedTo = (reading: string, value: string): EventBody => ({ kind: 'corrected', reading, value, by: 'hand' });

function SingleCard(props: CardProps & { entry: CheckEntry }) {
  const call = (): Call | undefined => props.state.calls.find(({ id }) => id === props.entry.call);
  const run = () => props.state.runs.find(({ id }) => id === props.item.run);
  const reading = (): Reading | undefined => run()?.readings.find(({ id }) => id === props.entry.reading);
  const value = (): string | null => reading()?.value ?? null;
  const isDoubtful = () => reading()?.outcome === 'doubtful' && !reading()?.settled;
  const seconds = (): string => {
    const own = run();
    const atMs = reading()?.timeMs ?? call()?.onsetMs ?? 0;
    return secondsText(own ? (atMs - zeroMs(own)) / 1000 : 0);
  };
  const words = () => call()?.heard.at(-1)?.alternatives[0]?.text ?? '';
  /** Values it may have been, the one that fits first. */
  const others = (): string[] => {
    const suggested = props.entry.flag?.flag.suggestedM3;
    const known = call();
    const all = [
      ...(suggested === undefined ? [] : [mlText(suggested)]),
      ...(known ? choicesOf(known, reading()) : []),
    ];
    return [...new Set(all)].filter((one) => one !== value());
  };
  const give = (to: string): void => {
    const own = reading();
    if (own) void props.onAct(t().corrected(own.value, to, props.item.label), correctedTo(own.id, to));
    else void props.onAct(t().given(to, props.item.label), givenValue(props.entry.call, to, 'hand'));
  };
  return (
    <>
      <h3>{t().place(props.item.label, value(), seconds())}</h3>
      <p>
        <Show when={words()}>{t().heard(words())} </Show>
        <Show when={!reading()}>{t().noValue} </Show>
        <Show when={isDoubtful() && value()}>{(ml) => <>{t().doubtful(ml())} </>}</Show>
        <Show when={props.entry.flag}>
          <strong>{causeOf(props.entry)}</strong> {sentenceOf(props.entry)}
        </Show>
      </p>
      <div class="row acts">
        <For each={others()}>
          {(one, i) => (
            <button type="button" classList={{ primary: i() === 0 && !isDoubtful() }} onClick={() => give(one)}>
              {t().itWas(one)}
            </button>
          )}
        </For>
        <Show when={isDoubtful() && reading()}>
          {(own) => (
            <button
              type="button"
              onClick={() => void props.onAct(t().kept(own().value), correctedTo(own().id, own().value))}
            >
              {t().keep(own().value)}
            </button>
          )}
        </Show>
        <Show when={reading() && !reading()?.setAside && reading()}>
          {(own) => (
            <button
              type="button"
              class="text"
              onClick={() =>
                void props.onAct(t().leftOut(`${own().value} mL`, props.item.label), asideOf(own().id, props.entry))
              }
            >
              {t().leaveOut}
            </button>
          )}
        </Show>
        <Show when={!reading()}>
          <button
            type="button"
            class="text"
            onClick={() =>
              void props.onAct(t().noReadingSaid, {
                kind: 'judged',
                call: props.entry.call,
                outcome: 'not-a-reading',
                meaning: null,
                rivals: [],
                reason: 'no reading, by hand',
                by: 'hand',
              })
            }
          >
            {t().noReading}
          </button>
        </Show>
      </div>
      <Sound call={call()} deleted={props.state.clipsDeleted} />
      <ValueForm label={t().other} value="" save={t().save} onValue={give} />
      <p>
        <a href={hrefOf('readings', props.entry.call)}>{t().inReadings}</a>
      </p>
    </>
  );
}

function Sound(props: { call: Call | undefined; deleted: boolean }) {
  const [listening, setListening] = createSignal(false);
  return (
    <Show when={props.call?.clip && !props.deleted && props.call} fallback={<p class="quiet">{t().noSound}</p>}>
      {(call) => (
        <Show
          when={listening()}
          fallback={
            <button type="button" class="text" onClick={() => setListening(true)}>
              {t().play}
            </button>
          }
        >
          <ClipPlayer call={call().id} />
        </Show>
      )}
    </Show>
  );
}

/** Several readings that one cause put off are mended together. */
function GroupCard(props: CardProps) {
  const values = () => {
    const run = props.state.runs.find(({ id }) => id === props.item.run);
    return new Map((run?.readings ?? []).map((reading) => [reading.id, reading.value]));
  };
  const suggested = () =>
    props.item.entries.flatMap(({ reading, flag }) =>
      reading === null || flag?.flag.suggestedM3 === undefined ? [] : [{ reading, to: mlText(flag.flag.suggestedM3) }],
    );
  const aside = (): EventBody[] =>
    props.item.entries.flatMap((entry) => (entry.reading === null ? [] : [asideOf(entry.reading, entry)]));
  return (
    <>
      <h3>{t().run(props.item.label)}</h3>
      <Show when={props.item.entries[0]}>
        {(first) => (
          <p>
            <strong>{causeOf(first())}</strong> {sentenceOf(first())}
          </p>
        )}
      </Show>
      <p>
        <For each={props.item.entries}>
          {({ reading, flag }, i) => (
            <>
              {i() > 0 ? ', ' : ''}
              {values().get(reading ?? '')}
              <Show when={flag?.flag.suggestedM3}>{(m3) => <Marked text={` → ${local(mlText(m3()))}`} />}</Show>
            </>
          )}
        </For>{' '}
        mL
      </p>
      <div class="row acts">
        <Show when={suggested().length === props.item.entries.length}>
          <button
            type="button"
            class="primary"
            onClick={() =>
              void props.onAct(
                t().correctedAll(suggested().length, props.item.label),
                ...suggested().map(({ reading, to }) => correctedTo(reading, to)),
              )
            }
          >
            {t().correctAll(suggested().length)}
          </button>
        </Show>
        <button
          type="button"
          class="text"
          onClick={() => void props.onAct(t().leftOut(t().readings(aside().length), props.item.label), ...aside())}
        >
          {t().leaveOutAll(aside().length)}
        </button>
      </div>
    </>
  );
}
