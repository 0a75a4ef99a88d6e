import type { Accessor } from 'solid-js';
import type { NotebookState } from '../log/state.ts';
import type { Desk } from './desk.tsx';

/**
 * State of the open notebook for a screen that needs one. While another window takes the notebook over the screen is
 * still there for a moment: it then keeps showing what it last had.
 */
export function stateOf(desk: Pick<Desk, 'state'>): Accessor<NotebookState> {
  let last = desk.state();
  return () => {
    last = desk.state() ?? last;
    if (!last) throw new Error('this screen needs an open notebook');
    return last;
  };
}
