import { onCleanup, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { keepCopy } from './keep-copy.ts';
import './practice.css';
import { texts } from './texts.ts';

/** On every screen while the example or a rehearsal is open: what it is, and the way out. Colours the page, too. */
export function PracticeBand(props: { kind: 'example' | 'rehearsal' }) {
  const desk = useDesk();
  const t = textsOf(texts);
  document.documentElement.dataset.practice = '';
  onCleanup(() => delete document.documentElement.dataset.practice);
  const isExample = () => props.kind === 'example';
  const leave = async (): Promise<void> => {
    const said = isExample() ? t().leftExample : t().leftRehearsal;
    await desk.leave();
    location.hash = hrefOf(desk.state() ? 'bench' : 'start');
    desk.announce(said);
  };
  return (
    <section class="practice-band no-print" aria-label={isExample() ? t().example : t().rehearsal}>
      <p>
        <strong>{isExample() ? t().example : t().rehearsal}</strong>
        <span>: {isExample() ? t().exampleIs : t().rehearsalIs}</span>
      </p>
      <Show when={isExample()}>
        <button type="button" aria-label={t().copy} onClick={() => void keepCopy(desk)}>
          {t().copyShort}
          <span>{t().copy.slice(t().copyShort.length)}</span>
        </button>
      </Show>
      <button type="button" onClick={() => void leave()}>
        {isExample() ? t().leaveExample : t().leaveRehearsal}
      </button>
    </section>
  );
}

export default PracticeBand;
