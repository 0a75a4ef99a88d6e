import {
  type AttemptNote,
  findRecogniser,
  hasOneMicrophoneOwner,
  makeAttemptNote,
  makeSurroundings,
  prepareLocally,
  wantsOneShot,
} from './browser-ear.ts';
import type { EarCall, EarName, FollowingEar, Heard, Trouble, TroubleKind, Utterance } from './ear.ts';
import { makeFollowing } from './following.ts';
import { type Level, type Microphone, type MicrophoneEvents, makeMicrophone } from './microphone.ts';
import { makeOwnVoice, tailMs } from './own-speech.ts';
import {
  type HeardCall,
  type Lag,
  lagOf,
  newPairing,
  nextPairingMs,
  type PairingEvent,
  pairingStep,
} from './pairing.ts';
import { type Clock, pageClock, type RecogniserConstructor } from './recogniser.ts';
import { type RoomVerdict, roomVerdict } from './room-verdict.ts';
import { makeSupervisor, type Supervisor, type Surroundings } from './supervisor.ts';
import type { EarPhase } from './supervisor-step.ts';

/**
 * The one door of hearing: microphone, ears and pairing behind a few words. What comes out is calls: a moment, the
 * sound of it, and what ears made of it. Its state is the truth: it says that it hears only while sound or words can
 * really come in.
 */
export interface EarChoice {
  /** The browser's recogniser: not used; used, wherever it works; used only if it stays on the device. */
  readonly browser: 'off' | 'on' | 'local';
  /** The embedded recogniser. */
  readonly own: boolean;
}

export interface ListeningOptions {
  /** Both off: sound marks. */
  readonly ears: EarChoice;
  /** Makes the embedded ear when it is first wanted. */
  readonly makeOwnEar?: () => Promise<FollowingEar>;
  /** BCP-47; default en-US. */
  readonly language?: string;
  /** Words to expect, where an engine takes them. */
  readonly phrases?: readonly string[];
  readonly platform?: Platform;
}

/** Everything that listening takes from its surroundings; tests and the rehearsal bring their own. */
export interface Platform {
  readonly clock: Clock;
  makeMicrophone(events: MicrophoneEvents, newId: () => string): Microphone;
  readonly Recogniser: RecogniserConstructor | null;
  readonly surroundings: Surroundings;
  /** Only one of page and recogniser can have the microphone. */
  readonly oneMicrophoneOwner: boolean;
  readonly oneShot: boolean;
  readonly attemptNote: AttemptNote;
  /** Tells when the page is hidden or shown; gives the way to stop. */
  onVisibility(listener: (hidden: boolean) => void): () => void;
}

export type WordsState = 'off' | 'loading' | 'waiting' | 'starting' | 'listening' | 'ending' | 'stopped';

export interface ListeningState {
  readonly phase: 'closed' | 'opening' | 'open';
  /** Sound is coming in and utterances are being found. */
  readonly hearsSound: boolean;
  /** Words said now will be heard by some ear. */
  readonly hearsWords: boolean;
  /** Ears in use, whether or not they hear just now; empty: sound marks. */
  readonly ears: readonly EarName[];
  readonly browserEar: WordsState;
  readonly ownEar: 'off' | 'loading' | 'ready' | 'failed';
  /** Loading of the embedded ear, 0..1. */
  readonly ownEarLoaded: number;
  /** Page time since when it hears without a break (sound, or words where there is no sound), ms; null: it does not. */
  readonly sinceMs: number | null;
  /** How loud it is beside the caller; 'quiet' where no ear tells. */
  readonly room: RoomVerdict;
  /** What the person has been told and is not over. */
  readonly troubles: readonly Trouble[];
  /** The tool is speaking: what comes in is its own voice. */
  readonly hushed: boolean;
  /** Who has the microphone. On most phones it is one of the two, on others it can be 'both'. */
  readonly microphone: 'none' | 'page' | 'recogniser' | 'both';
  readonly lag: Lag;
}

export type ListeningEvent =
  | { readonly kind: 'call'; readonly call: HeardCall }
  | { readonly kind: 'onset'; readonly onsetMs: number }
  | { readonly kind: 'heard'; readonly heard: Heard }
  | { readonly kind: 'level'; readonly level: Level }
  | { readonly kind: 'trouble'; readonly trouble: Trouble }
  | { readonly kind: 'recovered'; readonly trouble: TroubleKind }
  | { readonly kind: 'state'; readonly state: ListeningState };

export interface Listening {
  /** Call in the tap. Resolves when sound or words come in, or when it is clear that they do not (a trouble tells). */
  open(): Promise<void>;
  /** Call in a tap, after a trouble that stopped something. */
  resume(): Promise<void>;
  close(): void;
  state(): ListeningState;
  subscribe(listener: (event: ListeningEvent) => void): () => void;
  choose(ears: EarChoice): void;
  /**
   * The tool is about to speak: lets the person finish, stops the browser's ear, and marks calls from now on as made
   * during its speech (`HeardCall.during`); none is dropped. Resolves when it is quiet enough to speak. Call the result when
   * the speech is over.
   * @param bargeIn called when the person begins to speak over it, where the tool's own voice is known not to be heard
   */
  hush(spoken: string, bargeIn?: () => void): Promise<() => void>;
  /** A tone of the tool sounds from now for so long, ms: a short sound within it is no call. */
  cue(lengthMs: number): void;
  /** The same door for a simulated caller. While it is open, what the real ears hear is no call. */
  readonly inject: {
    open(): void;
    close(): void;
    utterance(utterance: Utterance): void;
    heard(heard: Heard): void;
  };
}

/** Words of the browser's ear come at most so long after the end of a sound, as a rule, ms. */
const browserWaitMs = 2600;
/** The embedded ear answers much faster; this is for a machine that is slow, ms. */
const ownWaitMs = 4000;
/** A simulated caller's words follow the sound at once, ms. */
const simulatedWaitMs = 1500;
/** The tool waits at most so long for the person to finish before it speaks, ms. */
const letFinishMs = 2000;
export function makeListening(options: ListeningOptions): Listening {
  const platform = options.platform ?? browserPlatform();
  const { clock } = platform;
  const language = options.language ?? 'en-US';
  const listeners = new Set<(event: ListeningEvent) => void>();
  let ears = options.ears;

  let phase: ListeningState['phase'] = 'closed';
  let hearsSound = false;
  let browserPhase: EarPhase = 'off';
  let preparing = false;
  let supervisor: Supervisor | null = null;
  let microphone: Microphone | null = null;
  let stopWatching: (() => void) | null = null;
  let simulated = false;
  const ownVoice = makeOwnVoice();
  let room: RoomVerdict = 'quiet';
  /** Since when the loudness found a sound, and the ear words; null: none now. */
  let soundSinceMs: number | null = null;
  let wordsSinceMs: number | null = null;
  /** Calls whose words are waited for. */
  const unsettled = new Set<string>();
  let sinceMs: number | null = null;
  let troubles: Trouble[] = [];
  let ids = 0;
  let cancelTick: (() => void) | null = null;
  const prefix = Math.random().toString(36).slice(2, 8);
  const newId = (): string => `${prefix}-${++ids}`;

  const waitMs = (): number => {
    if (simulated) return simulatedWaitMs;
    if (browserUsed() && browserPhase !== 'stopped' && browserPhase !== 'off') return browserWaitMs;
    return follows() ? ownWaitMs : 0;
  };
  let pairing = newPairing(`${prefix}-w`);
  const pair = (event: PairingEvent): readonly HeardCall[] => {
    const next = pairingStep(pairing, event, { nowMs: clock.now(), waitMs: waitMs() });
    pairing = next.state;
    return next.calls;
  };

  const browserUsed = (): boolean => ears.browser !== 'off' && platform.Recogniser !== null;

  /** On a phone one owner only: the embedded ear needs the page's microphone; the browser's ear then has none. */
  const wantsMicrophone = (): boolean => !platform.oneMicrophoneOwner || ears.own || !browserUsed();
  const wantsSupervisor = (): boolean => browserUsed() && (!platform.oneMicrophoneOwner || !ears.own);

  const state = (): ListeningState => {
    const used: EarName[] = [];
    if (simulated) used.push('rehearsal');
    else {
      if (wantsSupervisor() && browserPhase !== 'stopped') used.push('browser');
      if (ears.own && following.phase() !== 'failed') used.push('own');
    }
    const browserHears = browserPhase === 'listening';
    const recogniserHas = browserPhase === 'listening' || browserPhase === 'ending';
    return {
      phase: simulated ? 'open' : phase,
      hearsSound: hearsSound || simulated,
      hearsWords:
        !ownVoice.speaking() &&
        (simulated || (phase === 'open' && (browserHears || (following.phase() === 'ready' && hearsSound)))),
      ears: used,
      browserEar: preparing ? 'loading' : browserPhase,
      ownEar: following.phase(),
      ownEarLoaded: following.loaded(),
      sinceMs,
      room,
      troubles,
      hushed: ownVoice.sounding(clock.now()),
      microphone: hearsSound && !simulated ? (recogniserHas ? 'both' : 'page') : recogniserHas ? 'recogniser' : 'none',
      lag: lagOf(pairing),
    };
  };

  const emit = (event: ListeningEvent): void => {
    for (const listener of [...listeners]) listener(event);
  };
  const changed = (): void => {
    const hears =
      simulated || (phase === 'open' && (hearsSound || (!wantsMicrophone() && browserPhase === 'listening')));
    if (!hears) sinceMs = null;
    else sinceMs ??= clock.now();
    emit({ kind: 'state', state: state() });
  };
  const tell = (trouble: Trouble): void => {
    troubles = [...troubles.filter(({ kind }) => kind !== trouble.kind), trouble];
    emit({ kind: 'trouble', trouble });
    changed();
  };
  const recovered = (kind: TroubleKind): void => {
    if (!troubles.some((trouble) => trouble.kind === kind)) return;
    troubles = troubles.filter((trouble) => trouble.kind !== kind);
    emit({ kind: 'recovered', trouble: kind });
    changed();
  };

  const pass = (calls: readonly HeardCall[]): void => {
    for (const call of calls) {
      if (call.settled) unsettled.delete(call.id);
      else unsettled.add(call.id);
      emit({ kind: 'call', call: withSpeech(call) });
    }
    cancelTick?.();
    cancelTick = null;
    const next = nextPairingMs(pairing);
    if (next !== null)
      cancelTick = clock.after(Math.max(40, next - clock.now()), () => {
        cancelTick = null;
        pass(pair({ kind: 'tick' }));
      });
  };

  const withSpeech = (call: HeardCall): HeardCall => {
    const during = simulated ? null : ownVoice.during(call, clock.now());
    return during ? { ...call, during } : call;
  };

  const tellSounding = (): void => {
    const since = Math.min(soundSinceMs ?? Number.POSITIVE_INFINITY, wordsSinceMs ?? Number.POSITIVE_INFINITY);
    pair({ kind: 'sounding', onsetMs: since === Number.POSITIVE_INFINITY ? null : since });
  };
  const soundOver = (): void => {
    soundSinceMs = null;
    tellSounding();
  };

  const takeUtterance = (utterance: Utterance, speech: boolean): void => {
    soundOver();
    // The tool's tones are no calls. A voice over one is a call all the same: a tone by itself is not taken for a voice.
    if (!speech && ownVoice.isTone(utterance.onsetMs, utterance.endMs)) return;
    if (speech && !ownVoice.speaking()) supervisor?.soundEnded();
    pass(pair({ kind: 'utterance', utterance, speech }));
  };

  /** A call that the embedded ear found, with its words. */
  const takeFound = (utterance: Utterance, { answer, voice }: EarCall, ear: FollowingEar): void => {
    if (simulated || (!voice && ownVoice.isTone(utterance.onsetMs, utterance.endMs))) return;
    takeUtterance(utterance, true);
    const now = clock.now();
    if (answer.best.length === 0) {
      if (!supervisor || browserPhase === 'stopped') pass(pair({ kind: 'without-words', utterance: utterance.id }));
      return;
    }
    takeHeard({
      ear: ear.name,
      generation: 0,
      phrase: utterance.id,
      alternatives: answer.best.map(({ text, p }) => ({ text, confidence: p })),
      final: true,
      tentative: false,
      firstWordsMs: now,
      atMs: now,
      utterance: utterance.id,
    });
  };

  /** Until nobody speaks and no words are waited for, but not for ever. */
  const untilFinished = async (): Promise<void> => {
    const untilMs = clock.now() + letFinishMs;
    // In a room full of talk there is always some sound: where an ear for words is at work, its words count.
    const sounding = (): boolean => (follows() ? wordsSinceMs : soundSinceMs) !== null;
    while (phase === 'open' && (sounding() || unsettled.size > 0) && clock.now() < untilMs)
      await new Promise<void>((resolve) => clock.after(50, resolve));
  };

  const takeHeard = (heard: Heard): void => {
    // The live line of words is no place for the tool's own.
    if (!ownVoice.speaking()) emit({ kind: 'heard', heard });
    pass(pair({ kind: 'heard', heard }));
  };

  const following = makeFollowing(clock, options.makeOwnEar, {
    call: takeFound,
    hearing(since) {
      wordsSinceMs = since;
      tellSounding();
    },
    room(level) {
      const next = roomVerdict(level, room);
      if (next === room) return;
      room = next;
      changed();
    },
    released: takeUtterance,
    trouble: (kind, stopped, cause) => tell({ kind, stopped, cause }),
    recovered,
    changed,
  });
  /** The embedded ear runs along with the sound, or will in a moment. */
  const follows = (): boolean => following.phase() === 'ready' || following.phase() === 'loading';

  const openBrowserEar = async (): Promise<void> => {
    if (ears.browser === 'off') return;
    const { Recogniser } = platform;
    if (!Recogniser) {
      tell({ kind: 'recogniser-missing', stopped: true, cause: 'no constructor' });
      return;
    }
    if (!wantsSupervisor() || supervisor) return;
    const local = ears.browser === 'local';
    if (local) {
      preparing = true;
      changed();
      const readiness = await prepareLocally(Recogniser, language, platform.attemptNote);
      preparing = false;
      if (phase === 'closed' || ears.browser !== 'local' || supervisor) return;
      if (readiness !== 'ready') {
        tell({
          kind: readiness === 'not-downloaded' ? 'recogniser-language' : 'recogniser-missing',
          stopped: true,
          cause: `on the device: ${readiness}`,
        });
        return;
      }
    }
    supervisor = makeSupervisor({
      Recogniser,
      clock,
      language,
      phrases: options.phrases ?? [],
      local,
      oneShot: platform.oneShot,
      surroundings: platform.surroundings,
      emit: (event) => {
        switch (event.kind) {
          case 'heard':
            if (!simulated) takeHeard(event.heard);
            return;
          case 'phase':
            browserPhase = event.phase;
            changed();
            return;
          case 'trouble':
            tell(wantsMicrophone() ? ofTheRecogniser(event.trouble) : event.trouble);
            return;
          case 'recovered':
            recovered(event.trouble);
            if (event.trouble === 'microphone-lost') recovered('recogniser-silent');
            return;
          case 'not-understood':
            // Where the page has the sound, the call is there already; where not, this is all that is known of it.
            if (!hearsSound) pass(pair({ kind: 'unheard', atMs: event.atMs }));
            return;
          case 'contention':
            return;
        }
      },
    });
    supervisor.start();
    changed();
  };

  const closeBrowserEar = (): void => {
    supervisor?.dispose();
    supervisor = null;
    browserPhase = 'off';
  };

  const openMicrophone = async (): Promise<void> => {
    if (!wantsMicrophone()) return;
    microphone ??= platform.makeMicrophone(
      {
        onset: (onsetMs) => {
          if (simulated) return;
          soundSinceMs = onsetMs;
          tellSounding();
          if (ownVoice.speaking()) {
            ownVoice.soundBegan();
            return;
          }
          supervisor?.soundBegan(onsetMs);
          emit({ kind: 'onset', onsetMs });
        },
        nothing: soundOver,
        utterance: (utterance, speech) => {
          if (simulated) return;
          if (!follows()) {
            takeUtterance(utterance, speech);
            return;
          }
          following.utterance(utterance, speech);
          soundOver();
        },
        sound(stretch) {
          const endMs = stretch.startMs + (1000 * stretch.samples.length) / stretch.sampleRate;
          if (!simulated) following.sound(stretch, ownVoice.within(stretch.startMs, endMs));
        },
        level: (level) => emit({ kind: 'level', level }),
        live: (live) => {
          hearsSound = live;
          if (!live) soundOver();
          changed();
        },
        trouble: (kind, stopped, cause) => tell({ kind, stopped, ...(cause ? { cause } : {}) }),
        recovered,
        devicesChanged: () => supervisor?.devicesChanged(),
      },
      newId,
    );
    await microphone.open();
  };

  const closeMicrophone = (): void => {
    microphone?.close();
    microphone = null;
    hearsSound = false;
    soundOver();
  };

  const openAll = async (): Promise<void> => {
    // The recogniser first and at once: some browsers let it start only in the tap itself.
    const words = openBrowserEar();
    if (ears.own) void following.open();
    await Promise.all([openMicrophone(), words]);
  };

  return {
    state,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async open() {
      if (phase !== 'closed') return;
      phase = 'opening';
      simulated = false;
      troubles = [];
      stopWatching = platform.onVisibility((hidden) => {
        supervisor?.visibility(hidden);
        if (hidden) tell({ kind: 'page-hidden', stopped: false });
        else recovered('page-hidden');
      });
      changed();
      await openAll();
      if (phase !== 'opening') return;
      phase = 'open';
      changed();
    },
    async resume() {
      simulated = false;
      if (phase === 'closed') {
        await this.open();
        return;
      }
      troubles = troubles.filter(({ stopped }) => !stopped);
      changed();
      if (supervisor && browserPhase === 'stopped') supervisor.start();
      else if (!supervisor) void openBrowserEar();
      if (wantsMicrophone()) await (microphone ? microphone.resume() : openMicrophone());
      if (ears.own && following.phase() === 'failed') void following.open();
    },
    close() {
      if (phase === 'closed') return;
      stopWatching?.();
      stopWatching = null;
      closeBrowserEar();
      closeMicrophone();
      following.close();
      cancelTick?.();
      cancelTick = null;
      for (const call of pair({ kind: 'flush' })) emit({ kind: 'call', call: withSpeech(call) });
      unsettled.clear();
      phase = 'closed';
      simulated = false;
      ownVoice.clear();
      room = 'quiet';
      troubles = [];
      changed();
    },
    choose(next) {
      const before = ears;
      if (before.browser === next.browser && before.own === next.own) return;
      ears = next;
      if (phase === 'closed') {
        changed();
        return;
      }
      if (before.browser !== next.browser || !wantsSupervisor()) closeBrowserEar();
      if (!next.own) following.close();
      if (!wantsMicrophone()) closeMicrophone();
      changed();
      void openAll();
    },
    async hush(spoken, bargeIn) {
      await untilFinished();
      await supervisor?.pause();
      const speech = ownVoice.begin(spoken, clock.now(), bargeIn ?? null);
      changed();
      return () => {
        if (speech.toMs !== null) return;
        ownVoice.end(speech, clock.now(), hearsSound);
        supervisor?.resume();
        changed();
        clock.after(tailMs + 1, changed);
      };
    },
    cue(lengthMs) {
      ownVoice.tone(clock.now(), lengthMs);
    },
    inject: {
      open() {
        simulated = true;
        changed();
      },
      close() {
        simulated = false;
        changed();
      },
      utterance: (utterance) => takeUtterance(utterance, true),
      heard: takeHeard,
    },
  };
}

/** Where the page has a microphone of its own, that one tells of its loss; here it is the recogniser that fails. */
function ofTheRecogniser(trouble: Trouble): Trouble {
  return trouble.kind === 'microphone-lost' ? { ...trouble, kind: 'recogniser-silent' } : trouble;
}

/** Hearing as this browser offers it. */
export function browserPlatform(): Platform {
  return {
    clock: pageClock,
    makeMicrophone,
    Recogniser: findRecogniser(),
    surroundings: makeSurroundings(),
    oneMicrophoneOwner: hasOneMicrophoneOwner(),
    oneShot: wantsOneShot(),
    attemptNote: makeAttemptNote(),
    onVisibility(listener) {
      const tell = (): void => listener(document.visibilityState === 'hidden');
      document.addEventListener('visibilitychange', tell);
      return () => document.removeEventListener('visibilitychange', tell);
    },
  };
}
