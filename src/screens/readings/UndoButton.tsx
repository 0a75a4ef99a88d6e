import { Show } from 'solid-js';
import { useDesk } from '../desk.tsx';

/** Takes the latest act back; what was undone stays in the log. */
export function UndoButton() {
  const desk = useDesk();
  const latest = () => desk.state()?.undoable.at(-1);
  const undo = async (): Promise<void> => {
    const event = latest();
    if (event === undefined) return;
    if (await desk.record({ kind: 'undone', event })) desk.announce('The last act was taken back');
  };
  return (
    <Show when={latest() !== undefined}>
      <button type="button" onClick={() => void undo()}>
        Take the last act back
      </button>
    </Show>
  );
}
