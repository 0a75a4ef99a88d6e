import type { ParentProps } from 'solid-js';

/** A table that may be wider than the page: it scrolls by itself, with the keyboard too. */
export function ScrollRegion(props: ParentProps<{ label: string }>) {
  return (
    <section class="table-scroll" aria-label={props.label} tabindex="0">
      {props.children}
    </section>
  );
}
