import type { EventBody } from '../../log/event.ts';
import type { NotebookState } from '../../log/state.ts';

/** Whether an event brings something new from a bench; moving and mending what is there does not. */
export function isMeasured(body: EventBody, state: Pick<NotebookState, 'calls'>): boolean {
  switch (body.kind) {
    case 'run-started':
    case 'happened':
    case 'baseline':
    case 'temperature':
    case 'note':
      return true;
    case 'poured':
      return body.replaces === undefined;
    case 'called':
      return !state.calls.some(({ id }) => id === body.call);
    default:
      return false;
  }
}
