import type { Heard, TroubleKind } from '../../src/hearing/ear.ts';
import { makeSupervisor, type Supervisor, type Surroundings } from '../../src/hearing/supervisor.ts';
import type { EarPhase } from '../../src/hearing/supervisor-state.ts';
import { type FakeClock, makeFakeClock } from './fake-clock.ts';
import { type ScriptedRecogniser, scriptRecogniser } from './scripted-recogniser.ts';

/** A supervisor with a scripted recogniser, a clock that stands, and a record of all it said. */
export interface EarBench {
  readonly clock: FakeClock;
  readonly supervisor: Supervisor;
  readonly engine: ScriptedRecogniser;
  readonly heard: readonly Heard[];
  readonly told: readonly { kind: TroubleKind; stopped: boolean }[];
  readonly phases: readonly { phase: EarPhase; atMs: number }[];
  readonly others: readonly string[];
  readonly startMs: number;
  setHidden(hidden: boolean): void;
  setPermission(permission: ReturnType<Surroundings['permission']>): void;
  /** What every phrase came to: its words in the end, and how. */
  phrases(): { text: string; how: 'final' | 'tentative' | 'withdrawn' | 'open' }[];
  finals(): string[];
  tentative(): string[];
  /** Moments at which it claimed to listen while the engine did not. */
  readonly lies: readonly string[];
}

export interface BenchOptions {
  readonly oneShot?: boolean;
  readonly local?: boolean;
  readonly language?: string;
  readonly after?: string;
  readonly otherPage?: boolean;
  readonly phrases?: readonly string[];
}

export function makeEarBench(sessions: readonly string[], options: BenchOptions = {}): EarBench {
  const clock = makeFakeClock();
  const engine = scriptRecogniser(clock, sessions, options.after);
  const heard: Heard[] = [];
  const told: { kind: TroubleKind; stopped: boolean }[] = [];
  const phases: { phase: EarPhase; atMs: number }[] = [];
  const others: string[] = [];
  const lies: string[] = [];
  let hidden = false;
  let permission: ReturnType<Surroundings['permission']> = 'granted';
  const supervisor = makeSupervisor({
    Recogniser: engine.Recogniser,
    clock,
    language: options.language ?? 'en-US',
    local: options.local ?? false,
    oneShot: options.oneShot ?? false,
    phrases: options.phrases ?? [],
    surroundings: {
      hidden: () => hidden,
      permission: () => permission,
      online: () => true,
      claim: () => Promise.resolve(options.otherPage ? null : () => undefined),
    },
    emit: (event) => {
      if (event.kind === 'heard') heard.push(event.heard);
      else if (event.kind === 'trouble') told.push({ kind: event.trouble.kind, stopped: event.trouble.stopped });
      else if (event.kind === 'phase') {
        phases.push({ phase: event.phase, atMs: clock.now() - startMs });
        if (event.phase === 'listening' && !engine.hearing()) lies.push(`at ${clock.now() - startMs} ms`);
      } else others.push(event.kind);
    },
  });
  const startMs = clock.now();
  const phrases = (): ReturnType<EarBench['phrases']> => {
    const last = new Map<string, Heard>();
    for (const one of heard) last.set(one.phrase, one);
    return [...last.values()].map(({ alternatives, final, tentative }) => ({
      text: alternatives[0]?.text ?? '',
      how: alternatives.length === 0 ? 'withdrawn' : final ? 'final' : tentative ? 'tentative' : 'open',
    }));
  };
  return {
    clock,
    supervisor,
    engine,
    heard,
    told,
    phases,
    others,
    startMs,
    lies,
    setHidden(next) {
      hidden = next;
      supervisor.visibility(next);
    },
    setPermission(next) {
      permission = next;
    },
    phrases,
    finals: () => phrases().flatMap(({ text, how }) => (how === 'final' ? [text] : [])),
    tentative: () => phrases().flatMap(({ text, how }) => (how === 'tentative' ? [text] : [])),
  };
}
