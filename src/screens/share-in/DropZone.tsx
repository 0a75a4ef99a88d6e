import { createSignal, type JSX } from 'solid-js';

/** A file that was dropped; `blob` is null for a folder, which browsers hand out as a file that cannot be read. */
export interface Dropped {
  readonly name: string;
  readonly blob: Blob | null;
}

function droppedOn(transfer: DataTransfer | null): Dropped[] {
  return [...(transfer?.items ?? [])].flatMap((item) => {
    const file = item.kind === 'file' ? item.getAsFile() : null;
    if (!file) return [];
    return [{ name: file.name, blob: item.webkitGetAsEntry?.()?.isDirectory ? null : file }];
  });
}

/** A section that files can be dropped on; the class `over` shows it while something is held above it. */
export function DropZone(props: {
  class: string;
  /** Its name: in words, or the id of the heading that says it. */
  label?: string;
  labelledBy?: string;
  onFiles: (dropped: readonly Dropped[]) => void;
  children: JSX.Element;
}) {
  const [over, setOver] = createSignal(false);
  return (
    <section
      class={props.class}
      classList={{ over: over() }}
      aria-label={props.label}
      aria-labelledby={props.labelledBy}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        props.onFiles(droppedOn(event.dataTransfer));
      }}
    >
      {props.children}
    </section>
  );
}
