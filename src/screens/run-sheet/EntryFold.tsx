import type { ParentProps } from 'solid-js';
import { local } from '../texts.ts';

/** A bottle, a dilution or a run: one line, its fields one tap away. */
export function EntryFold(props: ParentProps<{ name: string; brief: string }>) {
  return (
    <details class="entry" aria-label={props.name}>
      <summary>
        {props.name} <span class="brief">{local(props.brief)}</span>
      </summary>
      {props.children}
    </details>
  );
}

/** Opens what was just added, with the focus on its first field. */
export function openNewest(section: HTMLElement): void {
  queueMicrotask(() => {
    const newest = [...section.querySelectorAll<HTMLDetailsElement>('details.entry')].at(-1);
    if (!newest) return;
    newest.open = true;
    newest.querySelector<HTMLElement>('input, select')?.focus();
  });
}
