import { createEffect, ErrorBoundary, type JSX, on } from 'solid-js';
import { containedTexts } from './contained-texts.ts';
import { useDesk } from './desk.tsx';
import { saveRaw } from './save-raw.ts';
import { textsOf } from './texts.ts';

/**
 * Keeps a failure where it happens: what fails inside is shown as failed, with ways out, and everything beside it goes
 * on. Tries again when the notebook changes.
 */
export function Contained(props: {
  /** What fails, in words: "Run 2". */
  what: string;
  /** Deletes it, where that can be done. */
  onDelete?: () => void;
  /** The notebook that the file holds; the open one where it is left out. */
  notebook?: { readonly id: string; readonly title: string };
  children: JSX.Element;
}) {
  return (
    <ErrorBoundary
      fallback={(error, reset) => {
        const desk = useDesk();
        createEffect(on(desk.state, reset, { defer: true }));
        return <Failed {...props} why={error instanceof Error ? error.message : String(error)} />;
      }}
    >
      {props.children}
    </ErrorBoundary>
  );
}

function Failed(props: {
  what: string;
  why: string;
  onDelete?: () => void;
  notebook?: { readonly id: string; readonly title: string };
}) {
  const desk = useDesk();
  const t = textsOf(containedTexts);
  const save = (): void => {
    const id = props.notebook?.id ?? desk.journal()?.id;
    if (id) void saveRaw(desk.store, id, props.notebook?.title ?? desk.state()?.title ?? '');
  };
  return (
    <div class="problem" role="alert">
      <p>{t().failed(props.what, props.why.slice(0, 200))}</p>
      <p class="row">
        <button type="button" onClick={save}>
          {t().save}
        </button>
        {props.onDelete && (
          <button type="button" class="danger" onClick={() => props.onDelete?.()}>
            {t().remove(props.what)}
          </button>
        )}
      </p>
    </div>
  );
}
