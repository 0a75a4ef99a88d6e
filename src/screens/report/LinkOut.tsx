import { createMemo, createSignal, Show } from 'solid-js';
import { notebookLink, planLink, qrCapacity } from '../../files/link.ts';
import { withoutHoles } from '../../log/file.ts';
import { useDesk } from '../desk.tsx';
import { copyText } from './clipboard.ts';
import { QrCode } from './QrCode.tsx';

/** The notebook, or its run sheet alone, as a link that carries everything itself. */
export function LinkOut() {
  const desk = useDesk();
  const [what, setWhat] = createSignal<'notebook' | 'plan'>('notebook');
  const link = createMemo((): string => {
    const state = desk.state();
    const journal = desk.journal();
    if (!state || !journal) return '';
    if (what() === 'plan' && state.plan)
      return planLink(location.href, { title: state.title, plan: state.plan, setup: state.setup });
    return notebookLink(location.href, withoutHoles({ id: journal.id, events: journal.events() }));
  });
  const fits = (): boolean => link().length <= qrCapacity;
  const copy = async (): Promise<void> => {
    const done = await copyText(link());
    desk.announce(done === 'copied' ? 'The link is copied.' : 'The browser did not allow copying.');
  };
  return (
    <details class="link-out no-print">
      <summary>Link and QR code</summary>
      <p>
        The link carries everything in itself, after the # sign, which browsers keep to themselves: nothing is stored
        anywhere else. Whoever has the link can read the notebook. Sound clips are not in it.
      </p>
      <div class="row">
        <label>
          The link carries
          <select
            value={what()}
            onChange={(event) => setWhat(event.currentTarget.value === 'plan' ? 'plan' : 'notebook')}
          >
            <option value="notebook">the whole notebook</option>
            <Show when={desk.state()?.plan}>
              <option value="plan">the run sheet only, for others to start from</option>
            </Show>
          </select>
        </label>
        <button type="button" class="primary" onClick={() => void copy()}>
          Copy the link
        </button>
      </div>
      <p class="quiet">
        {link().length.toLocaleString('en')} characters.{' '}
        {link().length > 8000 ? 'Some mail and chat programs cut links as long as this; a file is safer. ' : ''}
        {fits() ? '' : `Too long for a QR code, which holds ${qrCapacity} at most: use the link, or the file.`}
      </p>
      <Show when={fits() && link()}>{(text) => <QrCode text={text()} />}</Show>
    </details>
  );
}
