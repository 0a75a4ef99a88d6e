import { createResource, createSignal, onCleanup, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { readingsTexts as t } from './texts.ts';

/** The sound of a call. It plays by itself when its row is reached, where the browser allows. */
export function ClipPlayer(props: { call: string }) {
  const desk = useDesk();
  let address: string | null = null;
  let played = false;
  const release = (): void => {
    if (address) URL.revokeObjectURL(address);
    address = null;
  };
  onCleanup(release);
  const [refused, setRefused] = createSignal(false);
  const [source] = createResource(
    () => props.call,
    async (call) => {
      release();
      const journal = desk.journal();
      const clip = journal && (await desk.store.getClip(journal.id, call).catch(() => undefined));
      if (!clip) return null;
      address = URL.createObjectURL(clip);
      return address;
    },
  );
  return (
    <Show when={!source.loading} fallback={<p class="quiet">…</p>}>
      <Show when={source()} fallback={<p class="quiet">{t().noSound}</p>}>
        {(from) => (
          <p class="clip">
            {/* biome-ignore lint/a11y/useMediaCaption: what was heard of it stands beside it as text */}
            <audio
              controls
              src={from()}
              aria-label={t().sound}
              // Refused until the person has touched the page: then the control is there to press.
              onCanPlay={(event) => {
                if (played) return;
                played = true;
                event.currentTarget.play().catch(() => setRefused(true));
              }}
            />
            <Show when={refused()}>
              <span class="quiet">{t().pressPlay}</span>
            </Show>
          </p>
        )}
      </Show>
    </Show>
  );
}
