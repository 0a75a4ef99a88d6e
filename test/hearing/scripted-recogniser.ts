import type { Clock, Recogniser, RecogniserConstructor, RecogniserResult } from '../../src/hearing/recogniser.ts';

/**
 * A recogniser that plays scripts, one a session, as the real ones behave: events come later and never inside a call;
 * a second start throws; nothing comes of a session that ended; an end may be left out.
 *
 * A script is lines of `time event`, ms after `start()`:
 * `A` audiostart, `S` sound and speech start, `s` their end, `a` audioend, `E` end, `X:code` error, `N` nomatch without
 * results, `i"words"` interim at the end of the list, `f"words"@0.9` final, `[f"5"@.9, i" 6"] ri0` the whole list.
 * Alternatives: `f"50"@.93|"15"@0`. Lines after `stop:` or `abort:` are times after that call and replace what would
 * still come; `never` means that nothing comes of the call.
 */
export interface ScriptedRecogniser {
  readonly Recogniser: RecogniserConstructor;
  /** Sessions begun, with the time of the start. */
  readonly starts: readonly number[];
  /** Sessions in which the engine hears now. */
  hearing(): boolean;
  /** A session was started and has not ended. */
  running(): boolean;
  /** Calls of start that threw. */
  readonly refused: number;
  readonly stops: number;
  readonly aborts: number;
  readonly objects: number;
  /** Every result list handed to a live session, as words: which session (from 1), when, what of it is final. */
  readonly delivered: readonly Delivered[];
  readonly settings: readonly { lang: string; continuous: boolean; processLocally: boolean | undefined }[];
}

export interface Delivered {
  readonly session: number;
  readonly atMs: number;
  readonly finals: readonly { readonly text: string; readonly confidence: number }[];
  readonly interim: string;
  /** It came although the session had been aborted. */
  readonly afterAbort: boolean;
}

interface ScriptEvent {
  readonly at: number;
  readonly what: string;
}

interface Script {
  readonly events: readonly ScriptEvent[];
  readonly stop: readonly ScriptEvent[] | 'never' | null;
  readonly abort: readonly ScriptEvent[] | 'never' | null;
}

/** @param sessions scripts in order. @param after the script of all sessions beyond them */
export function scriptRecogniser(
  clock: Clock,
  sessions: readonly string[],
  after = '150 A\n15000 a\n15001 E',
): ScriptedRecogniser {
  const starts: number[] = [];
  const settings: { lang: string; continuous: boolean; processLocally: boolean | undefined }[] = [];
  const delivered: Delivered[] = [];
  const count = { refused: 0, stops: 0, aborts: 0, objects: 0 };
  const hearing = new Set<object>();
  let current: object | null = null;

  class Scripted implements Recogniser {
    lang = '';
    continuous = false;
    interimResults = false;
    maxAlternatives = 1;
    processLocally = false;
    onstart: Recogniser['onstart'] = null;
    onaudiostart: Recogniser['onaudiostart'] = null;
    onaudioend: Recogniser['onaudioend'] = null;
    onresult: Recogniser['onresult'] = null;
    onnomatch: Recogniser['onnomatch'] = null;
    onerror: Recogniser['onerror'] = null;
    onend: Recogniser['onend'] = null;
    private list: RecogniserResult[] = [];
    private cancels: (() => void)[] = [];
    private script: Script | null = null;
    private session: object | null = null;
    private audioOver = false;
    private aborted = false;

    constructor() {
      count.objects++;
    }

    start(): void {
      if (this.session) {
        count.refused++;
        throw new DOMException('recognition has already started.', 'InvalidStateError');
      }
      this.script = parse(sessions[starts.length] ?? after);
      starts.push(clock.now());
      settings.push({ lang: this.lang, continuous: this.continuous, processLocally: this.processLocally });
      this.list = [];
      this.session = {};
      this.audioOver = false;
      this.aborted = false;
      current = this.session;
      this.play(this.script.events);
    }

    stop(): void {
      count.stops++;
      if (!this.session) return;
      const { stop } = this.script ?? { stop: null };
      if (stop === 'never') return;
      this.clear();
      this.play(
        stop ?? [
          { at: 20, what: 'a' },
          { at: 30, what: 'E' },
        ],
      );
    }

    abort(): void {
      count.aborts++;
      if (!this.session) return;
      this.aborted = true;
      const { abort } = this.script ?? { abort: null };
      if (abort === 'never') return;
      this.clear();
      this.play(
        abort ?? [
          { at: 10, what: 'X:aborted' },
          { at: 11, what: 'E' },
        ],
      );
    }

    private clear(): void {
      for (const cancel of this.cancels.splice(0)) cancel();
    }

    private play(events: readonly ScriptEvent[]): void {
      const session = this.session;
      for (const { at, what } of events)
        this.cancels.push(
          clock.after(Math.max(1, at), () => {
            if (this.session === session) this.dispatch(what);
          }),
        );
    }

    private dispatch(what: string): void {
      if (what === 'A') {
        if (!this.audioOver && this.session) hearing.add(this.session);
        this.onaudiostart?.({});
      } else if (what === 'a') {
        if (this.session) hearing.delete(this.session);
        this.audioOver = true;
        this.onaudioend?.({});
      } else if (what === 'E') {
        if (this.session) hearing.delete(this.session);
        if (current === this.session) current = null;
        this.session = null;
        this.clear();
        this.onend?.({});
      } else if (what.startsWith('X:')) {
        if (this.session && !what.includes('phrases')) hearing.delete(this.session);
        this.audioOver ||= !what.includes('phrases');
        const [code = '', message = ''] = what.slice(2).split('/');
        this.onerror?.({ error: code, message });
      } else if (what === 'N') this.onnomatch?.({ resultIndex: 0, results: null });
      else if (what === 'start') this.onstart?.({});
      else if (what.startsWith('[')) {
        const close = what.lastIndexOf(']');
        this.list = splitList(what.slice(1, close)).map(resultOf);
        const index = /ri(\d+)/.exec(what.slice(close))?.[1];
        this.deliver(index === undefined ? 0 : Number(index));
      } else if (what.startsWith('i') || what.startsWith('f')) {
        const finals = this.list.filter(({ isFinal }) => isFinal);
        this.list = [...finals, resultOf(what)];
        this.deliver(finals.length);
      }
    }

    private deliver(resultIndex: number): void {
      // Words prove ears, said or not.
      if (!this.audioOver && this.session) hearing.add(this.session);
      delivered.push({
        session: starts.length,
        atMs: clock.now(),
        afterAbort: this.aborted,
        finals: this.list
          .filter(({ isFinal }) => isFinal)
          .map((result) => ({ text: result[0]?.transcript.trim() ?? '', confidence: result[0]?.confidence ?? 0 })),
        interim: this.list
          .filter(({ isFinal }) => !isFinal)
          .map((result) => result[0]?.transcript.trim() ?? '')
          .join(' ')
          .trim(),
      });
      this.onresult?.({ resultIndex, results: this.list });
    }
  }

  return {
    Recogniser: Scripted,
    starts,
    settings,
    delivered,
    hearing: () => current !== null && hearing.has(current),
    running: () => current !== null,
    get refused() {
      return count.refused;
    },
    get stops() {
      return count.stops;
    },
    get aborts() {
      return count.aborts;
    },
    get objects() {
      return count.objects;
    },
  };
}

export function parse(text: string): Script {
  const events: ScriptEvent[] = [];
  const special: { stop: ScriptEvent[] | 'never' | null; abort: ScriptEvent[] | 'never' | null } = {
    stop: null,
    abort: null,
  };
  let into: 'events' | 'stop' | 'abort' = 'events';
  for (const line of text.split('\n').map((one) => one.trim())) {
    if (line === '') continue;
    const section = /^(stop|abort):\s*(never)?$/.exec(line);
    if (section) {
      into = section[1] === 'stop' ? 'stop' : 'abort';
      special[into] = section[2] ? 'never' : [];
      continue;
    }
    const [, at, what] = /^(\d+)\s+(.+)$/.exec(line) ?? [];
    if (at === undefined || what === undefined) throw new Error(`not a line of a script: ${line}`);
    const list = into === 'events' ? events : special[into];
    if (!Array.isArray(list)) throw new Error(`a line after never: ${line}`);
    // Several events at one time, apart by spaces, unless they carry words.
    for (const one of what.includes('"') ? [what] : what.split(/\s+/)) list.push({ at: Number(at), what: one });
  }
  return { events, ...special };
}

function splitList(text: string): string[] {
  return [...text.matchAll(/[if]"[^"]*"(?:@[\d.]+)?(?:\|"[^"]*"(?:@[\d.]+)?)*/g)].map(([one]) => one);
}

function resultOf(text: string): RecogniserResult {
  const alternatives = [...text.matchAll(/"([^"]*)"(?:@([\d.]+))?/g)].map(([, transcript = '', confidence]) => ({
    transcript,
    confidence: Number(confidence ?? (text.startsWith('f') ? 0.9 : 0)),
  }));
  return Object.assign(alternatives, { isFinal: text.startsWith('f') });
}
