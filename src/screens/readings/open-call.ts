import { type Accessor, createEffect, createMemo, createSignal } from 'solid-js';
import type { NotebookState, Run } from '../../log/state.ts';
import { createRoute, unescaped } from '../route.ts';
import type { NotebookCalls } from './notebook-calls.ts';

/** Which call is open, in which of the lists it stands in, and which run's curve is beside it. */
export interface OpenCall {
  /** The call that the address names; null: none. */
  readonly wanted: Accessor<string | null>;
  readonly shownRun: Accessor<Run | null>;
  isOpen(call: string, list: string): boolean;
  /** true where the open call is one of the run's; null: of those outside runs. */
  isIn(run: string | null): boolean;
  toggle(call: string, list: string): void;
  /** Opens it beside its curve, which stays. */
  pick(call: string, list: string): void;
  chooseRun(run: string | null): void;
}

export function createOpenCall({ calls, runs }: NotebookCalls, state: Accessor<NotebookState>): OpenCall {
  const route = createRoute();
  const [open, setOpen] = createSignal<{ call: string; list: string } | null>(null);
  const [chosenRun, setChosenRun] = createSignal<string | null>(null);
  const openRun = (): string | null | undefined => calls().get(open()?.call ?? '')?.run;
  const wanted = (): string | null => {
    const [call] = route().rest;
    return call ? unescaped(call) : null;
  };
  createEffect(() => {
    const call = calls().get(wanted() ?? '');
    if (call) setOpen({ call: call.id, list: call.run ?? 'outside' });
  });
  const isOpen = (call: string, list: string): boolean => open()?.call === call && open()?.list === list;
  return {
    wanted,
    isOpen,
    isIn: (run) => openRun() === run,
    shownRun: createMemo(() => runs().get(chosenRun() ?? openRun() ?? '') ?? state().runs.at(-1) ?? null),
    toggle(call, list) {
      setOpen(isOpen(call, list) ? null : { call, list });
      setChosenRun(null);
    },
    pick: (call, list) => setOpen({ call, list }),
    chooseRun: setChosenRun,
  };
}
