import { createEffect, onCleanup } from 'solid-js';
import type { Session } from '../../bench/session.ts';
import { mayInterrupt, warningsOf } from '../../bench/warnings.ts';
import { catalogue, dayLanguage, type PageLanguage } from '../../language/page-language.ts';
import type { Journal } from '../../log/journal.ts';
import { openRunOf } from '../../log/runs.ts';
import { preferences } from '../preferences/device.ts';

const texts = catalogue(
  { clock: 'The device slept, or its clock was set: times before and after it may not fit together' },
  {
    clock:
      'Das Gerät schlief, oder seine Uhr wurde gestellt: die Zeiten davor und danach passen vielleicht nicht zusammen',
  },
);
const language = (): PageLanguage => dayLanguage(preferences().language);

/** Looks at the run once a second and says, once per run and after the last answer was read, what is not as it should be. */
export function watchRun(journal: Journal, session: Session): void {
  const said = new Set<string>();
  const timer = setInterval(() => {
    const state = journal.state();
    const run = openRunOf(state);
    if (!run || state.paused || !mayInterrupt(session.view().exchange, journal.now())) return;
    const joint = state.joints.findLast(({ atMs }) => atMs > run.startedMs);
    if (joint && joint.why !== 'reload' && !said.has(`${run.id} clock ${joint.atMs}`)) {
      said.add(`${run.id} clock ${joint.atMs}`);
      session.tell({ tone: 'trouble', text: texts[language()].clock });
      return;
    }
    for (const warning of warningsOf(run, journal.now(), language())) {
      const key = `${run.id} ${warning.kind}`;
      if (said.has(key)) continue;
      said.add(key);
      session.tell({ tone: 'trouble', text: warning.text });
      // The next one waits until this one has been read.
      return;
    }
  }, 1000);
  createEffect(() => onCleanup(() => clearInterval(timer)));
}
