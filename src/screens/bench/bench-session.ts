import { type Accessor, createEffect, createRoot, createSignal, getOwner, runWithOwner } from 'solid-js';
import { type Cue, cueTones, makeCues } from '../../answering/cues.ts';
import type { Session } from '../../bench/session.ts';
import type { SessionView } from '../../bench/session-step.ts';
import type { Listening } from '../../hearing/listening.ts';
import type { ListeningState } from '../../hearing/listening-step.ts';
import type { TroubleSentence } from '../../hearing/trouble.ts';
import { dayLanguage } from '../../language/page-language.ts';
import type { Journal } from '../../log/journal.ts';
import type { Desk } from '../desk.tsx';
import { germanSoon } from '../german.ts';
import { preferences } from '../preferences/device.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { inUse } from '../voice/in-use.ts';
import type { Ears } from './ears.ts';
import { type Hearing, hearingOf } from './hearing-state.ts';
import { lateSession } from './late-session.ts';
import { texts } from './texts.ts';
import { keepAwake } from './wake-lock.ts';

/**
 * Everything alive at the bench for one notebook: listening, session, cues, speaker, wake lock. It outlives the Bench
 * screen, so that a look at Readings does not close the microphone.
 */
export interface BenchSession {
  readonly session: Session;
  readonly view: Accessor<SessionView>;
  readonly hearing: Accessor<Hearing>;
  /** A sound is going on. */
  readonly sounding: Accessor<boolean>;
  readonly troubles: Accessor<readonly TroubleSentence[]>;
  /** Opens the microphone, or takes it up again; call it in a tap. */
  open(): Promise<void>;
  close(): void;
  /** Notebook time now, ms. */
  now(): number;
  /** The door for a simulated caller (rehearsal), once the ears are there. */
  door(): Promise<Listening['inject']>;
}

/** One for the page: it owns the microphone. */
let current: { journal: Journal; bench: BenchSession; dispose: () => void } | null = null;

/** The bench of the notebook that is open; another notebook closes the one before. */
export function benchSession(desk: Desk): BenchSession {
  const journal = desk.journal();
  if (!journal) throw new Error('a bench needs an open notebook');
  if (current?.journal === journal) return current.bench;
  current?.dispose();
  current = createRoot((dispose) => {
    const made = makeBench(desk, journal);
    const end = (): void => {
      made.close();
      dispose();
    };
    createEffect(() => {
      if (desk.journal() === journal) return;
      if (current?.journal === journal) current = null;
      end();
    });
    return { journal, bench: made, dispose: end };
  });
  return current.bench;
}

/** Closes the bench's microphone, if it is open: another screen is about to listen. */
export function restBench(): void {
  current?.bench.close();
}

function makeBench(desk: Desk, journal: Journal): BenchSession {
  const t = textsOf(texts);
  const [state, setState] = createSignal<ListeningState | null>(null);
  const [troubles, setTroubles] = createSignal<readonly TroubleSentence[]>([]);
  const [sounding, setSounding] = createSignal(false);
  let ears: Ears | null = null;

  const cues = makeCues();
  /** The ears learn of each tone by itself: what is said between two tones is a call. */
  const play = (cue: Cue): void => {
    if (cues.play(cue) === 0) return;
    for (const { atMs, lengthMs } of cueTones[cue]) setTimeout(() => ears?.listening.cue(lengthMs), atMs);
  };
  const session = lateSession(
    {
      state: journal.state,
      record: (...bodies) => desk.record(...bodies),
      timeOf: journal.timeOf,
      now: journal.now,
      keepClip: async (call, { samples, sampleRate }) => {
        const { clipType, encodeClip } = await import('../../hearing/clip.ts');
        const clip = new Blob([encodeClip(samples, sampleRate)], { type: clipType });
        await desk.store.putClip(journal.id, call, clip).catch((error) => {
          // Room for figures may be left where there is none for sounds; while both fail, one sentence is enough.
          if (!desk.unsaved()) desk.complain(t().clipNotKept);
          throw error;
        });
      },
      understanding: () => ears?.understanding ?? null,
      play,
      say: (reply) => void ears?.speaker.say(reply.saying ? ears.aloud(reply.saying) : (reply.say ?? reply.text)),
      preferences,
      shownIn: pageLanguage,
      hearsWords: () => (state()?.ears.length ?? 0) > 0,
      decisions: async () => {
        if (dayLanguage(preferences().language) === 'de') await germanSoon();
        return (await import('../../bench/decisions.ts')).runSheetDecisions;
      },
    },
    (missing) => setTroubles(missing ? [t().notLoaded] : []),
  );
  const [view, setView] = createSignal(session.view());
  session.subscribe(() => setView(session.view()));
  // Calls in German are answered in German, whatever language the page is read in: the first one too.
  createEffect(() => {
    if (dayLanguage(preferences().language) === 'de') void germanSoon();
  });
  const owner = getOwner();
  import('./watch-run.ts')
    .then(({ watchRun }) => runWithOwner(owner, () => watchRun(journal, session)))
    .catch((error) => console.error('the run is not watched', error));
  // With the ear's own worker, which the Bench does not need to be on the screen.
  import('../voice/learn-at-work.ts')
    .then(({ learnAtWork }) => runWithOwner(owner, () => learnAtWork(desk, journal)))
    .catch((error) => console.error('nothing is learnt', error));

  /** The ears come after the Bench is on the screen; they are there long before anybody taps. */
  const load = async (): Promise<Ears> => {
    const { makeEars } = await import('./ears.ts');
    const made = makeEars(preferences());
    ears = made;
    setState(made.listening.state());
    made.listening.subscribe((event) => {
      session.hear(event);
      if (event.kind === 'state') {
        setState(event.state);
        setTroubles(event.state.troubles.map((trouble) => made.sentenceOf(trouble, pageLanguage())));
      } else if (event.kind === 'level') setSounding(event.level.speaking);
      else if (event.kind === 'trouble') play('trouble');
    });
    return made;
  };
  let loading = load();
  loading.catch(() => setTroubles([t().notLoaded]));
  createEffect(() => {
    const wanted = preferences();
    cues.setVolume(wanted.cueVolume);
    cues.setSilent(wanted.silent);
    void loading.then((made) => made.prefer(wanted)).catch(() => {});
  });

  let sleep: (() => void) | null = null;
  return {
    session,
    view,
    hearing: () => hearingOf(state(), preferences().soundMarks, inUse(), preferences().language, t()),
    sounding,
    troubles,
    async open() {
      cues.prime();
      sleep ??= keepAwake();
      const { language } = preferences();
      if (ears && ears.language !== language && ears.listening.state().phase === 'closed') loading = load();
      const { listening, speaker } = await loading;
      speaker.prime();
      await listening.resume();
    },
    close() {
      ears?.listening.close();
      ears?.speaker.cancel();
      sleep?.();
      sleep = null;
    },
    now: journal.now,
    door: async () => (await loading).listening.inject,
  };
}
