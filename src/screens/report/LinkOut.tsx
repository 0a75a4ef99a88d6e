import { createMemo, createSignal, Show } from 'solid-js';
import { notebookLink, planLink } from '../../files/link.ts';
import { fitsQrCode } from '../../files/qr-text.ts';
import { withoutMembers } from '../../files/without-members.ts';
import { withoutHoles } from '../../log/notebook-json.ts';
import { useDesk } from '../desk.tsx';
import { textsOf } from '../texts.ts';
import { copyText } from './clipboard.ts';
import { linkTexts } from './link-texts.ts';
import { QrCode } from './QrCode.tsx';
import { reportTexts as t } from './texts.ts';

/** The notebook, or its run sheet alone, as a link that carries everything itself. */
export function LinkOut() {
  const desk = useDesk();
  const own = textsOf(linkTexts);
  const [what, setWhat] = createSignal<'notebook' | 'plan'>('notebook');
  const [withMembers, setWithMembers] = createSignal(false);
  const link = createMemo((): string => {
    const state = desk.state();
    const journal = desk.journal();
    if (!state || !journal) return '';
    if (what() === 'plan' && state.plan)
      return planLink(location.href, { title: state.title, plan: state.plan, setup: state.setup });
    const events = withMembers() ? journal.events() : withoutMembers(journal.events());
    return notebookLink(location.href, withoutHoles({ id: journal.id, events }));
  });
  const fits = (): boolean => fitsQrCode(link());
  const copy = async (): Promise<void> => {
    const done = await copyText(link());
    desk.announce(done === 'copied' ? t().linkCopied : t().linkNotCopied);
  };
  return (
    <details class="link-out no-print">
      <summary>{t().link}</summary>
      <p>{t().linkExplained}</p>
      <div class="row">
        <label>
          {t().linkCarries}
          <select
            value={what()}
            onChange={(event) => setWhat(event.currentTarget.value === 'plan' ? 'plan' : 'notebook')}
          >
            <option value="notebook">{t().linkNotebook}</option>
            <Show when={desk.state()?.plan}>
              <option value="plan">{t().linkPlan}</option>
            </Show>
          </select>
        </label>
        <Show when={what() === 'notebook' && desk.state()?.members}>
          <label class="beside">
            <input
              type="checkbox"
              checked={withMembers()}
              onChange={(event) => setWithMembers(event.currentTarget.checked)}
            />
            {own().withMembers}
          </label>
        </Show>
        <button type="button" class="primary" onClick={() => void copy()}>
          {t().copyLink}
        </button>
      </div>
      <p class="quiet">
        {t().characters(link().length)} {link().length > 8000 ? t().longLink : ''} {fits() ? '' : t().noQr}
      </p>
      <Show when={fits() && link()}>{(text) => <QrCode text={text()} />}</Show>
    </details>
  );
}
