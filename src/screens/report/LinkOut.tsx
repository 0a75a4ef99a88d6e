import { createMemo, createSignal, Show } from 'solid-js';
import { planLink, readableLink } from '../../files/link.ts';
import { fitsQrCode } from '../../files/qr-text.ts';
import { withoutMembers } from '../../files/without-members.ts';
import { notebookToJson, withoutHoles } from '../../log/notebook-json.ts';
import { useDesk } from '../desk.tsx';
import { textsOf } from '../texts.ts';
import { copyText } from './clipboard.ts';
import { linkTexts } from './link-texts.ts';
import { QrCode } from './QrCode.tsx';
import { fileStem, saveFile } from './save-file.ts';
import { reportTexts as t } from './texts.ts';

/** The notebook, or its run sheet alone, as a link that carries everything itself. */
export function LinkOut() {
  const desk = useDesk();
  const own = textsOf(linkTexts);
  const [what, setWhat] = createSignal<'notebook' | 'plan'>('notebook');
  const [withMembers, setWithMembers] = createSignal(false);
  const [opened, setOpened] = createSignal(false);
  const notebook = () => {
    const journal = desk.journal();
    if (!journal) throw new Error('a link needs an open notebook');
    const events = withMembers() ? journal.events() : withoutMembers(journal.events());
    return withoutHoles({ id: journal.id, events });
  };
  /** Null where the notebook is too large for one. */
  const link = createMemo((): string | null => {
    const state = desk.state();
    if (!opened() || !state) return '';
    if (what() === 'plan' && state.plan)
      return planLink(location.href, { title: state.title, plan: state.plan, setup: state.setup });
    return readableLink(location.href, notebook());
  });
  const copy = async (text: string): Promise<void> => {
    const done = await copyText(text);
    desk.announce(done === 'copied' ? t().linkCopied : t().linkNotCopied);
  };
  const save = (): void =>
    saveFile(`${fileStem(desk.state()?.title ?? '')}.json`, notebookToJson(notebook()), 'application/json');
  return (
    <details class="link-out no-print" onToggle={(event) => setOpened(opened() || event.currentTarget.open)}>
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
      </div>
      <Show
        when={link() !== null}
        fallback={
          <div class="row">
            <p>{own().noLink}</p>
            <button type="button" class="primary" onClick={save}>
              {own().saveNotebook}
            </button>
          </div>
        }
      >
        <Show when={link()}>{(ready) => <Ready link={ready()} onCopy={copy} />}</Show>
      </Show>
    </details>
  );
}

function Ready(props: { link: string; onCopy: (link: string) => Promise<void> }) {
  const fits = (): boolean => fitsQrCode(props.link);
  return (
    <>
      <button type="button" class="primary" onClick={() => void props.onCopy(props.link)}>
        {t().copyLink}
      </button>
      <p class="quiet">
        {t().characters(props.link.length)} {props.link.length > 8000 ? t().longLink : ''} {fits() ? '' : t().noQr}
      </p>
      <Show when={fits()}>
        <QrCode text={props.link} />
      </Show>
    </>
  );
}
