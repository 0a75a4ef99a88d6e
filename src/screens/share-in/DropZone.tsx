import { createSignal, type JSX } from 'solid-js';

/** A section that files can be dropped on; the class `over` shows it while something is held above it. */
export function DropZone(props: {
  class: string;
  /** Its name: in words, or the id of the heading that says it. */
  label?: string;
  labelledBy?: string;
  onFiles: (files: FileList | undefined) => void;
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
        props.onFiles(event.dataTransfer?.files);
      }}
    >
      {props.children}
    </section>
  );
}
