import { createSignal, lazy, Show, Suspense } from 'solid-js';
import { textsOf } from '../texts.ts';
import type { BenchSession } from './bench-session.ts';
import { Troubles } from './Troubles.tsx';
import { texts } from './texts.ts';

const Settings = lazy(() => import('../preferences/Settings.tsx'));

/** Whether it hears, truthfully; the one tap that opens the microphone; trouble in words. */
export function Hearing(props: { bench: BenchSession }) {
  const t = textsOf(texts);
  const bench = () => props.bench;
  const hears = () => bench().hearing();
  const [opened, setOpened] = createSignal(false);
  let state!: HTMLParagraphElement;
  const open = (): void => {
    void bench().open();
    // The button goes away: keep the focus beside it.
    queueMicrotask(() => document.activeElement === document.body && state.focus({ preventScroll: true }));
  };
  return (
    <section class="hearing" aria-label={t().hearing}>
      <p class="ear-state" role="status" tabindex="-1" ref={state}>
        <span class="lamp" classList={{ hears: hears().hears, sounding: bench().sounding() }} aria-hidden="true" />
        {hears().text}
      </p>
      <p class="room" classList={{ 'too-loud': hears().room?.tooLoud ?? false }} role="status">
        {hears().room?.text}
      </p>
      <Troubles troubles={bench().troubles()} />
      <Show when={hears().tap}>
        {(label) => (
          <button type="button" class="primary" onClick={open}>
            {label()}
          </button>
        )}
      </Show>
      <details onToggle={(event) => setOpened(opened() || event.currentTarget.open)}>
        <summary>{t().how}</summary>
        <Show when={opened()}>
          <Suspense fallback={<p class="quiet">{t().oneMoment}</p>}>
            <Settings />
          </Suspense>
        </Show>
        <Show when={hears().open}>
          <button type="button" onClick={() => bench().close()}>
            {t().closeMicrophone}
          </button>
        </Show>
      </details>
    </section>
  );
}
