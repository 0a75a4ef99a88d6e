import { type Accessor, createEffect, createMemo, createSignal, on } from 'solid-js';
import type { EventBody } from '../../log/event.ts';
import type { Plan } from '../../log/plan.ts';
import type { Desk } from '../desk.tsx';
import { createSettled } from '../settled.ts';

export interface PlanDraft {
  /** The plan with the changes of the last moment, or null before there is one. */
  readonly plan: Accessor<Plan | null>;
  change(next: (plan: Plan) => Plan): void;
  replace(plan: Plan): void;
  /** Records what has not been recorded yet. */
  flush(): void;
  /** Takes back the last recorded change of this sheet (plan or set-up). */
  undo(): void;
  /** What `undo` would take back; null when nothing. */
  undoes(): 'sheet' | 'setup' | null;
}

/**
 * The plan being written. Quick changes are gathered into one `planned` event, so that the history reads as a person
 * would tell it; leaving the sheet or the page records at once.
 */
export function createPlanDraft(desk: Desk): PlanDraft {
  const [plan, setPlan] = createSignal<Plan | null>(desk.state()?.plan ?? null);
  const settled = createSettled(() => {
    const current = plan();
    if (current && desk.journal()) void desk.record({ kind: 'planned', plan: current });
  });
  const { flush } = settled;
  const replace = (next: Plan): void => {
    setPlan(next);
    settled.touch();
  };

  // Another hand on the plan (an undo, another notebook): it wins unless something here waits to be recorded.
  // A memo: another event (a set-up) while ours is on its way to the disk is no change of the plan.
  const recordedPlan = createMemo(() => desk.state()?.plan);
  createEffect(
    on(
      recordedPlan,
      (recorded) => {
        if (!settled.waiting()) setPlan(recorded ?? null);
      },
      { defer: true },
    ),
  );
  const latest = (): string | undefined => {
    const kinds = new Map(
      desk
        .journal()
        ?.events()
        .map((event) => [event.id, event.body.kind]),
    );
    const own: ReadonlySet<EventBody['kind'] | undefined> = new Set(['planned', 'set-up']);
    return desk.state()?.undoable.findLast((event) => own.has(kinds.get(event)));
  };

  return {
    plan,
    change(next) {
      const current = plan();
      if (current) replace(next(current));
    },
    replace,
    flush,
    undo() {
      flush();
      const event = latest();
      if (event !== undefined) void desk.record({ kind: 'undone', event });
    },
    undoes() {
      if (settled.waiting()) return 'sheet';
      const event = latest();
      const at = desk.state()?.undoable.indexOf(event ?? '') ?? -1;
      if (at < 0) return null;
      return desk.state()?.acts[at]?.kind === 'set-up' ? 'setup' : 'sheet';
    },
  };
}
