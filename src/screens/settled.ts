import { createEffect, createMemo, onCleanup } from 'solid-js';

/** How long a form waits for the next keystroke before it saves, ms. */
const settleMs = 700;

export interface Settled {
  /** Something was typed: save when it comes to rest. */
  touch(): void;
  /** Saves now what waits to be saved. */
  flush(): void;
  /** Whether something waits. */
  waiting(): boolean;
}

/**
 * The one rule by which forms save: as one types, after a moment of rest; at once when the field, the screen or the page is
 * left. Quick changes become one event, so that one undo takes them back.
 */
export function createSettled(save: () => void, afterMs = settleMs): Settled {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const flush = (): void => {
    if (timer === undefined) return;
    clearTimeout(timer);
    timer = undefined;
    save();
  };
  const onHide = (): void => {
    if (document.visibilityState === 'hidden') flush();
  };
  document.addEventListener('visibilitychange', onHide);
  addEventListener('pagehide', flush);
  onCleanup(() => {
    document.removeEventListener('visibilitychange', onHide);
    removeEventListener('pagehide', flush);
    flush();
  });
  return {
    touch() {
      clearTimeout(timer);
      timer = setTimeout(flush, afterMs);
    },
    flush,
    waiting: () => timer !== undefined,
  };
}

/**
 * Shows a stored value in a field: when that very value changes, and not while the field has the focus. What is being typed,
 * here or in the field beside it, is never written over by what was saved a moment ago.
 */
export function showStored(field: () => HTMLInputElement | HTMLTextAreaElement, value: () => string): void {
  const stored = createMemo(value);
  createEffect(() => {
    const text = stored();
    if (document.activeElement !== field()) field().value = text;
  });
}
