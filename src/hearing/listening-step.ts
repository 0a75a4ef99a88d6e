import type { EarCall, EarName, Heard, RoomLevel, Trouble, TroubleKind, Utterance } from './ear.ts';
import type { Level } from './microphone.ts';
import {
  beginSpeech,
  endSpeech,
  isSounding,
  isSpeaking,
  isTone,
  type OwnVoice,
  ownSpeechDuring,
  silentVoice,
  soundOverSpeech,
  tailMs,
  withTone,
} from './own-speech.ts';
import {
  type HeardCall,
  type Lag,
  lagOf,
  newPairing,
  nextPairingMs,
  type Pairing,
  type PairingEvent,
  pairingStep,
} from './pairing.ts';
import { type RoomVerdict, roomVerdict } from './room-verdict.ts';
import type { EarPhase, SupervisorEvent } from './supervisor-state.ts';

/**
 * Listening as steps: what microphone, ears, page and tool tell gives the next state and the effects to carry out.
 * Pure; `listening.ts` carries out the effects. Its state is the truth: it says that it hears only while sound or words
 * can really come in.
 */
export interface EarChoice {
  /** The browser's recogniser: not used; used, wherever it works; used only if it stays on the device. */
  readonly browser: 'off' | 'on' | 'local';
  /** The embedded recogniser. */
  readonly own: boolean;
}

export type WordsState = 'off' | 'loading' | 'waiting' | 'starting' | 'listening' | 'ending' | 'stopped';

/** What the rooms above see of listening. */
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

/** What stays as it is for the life of a listening. */
interface Setting {
  /** The browser has a recogniser. */
  readonly recogniser: boolean;
  /** Only one of page and recogniser can have the microphone. */
  readonly oneMicrophoneOwner: boolean;
}

export interface Core {
  readonly setting: Setting;
  readonly ears: EarChoice;
  readonly phase: ListeningState['phase'];
  readonly hearsSound: boolean;
  readonly browserPhase: EarPhase;
  /** It is being found out whether the recogniser works on the device. */
  readonly preparing: boolean;
  /** The supervisor of the browser's ear, and the page's microphone, are there. */
  readonly supervised: boolean;
  readonly microphone: boolean;
  /** A simulated caller has the floor. */
  readonly simulated: boolean;
  readonly ownVoice: OwnVoice;
  readonly room: RoomVerdict;
  /** Page time since when the loudness found a sound, and the ear words, ms; null: none now. */
  readonly soundSinceMs: number | null;
  readonly wordsSinceMs: number | null;
  /** Calls whose words are waited for. */
  readonly unsettled: ReadonlySet<string>;
  readonly sinceMs: number | null;
  readonly troubles: readonly Trouble[];
  readonly pairing: Pairing;
}

/** What is known beside the state at a step. */
export interface ListeningWorld {
  /** Page time, ms. */
  readonly nowMs: number;
  /** The embedded ear: its phase, and how much of it is loaded, 0..1. */
  readonly ownEar: ListeningState['ownEar'];
  readonly ownEarLoaded: number;
}

export type CoreEvent =
  /** `opened`, `resumed`: what was asked to open has done so, or told why not. */
  | { readonly kind: 'open' | 'opened' | 'resume' | 'resumed' | 'close' }
  | { readonly kind: 'choose'; readonly ears: EarChoice }
  | { readonly kind: 'visibility'; readonly hidden: boolean }
  | { readonly kind: 'simulate'; readonly on: boolean }
  /** Time is up: for words that were waited for; for a change that came of itself. */
  | { readonly kind: 'tick' | 'changed' }
  // The microphone.
  | { readonly kind: 'onset'; readonly onsetMs: number }
  | { readonly kind: 'nothing' }
  | { readonly kind: 'sounded'; readonly utterance: Utterance; readonly speech: boolean }
  | { readonly kind: 'live'; readonly live: boolean }
  | { readonly kind: 'level'; readonly level: Level }
  | { readonly kind: 'devices-changed' }
  | { readonly kind: 'trouble'; readonly trouble: Trouble }
  | { readonly kind: 'recovered'; readonly trouble: TroubleKind }
  // The embedded ear.
  | { readonly kind: 'found'; readonly utterance: Utterance; readonly call: EarCall; readonly ear: EarName }
  | { readonly kind: 'words-since'; readonly sinceMs: number | null }
  | { readonly kind: 'room'; readonly level: RoomLevel }
  // The browser's ear.
  | { readonly kind: 'prepared'; readonly readiness: string }
  | { readonly kind: 'browser'; readonly event: SupervisorEvent }
  // A sound, or words, that are taken as they come: of a simulated caller, or where no ear is there.
  | { readonly kind: 'utterance'; readonly utterance: Utterance; readonly speech: boolean }
  | { readonly kind: 'heard'; readonly heard: Heard }
  // The tool itself.
  | { readonly kind: 'speech-began'; readonly spoken: string }
  | { readonly kind: 'speech-over'; readonly id: number }
  | { readonly kind: 'tone'; readonly lengthMs: number };

export type ListeningEffect =
  | { readonly kind: 'emit'; readonly event: ListeningEvent }
  | { readonly kind: 'set-tick'; readonly ms: number }
  /** Tells the rooms above what they see now, with what the effects before it have done. */
  | { readonly kind: 'changed' }
  | { readonly kind: 'clear-tick' | 'watch-page' | 'unwatch-page' }
  /** Tells of a change that comes of itself, ms from now. */
  | { readonly kind: 'change-in'; readonly ms: number }
  | { readonly kind: 'open-microphone' | 'resume-microphone' | 'close-microphone' }
  | { readonly kind: 'open-own-ear' | 'close-own-ear' }
  /** The embedded ear has not heard this sound yet: it will say what is in it. */
  | { readonly kind: 'follow'; readonly utterance: Utterance; readonly speech: boolean }
  /** Finds out whether the recogniser works on the device. */
  | { readonly kind: 'prepare' }
  | { readonly kind: 'make-browser-ear'; readonly local: boolean }
  | { readonly kind: 'drop-browser-ear' }
  | { readonly kind: 'supervisor'; readonly act: 'start' | 'devicesChanged' | 'soundEnded' | 'resume' }
  | { readonly kind: 'supervisor-visibility'; readonly hidden: boolean }
  | { readonly kind: 'supervisor-sound'; readonly onsetMs: number }
  /** The person begins to speak: the tool is to fall silent. */
  | { readonly kind: 'cut-short'; readonly speech: number };

/** Words of the browser's ear come at most so long after the end of a sound, as a rule, ms. */
const browserWaitMs = 2600;
/** The embedded ear answers much faster; this is for a machine that is slow, ms. */
const ownWaitMs = 4000;
/** A simulated caller's words follow the sound at once, ms. */
const simulatedWaitMs = 1500;

/** Listening that is closed and has heard nothing yet. @param idPrefix begins the ids of calls without a sound */
export function newListening(ears: EarChoice, setting: Setting, idPrefix: string): Core {
  return {
    setting,
    ears,
    phase: 'closed',
    hearsSound: false,
    browserPhase: 'off',
    preparing: false,
    supervised: false,
    microphone: false,
    simulated: false,
    ownVoice: silentVoice,
    room: 'quiet',
    soundSinceMs: null,
    wordsSinceMs: null,
    unsettled: new Set(),
    sinceMs: null,
    troubles: [],
    pairing: newPairing(idPrefix),
  };
}

const browserUsed = ({ ears, setting }: Core): boolean => ears.browser !== 'off' && setting.recogniser;
/** On a phone one owner only: the embedded ear needs the page's microphone; the browser's ear then has none. */
const wantsMicrophone = (core: Core): boolean =>
  !core.setting.oneMicrophoneOwner || core.ears.own || !browserUsed(core);
const wantsSupervisor = (core: Core): boolean =>
  browserUsed(core) && (!core.setting.oneMicrophoneOwner || !core.ears.own);

/** The embedded ear runs along with the sound, or will in a moment. */
const follows = ({ ownEar }: ListeningWorld): boolean => ownEar === 'ready' || ownEar === 'loading';

/** Somebody speaks, or words are waited for: the tool lets the person finish. */
export function isBusy({ phase, wordsSinceMs, soundSinceMs, unsettled }: Core, world: ListeningWorld): boolean {
  // In a room full of talk there is always some sound: where an ear for words is at work, its words count.
  const sounding = (follows(world) ? wordsSinceMs : soundSinceMs) !== null;
  return phase === 'open' && (sounding || unsettled.size > 0);
}

/** What the rooms above see. */
export function seenOf(core: Core, { nowMs, ownEar, ownEarLoaded }: ListeningWorld): ListeningState {
  const { simulated, browserPhase, phase, hearsSound, ownVoice } = core;
  const used: EarName[] = [];
  if (simulated) used.push('rehearsal');
  else {
    if (wantsSupervisor(core) && browserPhase !== 'stopped') used.push('browser');
    if (core.ears.own && ownEar !== 'failed') used.push('own');
  }
  const browserHears = browserPhase === 'listening';
  const recogniserHas = browserPhase === 'listening' || browserPhase === 'ending';
  return {
    phase: simulated ? 'open' : phase,
    hearsSound: hearsSound || simulated,
    hearsWords:
      !isSpeaking(ownVoice) &&
      (simulated || (phase === 'open' && (browserHears || (ownEar === 'ready' && hearsSound)))),
    ears: used,
    browserEar: core.preparing ? 'loading' : browserPhase,
    ownEar,
    ownEarLoaded,
    sinceMs: core.sinceMs,
    room: core.room,
    troubles: core.troubles,
    hushed: isSounding(ownVoice, nowMs),
    microphone: hearsSound && !simulated ? (recogniserHas ? 'both' : 'page') : recogniserHas ? 'recogniser' : 'none',
    lag: lagOf(core.pairing),
  };
}

/** What a step has come to so far: made anew for each step, so that the state before it stays as it was. */
interface Draft {
  readonly world: ListeningWorld;
  readonly core: { -readonly [key in keyof Core]: Core[key] };
  readonly effects: ListeningEffect[];
}

export function listeningStep(
  core: Core,
  event: CoreEvent,
  world: ListeningWorld,
): { readonly state: Core; readonly effects: readonly ListeningEffect[] } {
  const draft: Draft = { world, core: { ...core }, effects: [] };
  const handle = handlers[event.kind] as (draft: Draft, event: CoreEvent) => void;
  handle(draft, event);
  return { state: draft.core, effects: draft.effects };
}

type Handlers = {
  readonly [kind in CoreEvent['kind']]: (draft: Draft, event: CoreEvent & { readonly kind: kind }) => void;
};

const handlers: Handlers = {
  open,
  opened,
  resume,
  resumed({ core, world, effects }) {
    if (core.ears.own && world.ownEar === 'failed') effects.push({ kind: 'open-own-ear' });
  },
  close,
  choose: (draft, { ears }) => choose(draft, ears),
  visibility(draft, { hidden }) {
    if (draft.core.supervised) draft.effects.push({ kind: 'supervisor-visibility', hidden });
    if (hidden) tell(draft, { kind: 'page-hidden', stopped: false });
    else recovered(draft, 'page-hidden');
  },
  simulate(draft, { on }) {
    draft.core.simulated = on;
    changed(draft);
  },
  tick: (draft) => pass(draft, pair(draft, { kind: 'tick' })),
  changed,
  onset(draft, { onsetMs }) {
    if (!draft.core.simulated) soundBegan(draft, onsetMs);
  },
  nothing: soundOver,
  sounded,
  live(draft, { live }) {
    draft.core.hearsSound = live;
    if (!live) soundOver(draft);
    changed(draft);
  },
  level: emit,
  'devices-changed'({ core, effects }) {
    if (core.supervised) effects.push({ kind: 'supervisor', act: 'devicesChanged' });
  },
  trouble: (draft, { trouble }) => tell(draft, trouble),
  recovered: (draft, { trouble }) => recovered(draft, trouble),
  found: takeFound,
  'words-since'(draft, { sinceMs }) {
    draft.core.wordsSinceMs = sinceMs;
    tellSounding(draft);
  },
  room(draft, { level }) {
    const next = roomVerdict(level, draft.core.room);
    if (next === draft.core.room) return;
    draft.core.room = next;
    changed(draft);
  },
  prepared: (draft, { readiness }) => prepared(draft, readiness),
  browser: (draft, { event }) => ofBrowser(draft, event),
  utterance: (draft, { utterance, speech }) => takeUtterance(draft, utterance, speech),
  heard: (draft, { heard }) => takeHeard(draft, heard),
  'speech-began'(draft, { spoken }) {
    draft.core.ownVoice = beginSpeech(draft.core.ownVoice, spoken, draft.world.nowMs);
    changed(draft);
  },
  'speech-over'(draft, { id }) {
    const { core, effects, world } = draft;
    core.ownVoice = endSpeech(core.ownVoice, id, world.nowMs, core.hearsSound);
    if (core.supervised) effects.push({ kind: 'supervisor', act: 'resume' });
    changed(draft);
    effects.push({ kind: 'change-in', ms: tailMs + 1 });
  },
  tone({ core, world }, { lengthMs }) {
    core.ownVoice = withTone(core.ownVoice, world.nowMs, lengthMs);
  },
};

function emit(draft: Draft, event: ListeningEvent): void {
  draft.effects.push({ kind: 'emit', event });
}

function changed(draft: Draft): void {
  const { core, world } = draft;
  const { simulated, phase, hearsSound, browserPhase } = core;
  const hears =
    simulated || (phase === 'open' && (hearsSound || (!wantsMicrophone(core) && browserPhase === 'listening')));
  core.sinceMs = hears ? (core.sinceMs ?? world.nowMs) : null;
  draft.effects.push({ kind: 'changed' });
}

function tell(draft: Draft, trouble: Trouble): void {
  const { core } = draft;
  core.troubles = [...core.troubles.filter(({ kind }) => kind !== trouble.kind), trouble];
  emit(draft, { kind: 'trouble', trouble });
  changed(draft);
}

function recovered(draft: Draft, kind: TroubleKind): void {
  const { core } = draft;
  if (!core.troubles.some((trouble) => trouble.kind === kind)) return;
  core.troubles = core.troubles.filter((trouble) => trouble.kind !== kind);
  emit(draft, { kind: 'recovered', trouble: kind });
  changed(draft);
}

// Opening and closing.

function open(draft: Draft): void {
  const { core, effects } = draft;
  core.phase = 'opening';
  core.simulated = false;
  core.troubles = [];
  effects.push({ kind: 'watch-page' });
  changed(draft);
  openAll(draft);
}

function opened(draft: Draft): void {
  if (draft.core.phase !== 'opening') return;
  draft.core.phase = 'open';
  changed(draft);
}

function resume(draft: Draft): void {
  const { core, effects } = draft;
  core.simulated = false;
  core.troubles = core.troubles.filter(({ stopped }) => !stopped);
  changed(draft);
  if (!core.supervised) openBrowserEar(draft);
  else if (core.browserPhase === 'stopped') effects.push({ kind: 'supervisor', act: 'start' });
  if (!core.microphone) openMicrophone(draft);
  else if (wantsMicrophone(core)) effects.push({ kind: 'resume-microphone' });
}

function openAll(draft: Draft): void {
  // The recogniser first and at once: some browsers let it start only in the tap itself.
  openBrowserEar(draft);
  if (draft.core.ears.own) draft.effects.push({ kind: 'open-own-ear' });
  openMicrophone(draft);
}

function openMicrophone(draft: Draft): void {
  if (!wantsMicrophone(draft.core)) return;
  draft.core.microphone = true;
  draft.effects.push({ kind: 'open-microphone' });
}

function closeMicrophone(draft: Draft): void {
  draft.core.microphone = false;
  draft.core.hearsSound = false;
  draft.effects.push({ kind: 'close-microphone' });
  soundOver(draft);
}

function openBrowserEar(draft: Draft): void {
  const { core } = draft;
  if (core.ears.browser === 'off') return;
  if (!core.setting.recogniser) {
    tell(draft, { kind: 'recogniser-missing', stopped: true, cause: 'no constructor' });
    return;
  }
  if (!wantsSupervisor(core) || core.supervised) return;
  if (core.ears.browser === 'local') {
    core.preparing = true;
    changed(draft);
    draft.effects.push({ kind: 'prepare' });
  } else makeBrowserEar(draft, false);
}

function prepared(draft: Draft, readiness: string): void {
  const { core } = draft;
  core.preparing = false;
  if (core.phase === 'closed' || core.ears.browser !== 'local' || core.supervised) return;
  if (readiness === 'ready') {
    makeBrowserEar(draft, true);
    return;
  }
  const kind = readiness === 'not-downloaded' ? 'recogniser-language' : 'recogniser-missing';
  tell(draft, { kind, stopped: true, cause: `on the device: ${readiness}` });
}

function makeBrowserEar(draft: Draft, local: boolean): void {
  draft.core.supervised = true;
  draft.effects.push({ kind: 'make-browser-ear', local }, { kind: 'supervisor', act: 'start' });
  changed(draft);
}

function dropBrowserEar(draft: Draft): void {
  draft.core.supervised = false;
  draft.core.browserPhase = 'off';
  draft.effects.push({ kind: 'drop-browser-ear' });
}

function close(draft: Draft): void {
  const { core, effects } = draft;
  if (core.phase === 'closed') return;
  effects.push({ kind: 'unwatch-page' });
  dropBrowserEar(draft);
  closeMicrophone(draft);
  effects.push({ kind: 'close-own-ear' }, { kind: 'clear-tick' });
  for (const call of pair(draft, { kind: 'flush' })) emit(draft, { kind: 'call', call: withSpeech(draft, call) });
  core.unsettled = new Set();
  core.phase = 'closed';
  core.simulated = false;
  core.ownVoice = { ...core.ownVoice, speeches: [] };
  core.room = 'quiet';
  core.troubles = [];
  changed(draft);
}

function choose(draft: Draft, ears: EarChoice): void {
  const { core } = draft;
  const before = core.ears;
  if (before.browser === ears.browser && before.own === ears.own) return;
  core.ears = ears;
  if (core.phase === 'closed') {
    changed(draft);
    return;
  }
  if (before.browser !== ears.browser || !wantsSupervisor(core)) dropBrowserEar(draft);
  if (!ears.own) draft.effects.push({ kind: 'close-own-ear' });
  if (!wantsMicrophone(core)) closeMicrophone(draft);
  changed(draft);
  openAll(draft);
}

// Sound and words.

function pair(draft: Draft, event: PairingEvent): readonly HeardCall[] {
  const { core, world } = draft;
  const step = pairingStep(core.pairing, event, { nowMs: world.nowMs, waitMs: waitMs(draft) });
  core.pairing = step.state;
  return step.calls;
}

function waitMs({ core, world }: Draft): number {
  if (core.simulated) return simulatedWaitMs;
  if (browserUsed(core) && core.browserPhase !== 'stopped' && core.browserPhase !== 'off') return browserWaitMs;
  return follows(world) ? ownWaitMs : 0;
}

function pass(draft: Draft, calls: readonly HeardCall[]): void {
  const { core, world, effects } = draft;
  if (calls.length > 0) {
    const unsettled = new Set(core.unsettled);
    for (const { id, settled } of calls) {
      if (settled) unsettled.delete(id);
      else unsettled.add(id);
    }
    core.unsettled = unsettled;
  }
  for (const call of calls) emit(draft, { kind: 'call', call: withSpeech(draft, call) });
  const next = nextPairingMs(core.pairing);
  effects.push(next === null ? { kind: 'clear-tick' } : { kind: 'set-tick', ms: Math.max(40, next - world.nowMs) });
}

function withSpeech({ core, world }: Draft, call: HeardCall): HeardCall {
  const during = core.simulated ? null : ownSpeechDuring(core.ownVoice, call, world.nowMs);
  return during ? { ...call, during } : call;
}

function tellSounding(draft: Draft): void {
  const { soundSinceMs, wordsSinceMs } = draft.core;
  const onsetMs =
    soundSinceMs === null || wordsSinceMs === null
      ? (soundSinceMs ?? wordsSinceMs)
      : Math.min(soundSinceMs, wordsSinceMs);
  pair(draft, { kind: 'sounding', onsetMs });
}

function soundOver(draft: Draft): void {
  draft.core.soundSinceMs = null;
  tellSounding(draft);
}

function soundBegan(draft: Draft, onsetMs: number): void {
  const { core, effects } = draft;
  core.soundSinceMs = onsetMs;
  tellSounding(draft);
  if (isSpeaking(core.ownVoice)) {
    const { voice, cutShort } = soundOverSpeech(core.ownVoice);
    core.ownVoice = voice;
    for (const speech of cutShort) effects.push({ kind: 'cut-short', speech });
    return;
  }
  if (core.supervised) effects.push({ kind: 'supervisor-sound', onsetMs });
  emit(draft, { kind: 'onset', onsetMs });
}

/** A sound is complete: the embedded ear says what is in it, where there is one. */
function sounded(draft: Draft, { utterance, speech }: CoreEvent & { readonly kind: 'sounded' }): void {
  if (draft.core.simulated) return;
  if (!follows(draft.world)) {
    takeUtterance(draft, utterance, speech);
    return;
  }
  draft.effects.push({ kind: 'follow', utterance, speech });
  soundOver(draft);
}

function takeUtterance(draft: Draft, utterance: Utterance, speech: boolean): void {
  const { core, effects } = draft;
  soundOver(draft);
  // The tool's tones are no calls. A voice over one is a call all the same: a tone by itself is not taken for a voice.
  if (!speech && isTone(core.ownVoice, utterance.onsetMs, utterance.endMs)) return;
  if (speech && core.supervised && !isSpeaking(core.ownVoice)) effects.push({ kind: 'supervisor', act: 'soundEnded' });
  pass(draft, pair(draft, { kind: 'utterance', utterance, speech }));
}

/** A call that the embedded ear found, with its words. */
function takeFound(draft: Draft, { utterance, call, ear }: CoreEvent & { readonly kind: 'found' }): void {
  const { core, world } = draft;
  const { best } = call.answer;
  if (core.simulated || (!call.voice && isTone(core.ownVoice, utterance.onsetMs, utterance.endMs))) return;
  takeUtterance(draft, utterance, true);
  if (best.length === 0) {
    if (!core.supervised || core.browserPhase === 'stopped')
      pass(draft, pair(draft, { kind: 'without-words', utterance: utterance.id }));
    return;
  }
  takeHeard(draft, {
    ear,
    generation: 0,
    phrase: utterance.id,
    alternatives: best.map(({ text, p, begins }) => ({ text, confidence: p, ...(begins ? { begins } : {}) })),
    final: true,
    tentative: false,
    firstWordsMs: world.nowMs,
    atMs: world.nowMs,
    utterance: utterance.id,
    ...(call.nearness === null ? {} : { nearness: call.nearness }),
  });
}

function takeHeard(draft: Draft, heard: Heard): void {
  // The live line of words is no place for the tool's own.
  if (!isSpeaking(draft.core.ownVoice)) emit(draft, { kind: 'heard', heard });
  pass(draft, pair(draft, { kind: 'heard', heard }));
}

function ofBrowser(draft: Draft, event: SupervisorEvent): void {
  const { core } = draft;
  switch (event.kind) {
    case 'heard':
      if (!core.simulated) takeHeard(draft, event.heard);
      return;
    case 'phase':
      core.browserPhase = event.phase;
      changed(draft);
      return;
    case 'trouble':
      tell(draft, wantsMicrophone(core) ? ofTheRecogniser(event.trouble) : event.trouble);
      return;
    case 'recovered':
      recovered(draft, event.trouble);
      if (event.trouble === 'microphone-lost') recovered(draft, 'recogniser-silent');
      return;
    case 'not-understood':
      // Where the page has the sound, the call is there already; where not, this is all that is known of it.
      if (!core.hearsSound) pass(draft, pair(draft, { kind: 'unheard', atMs: event.atMs }));
      return;
    case 'contention':
      return;
  }
}

/** Where the page has a microphone of its own, that one tells of its loss; here it is the recogniser that fails. */
function ofTheRecogniser(trouble: Trouble): Trouble {
  return trouble.kind === 'microphone-lost' ? { ...trouble, kind: 'recogniser-silent' } : trouble;
}
