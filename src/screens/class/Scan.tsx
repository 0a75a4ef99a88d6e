import { createSignal, For, onCleanup, onMount, Show } from 'solid-js';
import { makePartCollector } from '../../files/code-parts.ts';
import { Sign } from '../look/Sign.tsx';
import { pageLanguage } from '../texts.ts';
import { classList } from './class-list.ts';
import { type CodeReader, makeCodeReader } from './code-reader.ts';
import { classScreenTexts as t } from './texts.ts';

/** A line of what the camera caught, the newest first. */
interface Line {
  readonly good: boolean;
  readonly sentence: string;
}

const later = (ms: number): Promise<null> => new Promise((resolve) => setTimeout(resolve, ms, null));

/** The camera looks for one group's code after the other; each is shown as it arrives. Nothing it sees is kept. */
export default function Scan(props: { onClose: () => void }) {
  const [lines, setLines] = createSignal<readonly Line[]>([]);
  const [trouble, setTrouble] = createSignal('');
  const [part, setPart] = createSignal<{ have: number; of: number } | null>(null);
  const [ready, setReady] = createSignal(false);
  let section!: HTMLElement;
  let video!: HTMLVideoElement;
  let stream: MediaStream | null = null;
  let reader: CodeReader | null = null;
  let closed = false;
  let turns = 0;
  const collector = makePartCollector();
  /** The code that was handled last: held before the camera for longer, it is not said again. */
  let last = '';
  const say = (good: boolean, sentence: string): void => {
    setLines([{ good, sentence }, ...lines().filter((line) => line.sentence !== sentence)].slice(0, 40));
    if (good) navigator.vibrate?.(80);
  };

  const handle = async (text: string): Promise<void> => {
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

  /** @param turn of the camera's start: an earlier one still waits for its reader when the camera is started again */
  const look = async (turn: number): Promise<void> => {
    while (!closed && reader && turn === turns) {
      // A reader that does not answer must not end the search.
      const text = document.hidden ? null : await Promise.race([reader.read(video), later(5000)]);
      if (text !== null && !closed && turn === turns) await handle(text);
      await new Promise((resolve) => setTimeout(resolve, 60));
    }
  };

  const begin = async (): Promise<void> => {
    setTrouble('');
    closed = false;
    const turn = ++turns;
    try {
      const camera = { facingMode: 'environment', width: { ideal: 1280 }, height: { ideal: 720 } };
      stream = await navigator.mediaDevices.getUserMedia({ video: camera });
      if (closed) return stop();
      // Unplugged, or taken away by the person or the system.
      for (const track of stream.getTracks()) track.addEventListener('ended', () => !closed && fail(t().camera.lost));
      video.srcObject = stream;
      await video.play();
      reader = await makeCodeReader();
      setReady(true);
      if (closed) return stop();
      await look(turn);
    } catch (error) {
      const name = error instanceof DOMException ? error.name : '';
      const { denied, busy, none } = t().camera;
      if (!closed) fail(name === 'NotAllowedError' ? denied : name === 'NotReadableError' ? busy : none);
    }
  };
  onMount(() => {
    section.scrollIntoView({ block: 'nearest' });
    void begin();
  });
  const stop = (): void => {
    closed = true;
    for (const track of stream?.getTracks() ?? []) track.stop();
    reader?.close();
    stream = null;
    reader = null;
  };
  const fail = (sentence: string): void => {
    stop();
    setReady(false);
    setPart(null);
    setTrouble(sentence);
  };
  onCleanup(stop);

  return (
    <section class="scan" aria-label={t().camera.title} ref={section}>
      <Show
        when={trouble() === ''}
        fallback={
          <div class="row">
            <p role="alert">{trouble()}</p>
            <button type="button" onClick={() => void begin()}>
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
