import { createSignal, lazy, Show, Suspense, untrack } from 'solid-js';
import { type HandOut, handOutToJson } from '../../files/hand-out.ts';
import { planLink } from '../../files/link.ts';
import { fitsQrCode } from '../../files/qr-text.ts';
import type { Plan } from '../../log/plan.ts';
import type { Setup } from '../../log/setup.ts';
import { useDesk } from '../desk.tsx';
import { copyText } from '../report/clipboard.ts';
import { saveFile } from '../report/save-file.ts';
import { createSettled, showStored } from '../settled.ts';
import { HandOutView } from '../share-in/HandOutView.tsx';
import { textsOf } from '../texts.ts';
import { handOutTexts } from './hand-out-texts.ts';

const QrCode = lazy(async () => ({ default: (await import('../report/QrCode.tsx')).QrCode }));

const linesOf = (text: string): string[] =>
  text
    .split('\n')
    .map((line) => line.trim().slice(0, 80))
    .filter((line) => line !== '')
    .slice(0, 60);

/** The plan and all settings for others to start from, shown as they go out. */
export function HandOutPart(props: { title: string; plan: Plan; setup: Setup }) {
  const desk = useDesk();
  const t = textsOf(handOutTexts);
  const [qr, setQr] = createSignal(false);
  let groupField!: HTMLTextAreaElement;
  let questionField!: HTMLTextAreaElement;
  const classPlan = () => desk.state()?.classPlan ?? { groups: [], questions: '' };
  showStored(
    () => groupField,
    () => classPlan().groups.join('\n'),
  );
  showStored(
    () => questionField,
    () => classPlan().questions,
  );
  const handOut = (): HandOut => {
    // The caller's own timing is nobody else's.
    const { uCallMs: _u, callDelayMs: _d, ...setup } = props.setup;
    const { groups, questions } = classPlan();
    return {
      title: props.title,
      plan: props.plan,
      setup,
      ...(groups.length > 0 ? { groups } : {}),
      ...(questions === '' ? {} : { questions }),
    };
  };
  const made = (): string => planLink(location.href, handOut());
  const settled = createSettled(() => {
    const groups = linesOf(groupField.value);
    const questions = questionField.value.trim().slice(0, 4000);
    if (JSON.stringify({ groups, questions }) !== JSON.stringify(classPlan()))
      void desk.record({ kind: 'class-planned', classPlan: { groups, questions } });
  });

  const copy = async (): Promise<void> => {
    settled.flush();
    const done = await copyText(made());
    desk.announce(done === 'copied' ? t().copied : t().copyFromField);
  };
  const save = (): void => {
    const name = props.title.replace(/[^\p{L}\p{N} _-]+/gu, '').trim() || t().sheet;
    saveFile(`${name}.plan.json`, handOutToJson(handOut()), 'application/json');
  };

  return (
    <section class="hand-out no-print" aria-labelledby="hand-out">
      <h2 id="hand-out">{t().heading}</h2>
      <p class="quiet">{t().about}</p>
      <details open={untrack(() => classPlan().groups.length > 0 || classPlan().questions !== '')}>
        <summary>{t().groupsAndQuestions}</summary>
        <form
          class="row"
          onInput={settled.touch}
          onFocusOut={settled.flush}
          onSubmit={(event) => event.preventDefault()}
        >
          <label>
            {t().groups}
            <textarea name="groups" rows="4" ref={groupField} />
          </label>
          <label>
            {t().questions}
            <textarea name="questions" rows="4" ref={questionField} />
          </label>
        </form>
      </details>
      <p class="row">
        <button type="button" onClick={() => void copy()}>
          {t().copy}
        </button>
        <button type="button" aria-expanded={qr()} onClick={() => setQr(!qr())}>
          {t().qr}
        </button>
        <button type="button" onClick={save}>
          {t().file}
        </button>
      </p>
      <label class="wide">
        {t().link}
        <input readonly value={made()} onFocus={(event) => event.currentTarget.select()} />
      </label>
      <Show when={qr()}>
        <Show when={fitsQrCode(made())} fallback={<p class="problem">{t().tooLong}</p>}>
          <Suspense>
            <QrCode text={made()} />
          </Suspense>
        </Show>
      </Show>
      <details>
        <summary>{t().carries}</summary>
        <HandOutView handOut={handOut()} />
      </details>
    </section>
  );
}
