import { createSignal, Show } from 'solid-js';
import { type HandOut, handOutToJson } from '../../files/hand-out.ts';
import { planLink } from '../../files/link.ts';
import type { Plan } from '../../log/plan.ts';
import type { Setup } from '../../log/setup.ts';
import { useDesk } from '../desk.tsx';

/** The plan alone, for others to start from: whoever opens it gets a new notebook with this run sheet filled in. */
export function HandOutPart(props: { title: string; plan: Plan; setup: Setup }) {
  const desk = useDesk();
  const [link, setLink] = createSignal<string | null>(null);
  const handOut = (): HandOut => {
    // The caller's own timing is nobody else's.
    const { uCallMs: _u, callDelayMs: _d, ...setup } = props.setup;
    return { title: props.title, plan: props.plan, setup };
  };

  const copy = async (): Promise<void> => {
    const made = planLink(location.href, handOut());
    setLink(made);
    try {
      await navigator.clipboard.writeText(made);
      desk.announce('The link is copied');
    } catch {
      desk.announce('The link is in the field: copy it from there');
    }
  };
  const save = (): void => {
    const url = URL.createObjectURL(new Blob([handOutToJson(handOut())], { type: 'application/json' }));
    const anchor = document.createElement('a');
    anchor.href = url;
    anchor.download = `${props.title.replace(/[^\p{L}\p{N} _-]+/gu, '').trim() || 'run sheet'}.plan.json`;
    anchor.click();
    setTimeout(() => URL.revokeObjectURL(url), 10_000);
  };

  return (
    <section aria-labelledby="hand-out">
      <h2 id="hand-out">Hand it out</h2>
      <p class="quiet">
        A link or a file with this run sheet alone, no readings in it. Opening it starts a notebook with the plan filled
        in. The link carries the plan itself; nothing is stored anywhere.
      </p>
      <p class="row">
        <button type="button" onClick={() => void copy()}>
          Copy the link
        </button>
        <button type="button" onClick={save}>
          Save as a file
        </button>
      </p>
      <Show when={link()}>
        {(made) => (
          <label class="wide">
            The link
            <input readonly value={made()} onFocus={(event) => event.currentTarget.select()} />
          </label>
        )}
      </Show>
    </section>
  );
}
