import { createEffect, onCleanup } from 'solid-js';
import type { Session } from '../../bench/session.ts';
import { makeWarner, warningsOf } from '../../bench/warnings.ts';
import { catalogue } from '../../language/page-language.ts';
import type { Journal } from '../../log/journal.ts';
import { openRunOf } from '../../log/runs.ts';
import { pageLanguage } from '../texts.ts';

const texts = catalogue(
  { clock: 'The device slept, or its clock was set: times before and after it may not fit together' },
  {
    clock:
      'Das Gerät schlief, oder seine Uhr wurde gestellt: die Zeiten davor und danach passen vielleicht nicht zusammen',
  },
);

/** Looks at the run once a second and says, once per run and between the answers, what is not as it should be. */
export function watchRun(journal: Journal, session: Session): void {
  const warner = makeWarner();
  const timer = setInterval(() => {
    const state = journal.state();
    const run = openRunOf(state);
    if (!run || state.paused) return;
    const joint = state.joints.findLast(({ atMs }) => atMs > run.startedMs);
    const slept = joint && joint.why !== 'reload';
    const text = warner(
      [
        ...(slept ? [{ key: `${run.id} clock ${joint.atMs}`, text: texts[pageLanguage()].clock, urgent: true }] : []),
        ...warningsOf(run, journal.now(), pageLanguage()).map(({ kind, text }) => ({ key: `${run.id} ${kind}`, text })),
      ],
      session.view().exchange,
      journal.now(),
    );
    if (text !== null) session.tell({ tone: 'trouble', text, shown: text });
  }, 1000);
  createEffect(() => onCleanup(() => clearInterval(timer)));
}
