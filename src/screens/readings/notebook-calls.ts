import { type Accessor, createMemo } from 'solid-js';
import { zeroMs } from '../../log/runs.ts';
import type { Call, NotebookState, Reading, Run } from '../../log/state.ts';
import { createRates, type Rates } from '../rates/rates-of.ts';
import { pageLanguage } from '../texts.ts';
import { groupsOf, isOpenDoubt, readingsById } from './call-list.ts';
import { type Flagged, flaggedCalls } from './flagged.ts';
import { causeText } from './SetAside.tsx';
import { readingsTexts } from './texts.ts';

/** The calls of a notebook with all that a row says of them. */
export interface NotebookCalls {
  readonly rates: Rates;
  readonly calls: Accessor<ReadonlyMap<string, Call>>;
  readonly runs: Accessor<ReadonlyMap<string, Run>>;
  readonly groups: Accessor<ReturnType<typeof groupsOf>>;
  /** Ids of the calls to look at: those in doubt, then those against which the rest of the run speaks. */
  readonly toLookAt: Accessor<readonly string[]>;
  readonly readingsOf: (call: Call) => readonly Reading[];
  /** From where the times of the call's run count, notebook time. */
  readonly zeroOf: (call: Call) => number;
  /** What the rest of the run says against it; '' where nothing. */
  readonly remarkOf: (call: string) => string;
  /** Name of its run. */
  readonly placeOf: (call: Call) => string;
}

export function createNotebookCalls(state: Accessor<NotebookState>): NotebookCalls {
  const t = readingsTexts;
  const rates = createRates(state);
  const calls = createMemo(() => new Map(state().calls.map((call) => [call.id, call])));
  const readings = createMemo(() => readingsById(state().runs));
  const runs = createMemo(() => new Map(state().runs.map((run) => [run.id, run])));
  const doubts = createMemo(() =>
    state()
      .calls.filter((call) => isOpenDoubt(call, (id) => readings().get(id)))
      .map((call) => call.id),
  );
  /** By call, as on Rates; what is in doubt anyway stands above already. */
  const flagged = createMemo(() => {
    const found = rates.found();
    return found ? flaggedCalls(found, readings(), doubts(), pageLanguage()) : new Map<string, Flagged>();
  });
  return {
    rates,
    calls,
    runs,
    groups: createMemo(() => groupsOf(state())),
    toLookAt: () => [...doubts(), ...flagged().keys()],
    readingsOf: (call) =>
      call.readings.flatMap((id) => {
        const reading = readings().get(id);
        return reading ? [reading] : [];
      }),
    zeroOf(call) {
      const run = runs().get(call.run ?? '');
      return run ? zeroMs(run) : 0;
    },
    remarkOf(call) {
      const flag = flagged().get(call);
      return flag ? t().remark(causeText(flag.cause), flag.sentence) : '';
    },
    placeOf(call) {
      const run = runs().get(call.run ?? '');
      return run ? t().run(run.label) : t().noRun;
    },
  };
}
