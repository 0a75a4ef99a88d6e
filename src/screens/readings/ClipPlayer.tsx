import { createResource, createSignal, onCleanup, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';

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
      <Show when={source()} fallback={<p class="quiet">The sound of this call is not kept on this device.</p>}>
        {(from) => (
          <p class="clip">
            {/* biome-ignore lint/a11y/useMediaCaption: what was heard of it stands beside it as text */}
            <audio
              controls
              src={from()}
              aria-label="Sound of this call"
              // Refused until the person has touched the page: then the control is there to press.
              onCanPlay={(event) => {
                if (played) return;
                played = true;
                event.currentTarget.play().catch(() => setRefused(true));
              }}
            />
            <Show when={refused()}>
              <span class="quiet">Press play to listen.</span>
            </Show>
          </p>
        )}
      </Show>
    </Show>
  );
}
