import { createEffect, createMemo, createSignal, onCleanup, Show } from 'solid-js';
import { codeParts } from '../../files/code-parts.ts';
import { readableLink } from '../../files/link.ts';
import { withoutMembers } from '../../files/without-members.ts';
import { withoutHoles } from '../../log/notebook-json.ts';
import type { SvgNode } from '../../results/svg.ts';
import { useDesk } from '../desk.tsx';
import { textsOf } from '../texts.ts';
import { Drawing } from './Drawing.tsx';
import { linkTexts } from './link-texts.ts';
import { qrDrawing } from './QrCode.tsx';

/** How long each of several codes stands, ms: a camera looks at some ten pictures in that time. */
const eachMs = 700;

/** A button that shows the notebook as codes, as large as the screen allows, for the camera of the class. */
export function ResultCode() {
  const t = textsOf(linkTexts);
  const [shown, setShown] = createSignal(false);
  return (
    <>
      <button type="button" onClick={() => setShown(true)}>
        {t().showCode}
      </button>
      <Show when={shown()}>
        <Codes onClose={() => setShown(false)} />
      </Show>
    </>
  );
}

function Codes(props: { onClose: () => void }) {
  const desk = useDesk();
  const t = textsOf(linkTexts);
  const parts = createMemo(() => {
    const journal = desk.journal();
    if (!journal) return null;
    const notebook = withoutHoles({ id: journal.id, events: withoutMembers(journal.events()) });
    const link = readableLink(location.href, notebook);
    return link === null ? null : codeParts(link);
  });
  const count = (): number => parts()?.length ?? 0;
  const [drawings, setDrawings] = createSignal<readonly SvgNode[]>([]);
  createEffect(() => {
    const list = parts() ?? [];
    void Promise.all(list.map((part, i) => qrDrawing(part, t().part(i + 1, list.length)))).then((made) =>
      setDrawings(made.map(({ drawing }) => drawing)),
    );
  });
  const [turn, setTurn] = createSignal(0);
  const timer = setInterval(() => setTurn(turn() + 1), eachMs);
  onCleanup(() => clearInterval(timer));
  const at = (): number => (count() > 0 ? turn() % count() : 0);
  const name = (): string => desk.state()?.group || desk.state()?.title || '';
  return (
    <dialog
      class="result-code"
      aria-label={t().codeTitle}
      ref={(dialog) => queueMicrotask(() => dialog.showModal())}
      onClose={() => props.onClose()}
    >
      <p class="result-code-name">{name()}</p>
      <Show when={parts()} fallback={<p>{t().tooLarge}</p>}>
        <p>{count() > 1 ? t().inTurn(count()) : t().hold}</p>
        <Show when={drawings()[at()]} fallback={<p>{t().drawing}</p>}>
          {(drawing) => <Drawing drawing={drawing()} class="qr" />}
        </Show>
        <Show when={count() > 1}>
          <p>{t().part(at() + 1, count())}</p>
        </Show>
      </Show>
      <button type="button" onClick={() => props.onClose()}>
        {t().close}
      </button>
    </dialog>
  );
}
