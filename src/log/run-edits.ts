import { changeRun, type Draft, insertByTime } from './draft.ts';
import type { EventOf, NotebookEvent } from './event.ts';
import type { Reading, TimedEvent } from './state.ts';

type RunEdit = EventOf<'run-renamed' | 'run-removed' | 'run-returned' | 'run-split' | 'run-joined' | 'runs-ordered'>;

/** What a person does to whole runs at the desk. An edit of a run that is not there changes nothing. */
export function editRuns(draft: Draft, body: RunEdit): void {
  if (body.kind === 'runs-ordered') order(draft, body);
  else if (body.kind === 'run-split') split(draft, body);
  else if (body.kind === 'run-joined') join(draft, body);
  else {
    if (body.kind === 'run-removed' && draft.openRun === body.run) draft.openRun = null;
    changeRun(draft, body.run, (entry) => {
      if (body.kind === 'run-renamed') entry.run = { ...entry.run, label: body.label };
      else if (body.kind === 'run-removed') entry.removed = { how: body.how, why: body.why };
      else delete entry.removed;
    });
  }
}

function order(draft: Draft, { runs }: EventOf<'runs-ordered'>): void {
  const named = runs.flatMap((id) => {
    const entry = draft.runs.get(id);
    return entry ? [[id, entry] as const] : [];
  });
  draft.runs = new Map([...named, ...draft.runs]);
}

/** Calls, readings and what happened, from the call of a reading on, go to a run of their own, placed after the first. */
function split(draft: Draft, { run, at, into, label }: EventOf<'run-split'>): void {
  const entry = draft.runs.get(run);
  const first = draft.readings.get(at);
  if (!entry || !first || first.run !== run || draft.runs.has(into)) return;
  const { timeMs } = first;
  const { startedMs: _s, label: _l, id: _i, ...rest } = entry.run;
  const runs = [...draft.runs];
  runs.splice(runs.findIndex(([id]) => id === run) + 1, 0, [
    into,
    {
      run: { ...rest, id: into, label, startedMs: timeMs, estimator: null },
      readings: [],
      timed: [],
      value: null,
    },
  ]);
  draft.runs = new Map(runs);
  move(draft, run, into, timeMs);
  const last = entry.readings.map((id) => draft.readings.get(id)?.timeMs ?? timeMs).at(-1);
  entry.run = { ...entry.run, endedMs: last ?? timeMs };
  entry.value = null;
  if (draft.openRun === run) draft.openRun = into;
}

function join(draft: Draft, { run, into }: EventOf<'run-joined'>): void {
  const from = draft.runs.get(run);
  const to = draft.runs.get(into);
  if (!from || !to || run === into) return;
  const ends = [from.run.endedMs, to.run.endedMs];
  const { entered: _, ...rest } = to.run;
  const alike =
    from.run.entered?.stated === to.run.entered?.stated && from.run.entered?.timing === to.run.entered?.timing;
  to.run = {
    ...rest,
    ...(alike && to.run.entered ? { entered: to.run.entered } : {}),
    startedMs: Math.min(from.run.startedMs, to.run.startedMs),
    endedMs: ends.includes(null) ? null : Math.max(...ends.map(Number)),
    estimator: null,
  };
  move(draft, run, into, Number.NEGATIVE_INFINITY);
  // The seconds of two files count from different moments: what is left is the notebook's own time.
  for (const id of to.readings) {
    const whole = draft.readings.get(id);
    if (!whole) continue;
    const { enteredS: _s, ...reading } = whole;
    draft.readings.set(id, reading);
  }
  draft.runs.delete(run);
  to.value = null;
  if (draft.openRun === run) draft.openRun = into;
}

/** Moves what one run has from a moment on into another. */
function move(draft: Draft, from: string, into: string, sinceMs: number): void {
  const source = draft.runs.get(from);
  const target = draft.runs.get(into);
  if (!source || !target) return;
  const timeOf = (id: string): number => draft.readings.get(id)?.timeMs ?? 0;
  for (const call of draft.calls.values()) {
    const calledMs = call.readings.length > 0 ? Math.min(...call.readings.map(timeOf)) : call.onsetMs;
    if (call.run === from && calledMs >= sinceMs) draft.calls.set(call.id, { ...call, run: into });
  }
  const goes = new Set<string>();
  for (const id of source.readings) {
    const reading = draft.readings.get(id);
    if (!reading || draft.calls.get(reading.call)?.run !== into) continue;
    goes.add(id);
    draft.readings.set(id, { ...reading, run: into });
    insertByTime(target.readings, id, timeOf);
  }
  source.readings = source.readings.filter((id) => !goes.has(id));
  const later = source.timed.filter((timed) => timed.timeMs >= sinceMs);
  const moved = new Map(later.map((timed): [TimedEvent, TimedEvent] => [timed, { ...timed, run: into }]));
  source.timed = source.timed.filter((timed) => !moved.has(timed));
  target.timed.push(...moved.values());
  target.timed.sort((a, b) => a.timeMs - b.timeMs);
  draft.timed = draft.timed.map((timed) => moved.get(timed) ?? timed);
}

/** Typed or filed readings become calls with a judgement, so that they can be corrected and struck as any other. */
export function enterReadings(draft: Draft, event: NotebookEvent, body: EventOf<'readings-entered'>): void {
  const { timing, stated, fromMs } = body;
  const times = body.readings.map(({ time }) => Math.round(fromMs * 10 + Number(time) * 10_000) / 10);
  const known = draft.runs.get(body.run);
  if (!known)
    draft.runs.set(body.run, {
      run: {
        id: body.run,
        label: body.label,
        startedMs: Math.min(...times),
        endedMs: Math.max(...times),
        estimator: null,
        entered: { timing, stated },
      },
      readings: [],
      timed: [],
      value: null,
    });
  body.readings.forEach((given, index) => {
    const call = `${event.id}.${index + 1}`;
    const id = `${call}#0`;
    const timeMs = times[index] ?? fromMs;
    const judged = {
      event: event.id,
      atMs: event.atMs,
      by: 'hand' as const,
      what: 'judged' as const,
      value: given.value,
      reason: '',
    };
    const reading: Reading = {
      id,
      call,
      run: body.run,
      timeMs,
      uTimeMs: given.uTimeMs,
      timing,
      // Seconds of a run that began elsewhere count from its own clock; in any other run from the notebook's.
      ...(known ? {} : { enteredS: given.time }),
      ...(given.uVolumeMl === undefined ? {} : { uVolumeMl: given.uVolumeMl }),
      value: given.value,
      volumeMl: Number(given.value),
      marked: false,
      outcome: 'taken',
      settled: true,
      rivals: [],
      struck: false,
      setAside: null,
      history: [judged],
    };
    draft.readings.set(id, reading);
    draft.calls.set(call, {
      id: call,
      onsetMs: timeMs,
      endMs: null,
      timing,
      uOnsetMs: given.uTimeMs,
      clip: false,
      run: body.run,
      heard: [],
      outcome: 'taken',
      meaning: { kind: 'reading', values: [{ value: given.value }] },
      rivals: [],
      reason: '',
      by: 'hand',
      readings: [id],
      history: [judged],
    });
    insertByTime(draft.callOrder, call, (other) => draft.calls.get(other)?.onsetMs ?? 0);
    changeRun(draft, body.run, (entry) =>
      insertByTime(entry.readings, id, (other) => draft.readings.get(other)?.timeMs ?? 0),
    );
  });
}
