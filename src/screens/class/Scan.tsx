import { createSignal, For, onCleanup, onMount, Show } from 'solid-js';
import { makePartCollector } from '../../files/code-parts.ts';
import { Sign } from '../look/Sign.tsx';
import { pageLanguage } from '../texts.ts';
import { makeCamera } from './camera.ts';
import { classList } from './class-list.ts';
import { classScreenTexts as t } from './texts.ts';

/** A line of what the camera caught, the newest first. */
interface Line {
  readonly good: boolean;
  readonly sentence: string;
}

/** What is done with each text that the camera sees: parts are put together, a notebook is brought to the class. */
function catcher(
  say: (good: boolean, sentence: string) => void,
  setPart: (part: { have: number; of: number } | null) => void,
): (text: string) => Promise<void> {
  const collector = makePartCollector();
  /** The code that was handled last: held before the camera for longer, it is not said again. */
  let last = '';
  return async (text) => {
    const caught = collector.catch(text);
    if (caught.kind === 'part') setPart(caught);
    if (caught.kind === 'part' || (caught.kind === 'whole' ? caught.code : text) === last) return;
    setPart(null);
    if (caught.kind === 'torn') {
      last = '';
      return say(false, t().camera.torn);
    }
    if (caught.kind === 'other') {
      last = text;
      return say(false, t().camera.notOurs);
    }
    last = caught.code;
    const { added, doubles, skipped } = await classList.bring({
      kind: 'files',
      files: [{ name: t().camera.code, blob: new Blob([caught.link]) }],
    });
    for (const { name } of added) say(true, t().camera.has(name));
    for (const double of doubles) say(double.kind === 'longer', t().double(double));
    for (const { sentences } of skipped) say(false, sentences[pageLanguage()]);
  };
}

/** The camera looks for one group's code after the other; each is shown as it arrives. Nothing it sees is kept. */
export default function Scan(props: { onClose: () => void }) {
  const [lines, setLines] = createSignal<readonly Line[]>([]);
  const [trouble, setTrouble] = createSignal('');
  const [part, setPart] = createSignal<{ have: number; of: number } | null>(null);
  const [ready, setReady] = createSignal(false);
  let section!: HTMLElement;
  let video!: HTMLVideoElement;
  const say = (good: boolean, sentence: string): void => {
    setLines([{ good, sentence }, ...lines().filter((line) => line.sentence !== sentence)].slice(0, 40));
    if (good) navigator.vibrate?.(80);
  };

  const camera = makeCamera({
    onText: catcher(say, setPart),
    onReady: () => setReady(true),
    onTrouble(trouble) {
      setReady(false);
      setPart(null);
      setTrouble(t().camera[trouble]);
    },
  });
  const begin = (): void => {
    setTrouble('');
    void camera.start(video);
  };
  onMount(() => {
    section.scrollIntoView({ block: 'nearest' });
    begin();
  });
  onCleanup(camera.stop);

  return (
    <section class="scan" aria-label={t().camera.title} ref={section}>
      <Show
        when={trouble() === ''}
        fallback={
          <div class="row">
            <p role="alert">{trouble()}</p>
            <button type="button" onClick={begin}>
              {t().camera.again}
            </button>
          </div>
        }
      >
        <p>{t().camera.hold}</p>
        {/* A camera's picture has no words to caption. */}
        <video ref={video} muted playsinline aria-label={t().camera.title} />
        <p class="scan-now">
          {!ready()
            ? t().camera.wait
            : part()
              ? t().camera.part(part()?.have ?? 0, part()?.of ?? 0)
              : t().camera.waiting}
        </p>
      </Show>
      <div role="log">
        <ul class="scan-lines">
          <For each={lines()}>
            {({ good, sentence }) => (
              <li classList={{ good }}>
                <Sign sign={good ? '✓' : '!'} /> {sentence}
              </li>
            )}
          </For>
        </ul>
      </div>
      <div class="row">
        <button type="button" onClick={() => props.onClose()}>
          {t().camera.close}
        </button>
        <span class="quiet">{t().camera.count(classList.entries().length)}</span>
      </div>
    </section>
  );
}
