import { type Accessor, createSignal, onCleanup, onMount } from 'solid-js';
import type { Meaning } from '../../log/meaning.ts';
import { textsOf } from '../texts.ts';
import type { BenchSession } from './bench-session.ts';
import { type KeyContext, type KeyState, noKeys, pressKey } from './keys.ts';
import { texts } from './texts.ts';

/** The bench worked by keys, anywhere on its screen. */
export interface BenchKeys {
  /** The number that is being typed. */
  readonly typed: Accessor<KeyState>;
  /** What a key or a button means; at a page time, ms, else now. */
  press(meaning: Meaning, atMs?: number): void;
}

/** @param off no key does anything while this is true */
export function createBenchKeys(bench: BenchSession, context: Accessor<KeyContext>, off: Accessor<boolean>): BenchKeys {
  const t = textsOf(texts);
  const [typed, setTyped] = createSignal(noKeys);
  const press = (meaning: Meaning, atMs = performance.now()): void => void bench.session.press(meaning, atMs);
  const onKey = (event: KeyboardEvent): void => {
    if (off() || event.ctrlKey || event.altKey || event.metaKey || isTyping(event.target)) return;
    // After a click on the menu the focus is still there: Enter ends the number that was typed, and follows no link.
    const endsNumber = event.key === 'Enter' && typed().digits !== '';
    if (isPressable(event.target) && !endsNumber && (event.key === ' ' || event.key === 'Enter')) return;
    const outcome = pressKey(event.key, event.timeStamp, typed(), context());
    if (!outcome) return;
    event.preventDefault();
    if (event.repeat) return;
    setTyped(outcome.state);
    if (outcome.meaning) press(outcome.meaning, outcome.atMs);
    const { refused } = outcome;
    if (refused) {
      const text = 'tooLong' in refused ? t().longest(refused.tooLong) : t().noNumber[refused.noNumberFor];
      bench.session.tell({ tone: 'unresolved', text, shown: text });
    }
    if (outcome.undo) void bench.session.undo();
  };
  onMount(() => addEventListener('keydown', onKey));
  onCleanup(() => removeEventListener('keydown', onKey));
  return { typed, press };
}

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable ||
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && target.type !== 'checkbox' && target.type !== 'radio'));

const isPressable = (target: EventTarget | null): boolean =>
  target instanceof Element && target.closest('button, a, summary, input') !== null;
