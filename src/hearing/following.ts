import type { EarCall, Followed, FollowingEar, RoomLevel, TroubleKind, Utterance } from './ear.ts';
import { letGo } from './let-go.ts';
import type { SoundStretch } from './microphone.ts';
import type { Clock } from './recogniser.ts';

/**
 * Keeps an ear running along with the sound: hands it stretch after stretch, puts what it finds into page time,
 * notices when it stops answering, starts it again and has it hear again what it had not settled. Nothing said is
 * lost: the last seconds are kept until the ear is there, and where it never comes, what the loudness found in them is
 * released as sounds without words.
 */
export interface Following {
  phase(): 'off' | 'loading' | 'ready' | 'failed';
  /** 0..1. */
  loaded(): number;
  /** @param own the tool itself speaks in it */
  sound(stretch: SoundStretch, own: boolean): void;
  /** A sound that the loudness found: kept for as long as the ear has not heard that far. */
  utterance(utterance: Utterance, speech: boolean): void;
  open(): Promise<void>;
  close(): void;
}

export interface FollowingEvents {
  call(utterance: Utterance, found: EarCall, ear: FollowingEar): void;
  /** Page time since when words are being said, or may be said and are not heard yet, ms; null: none are. */
  hearing(sinceMs: number | null): void;
  room(level: RoomLevel): void;
  /** There is no ear to hear this sound. */
  released(utterance: Utterance, speech: boolean): void;
  trouble(kind: TroubleKind, stopped: boolean, cause: string): void;
  recovered(kind: TroubleKind): void;
  changed(): void;
}

/** An ear that has not answered for so long has died or hangs, ms: it answers in some 20 ms. */
const answerWithinMs = 1700;
/** One that was just started anew gets longer, ms: it may be the whole machine that is slow. */
const patientMs = 5000;
/** A page that was busy itself finds the answer in its mail after so long, ms. */
const mailMs = 120;
/** An ear that stops again so soon after it was started anew is given up, ms. */
const againMs = 20_000;
/** A restart is said for so long, ms: it takes half a second, too short to read. */
const restartSaidMs = 4000;
/** Sound is kept for so long, ms. */
const keptMs = 20_000;
/** What ends so long before the point up to which the ear has heard was heard. */
const heardMs = 100;

/** The ear and the loudness put the ends of one call no farther apart, ms. */
const sameMs = 250;

interface Kept extends SoundStretch {
  /** In room that is used again: the sound itself goes to the ear, which may empty it here. */
  readonly samples: Float32Array<ArrayBuffer>;
  readonly own: boolean;
  /** Seconds of sound from the start of the stream to its first sample; NaN: not handed to this ear. */
  fromS: number;
}

export function makeFollowing(
  clock: Clock,
  makeEar: (() => Promise<FollowingEar>) | undefined,
  on: FollowingEvents,
): Following {
  let phase: ReturnType<Following['phase']> = 'off';
  let loaded = 0;
  let ear: FollowingEar | null = null;
  let kept: Kept[] = [];
  /** Room of stretches that are no longer kept: 200 kB a second would else lie about until the collector comes. */
  const spare: Float32Array<ArrayBuffer>[] = [];
  /** Found by loudness; the ear has not heard that far. */
  let sounds: { readonly utterance: Utterance; readonly speech: boolean }[] = [];
  let calls: { readonly onsetMs: number; readonly endMs: number; readonly from: FollowingEar }[] = [];
  /** Page time before which the ear finds nothing more. */
  let settledMs = Number.NEGATIVE_INFINITY;
  /** The same, as the ear left it that was last given up. */
  let leftSettledMs = Number.NEGATIVE_INFINITY;
  let streamS = 0;
  /** Handed over, oldest first; not answered yet. */
  let unanswered: Kept[] = [];
  /** Since when words are being said, page time, ms. */
  let wordsSinceMs: number | null = null;
  let lastAnswerMs = 0;
  let cancelWatch: (() => void) | null = null;
  let restartedMs = Number.NEGATIVE_INFINITY;

  const lengthMs = ({ samples, sampleRate }: SoundStretch): number => (1000 * samples.length) / sampleRate;

  const stretchAt = (s: number): Kept | undefined => kept.findLast(({ fromS }) => fromS <= s);

  /** Page time of a moment of the ear's stream, ms. */
  const pageMs = (s: number): number => {
    const stretch = stretchAt(s) ?? kept.find(({ fromS }) => !Number.isNaN(fromS));
    return stretch ? stretch.startMs + 1000 * (s - stretch.fromS) : clock.now();
  };

  const watch = (): void => {
    if (cancelWatch) return;
    const withinMs = clock.now() - restartedMs < againMs ? patientMs : answerWithinMs;
    const dueMs = lastAnswerMs + withinMs;
    cancelWatch = clock.after(Math.max(0, dueMs - clock.now()), () => {
      cancelWatch = null;
      if (!ear || unanswered.length === 0) return;
      if (clock.now() < lastAnswerMs + withinMs) {
        watch();
        return;
      }
      const [waiting, before] = [ear, lastAnswerMs];
      cancelWatch = clock.after(mailMs, () => {
        cancelWatch = null;
        if (lastAnswerMs === before) stopped(waiting, `no answer within ${withinMs} ms`);
        else if (unanswered.length > 0) watch();
      });
    });
  };

  /** @param samples for the ear alone */
  const hand = (stretch: Kept, first: boolean, samples: Float32Array<ArrayBuffer>): void => {
    const asked = ear;
    if (!asked) return;
    stretch.fromS = streamS;
    streamS += lengthMs(stretch) / 1000;
    if (unanswered.length === 0) lastAnswerMs = clock.now();
    unanswered.push(stretch);
    watch();
    tellHearing();
    const { sampleRate, own } = stretch;
    asked.follow({ samples, sampleRate, own, first }).then(
      (answer) => {
        if (ear !== asked) return;
        unanswered.shift();
        lastAnswerMs = clock.now();
        take(answer, asked);
      },
      (error: unknown) => stopped(asked, String(error)),
    );
  };

  const tellHearing = (): void => {
    const since = Math.min(
      wordsSinceMs ?? Number.POSITIVE_INFINITY,
      unanswered[0]?.startMs ?? Number.POSITIVE_INFINITY,
    );
    on.hearing(since === Number.POSITIVE_INFINITY ? null : since);
  };

  const take = (followed: Followed, from: FollowingEar): void => {
    for (const call of followed.calls) {
      const onsetMs = pageMs(call.onsetS);
      const endMs = onsetMs + 1000 * (call.endS - call.onsetS);
      if (onsetMs < restartedMs && wasHeard(onsetMs, endMs, from)) continue;
      calls.push({ onsetMs, endMs, from });
      const { id, samples, sampleRate, onsetIndex, clipped, uOnsetS } = call;
      const uStartMs = stretchAt(call.onsetS)?.uStartMs ?? 0;
      const uOnsetMs = Math.hypot(1000 * uOnsetS, uStartMs);
      const best = call.answer.best.map(({ begins, ...sentence }) =>
        begins ? { ...sentence, begins: { ...begins, uMs: Math.hypot(begins.uMs, uStartMs) } } : sentence,
      );
      const answer = { ...call.answer, best };
      on.call({ id, onsetMs, endMs, uOnsetMs, samples, sampleRate, onsetIndex, clipped }, { ...call, answer }, from);
    }
    settledMs = Math.max(settledMs, pageMs(followed.settledS));
    wordsSinceMs = followed.hearingS === null ? null : pageMs(followed.hearingS);
    tellHearing();
    on.room(followed.room);
    forget();
  };

  /** Sound from before a restart is heard again: what the ear before it found is known. */
  const wasHeard = (onsetMs: number, endMs: number, from: FollowingEar): boolean =>
    endMs < leftSettledMs - heardMs ||
    calls.some((one) => one.from !== from && one.onsetMs < endMs && one.endMs > onsetMs + heardMs);

  /** What is older than any call can be, or was heard. */
  const forget = (): void => {
    const nowMs = clock.now();
    // The ear has heard these: its own cuts of the sound are used.
    for (const { utterance } of sounds.filter(({ utterance }) => utterance.endMs <= settledMs))
      letGo(utterance.samples);
    sounds = sounds.filter(({ utterance }) => utterance.endMs > settledMs);
    while (kept[0] && kept[0].startMs <= nowMs - keptMs) spare.push(...kept.splice(0, 1).map(({ samples }) => samples));
    calls = calls.filter(({ endMs }) => endMs > nowMs - 2 * keptMs);
  };

  const copyOf = (samples: Float32Array): Float32Array<ArrayBuffer> => {
    const room = spare.pop();
    const copy = room?.length === samples.length ? room : new Float32Array(samples.length);
    copy.set(samples);
    return copy;
  };

  const release = (which: typeof sounds): void => {
    sounds = sounds.filter((one) => !which.includes(one));
    for (const { utterance, speech } of which) on.released(utterance, speech);
  };

  /** Starts the ear anew, once in a while; what it had not settled is heard again. */
  const stopped = (which: FollowingEar, cause: string): void => {
    if (ear !== which) return;
    if (clock.now() - restartedMs < againMs) {
      failed(cause);
      return;
    }
    restartedMs = clock.now();
    leftSettledMs = settledMs;
    drop();
    phase = 'off';
    on.trouble('ear-restarting', false, `own ear: ${cause}`);
    void open().then(() => {
      if (phase === 'ready') clock.after(restartSaidMs, () => on.recovered('ear-restarting'));
    });
  };

  const drop = (): void => {
    cancelWatch?.();
    cancelWatch = null;
    ear?.dispose();
    ear = null;
    unanswered = [];
    wordsSinceMs = null;
  };

  const failed = (cause: string): void => {
    drop();
    phase = 'failed';
    on.recovered('ear-restarting');
    on.trouble('recogniser-missing', true, `own ear: ${cause}`);
    releaseAll();
    kept = [];
  };

  /** No ear will hear them. */
  const releaseAll = (): void => {
    sounds = sounds.filter(({ utterance }) => !calls.some((one) => same(one, utterance)));
    release(sounds);
  };

  const open = async (): Promise<void> => {
    if (phase === 'loading' || phase === 'ready') return;
    phase = 'loading';
    loaded = 0;
    on.changed();
    try {
      if (!makeEar) throw new Error('none given');
      const made = await makeEar();
      await made.load((part) => {
        loaded = part;
        on.changed();
      });
      // It was closed meanwhile.
      if (phaseNow() !== 'loading') {
        made.dispose();
        return;
      }
      ear = made;
      phase = 'ready';
      loaded = 1;
      streamS = 0;
      lastAnswerMs = clock.now();
      on.changed();
      for (const stretch of kept) stretch.fromS = Number.NaN;
      for (const [index, stretch] of [...kept].entries()) hand(stretch, index === 0, stretch.samples.slice());
    } catch (error) {
      if (phaseNow() === 'loading') failed(String(error));
    }
  };
  const phaseNow = (): typeof phase => phase;

  return {
    phase: () => phase,
    loaded: () => loaded,
    sound(stretch, own) {
      if (phase === 'off' || phase === 'failed') return;
      const mine: Kept = { ...stretch, samples: copyOf(stretch.samples), own, fromS: Number.NaN };
      const first = kept.length === 0;
      kept.push(mine);
      if (ear) {
        hand(mine, first && streamS === 0, stretch.samples);
        return;
      }
      forget();
      const oldest = kept[0]?.startMs ?? clock.now();
      release(sounds.filter(({ utterance }) => utterance.onsetMs < oldest - 1000));
    },
    utterance(utterance, speech) {
      if (utterance.endMs > settledMs) sounds.push({ utterance, speech });
      else letGo(utterance.samples);
    },
    open,
    close() {
      drop();
      phase = 'off';
      releaseAll();
      kept = [];
      calls = [];
      settledMs = Number.NEGATIVE_INFINITY;
      leftSettledMs = Number.NEGATIVE_INFINITY;
      restartedMs = Number.NEGATIVE_INFINITY;
    },
  };
}

function same(a: { onsetMs: number; endMs: number }, b: { onsetMs: number; endMs: number }): boolean {
  return Math.abs(a.onsetMs - b.onsetMs) < sameMs && Math.abs(a.endMs - b.endMs) < sameMs;
}
