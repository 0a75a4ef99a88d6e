import {
  type Accessor,
  createContext,
  createEffect,
  createSignal,
  on,
  onCleanup,
  type ParentProps,
  useContext,
} from 'solid-js';
import type { WhyNotStored } from '../log/durable-writes.ts';
import type { EventBody, NotebookEvent } from '../log/event.ts';
import { holdNotebook } from '../log/holding.ts';
import { createNotebook, type Journal, type JournalOptions, openUnstored } from '../log/journal.ts';
import { askToKeep, type Keeping, keepingSoFar } from '../log/persistence.ts';
import type { Notebook, NotebookState } from '../log/state.ts';
import { makeNotebookStore, type NotebookStore, type NotebookSummary } from '../log/store.ts';
import { secondCopyLater, withSecondCopy } from '../log/with-second-copy.ts';
import { type PracticeKind, practiceOf } from '../rehearsal/practice-kind.ts';
import { makeOpenNotebook, type OpenNotebook } from './desk/open-notebook.ts';
import { startDesk } from './desk/start.ts';
import { makeTroubles, type Troubles } from './desk/troubles.ts';
import { deskTexts } from './desk-texts.ts';
import { exampleInTab, noteExampleInTab } from './practice/example-in-tab.ts';
import { isMeasured } from './practice/is-measured.ts';
import { currentPractice, endPractice } from './rehearsal/current.ts';
import type { Late, Rescued } from './rescue.ts';
import { textsOf } from './texts.ts';

/**
 * The desk: the one open notebook as the screens see it. State comes through accessors, events go in through
 * `record`. Screens hold no domain state of their own.
 */
export interface Desk {
  /** The state of the open notebook, or null before one is open. */
  readonly state: Accessor<NotebookState | null>;
  readonly journal: Accessor<Journal | null>;
  readonly notebooks: Accessor<readonly NotebookSummary[]>;
  /** The page has just begun and looks for the notebook that was open last. */
  readonly opening: Accessor<boolean>;
  /** A sentence about storage or opening that the person must see, or null. */
  readonly problem: Accessor<string | null>;
  readonly dismissProblem: () => void;
  /** Shows a sentence about trouble. */
  complain(sentence: string): void;
  /** Why entries of the open notebook are only in this page; null when all are stored. */
  readonly unsaved: Accessor<WhyNotStored | null>;
  /** Tries again to store what is only in this page. */
  retry(): Promise<void>;
  /** The notebook as it now is was handed out as a file: nothing is lost when it is closed. */
  savedAsFile(): void;
  readonly store: NotebookStore;
  /** Ids of the notebooks that did not open here. */
  readonly failing: Accessor<ReadonlySet<string>>;
  /** Id of a notebook that another window holds, or null. It can be taken over here. */
  readonly elsewhere: Accessor<string | null>;
  takeOver(): Promise<void>;
  /** What the browser has not returned for eight seconds, for as long as it is waited for; null otherwise. */
  readonly late: Accessor<Late | null>;
  /** Waits no longer for it: an answer that comes after all changes nothing on the screen. */
  goWithout(): void;
  /**
   * What can be had of the notebooks that are late, from the second copy or as they are stored: JSON texts of notebook
   * files. Asks each for five seconds at most.
   */
  rescued(what: Late): Promise<readonly Rescued[]>;
  /** Whether the browser promised to keep this page's data. */
  readonly keeping: Accessor<Keeping>;
  /** Adds events to the open notebook; resolves when they are durable, or with null after showing why not. */
  record(...bodies: EventBody[]): Promise<readonly NotebookEvent[] | null>;
  /** Makes a notebook and opens it; false when none was made (the person was told why). */
  create(title: string): Promise<boolean>;
  open(id: string): Promise<void>;
  /** Stores a notebook from outside (file, link, demo) and opens it. */
  keep(notebook: Notebook): Promise<void>;
  remove(id: string): Promise<void>;
  /** Whether the open notebook is the example or a rehearsal: nothing real is recorded into these. */
  readonly practice: Accessor<PracticeKind | null>;
  /** Whether the open notebook takes new readings: not the example, and a rehearsal only while it is going on. */
  readonly takesReadings: Accessor<boolean>;
  /** Leaves the example or the rehearsal for the notebook that was open before; for none where there was none. */
  leave(): Promise<void>;
  /** Looks again at what is stored, after something was stored past the desk (an archive that was taken in). */
  refresh(): Promise<void>;
  /** The text a screen reader is to say, politely; also shown where a screen wants it. */
  readonly announcement: Accessor<string>;
  announce(sentence: string): void;
}

const DeskContext = createContext<Desk>();

export function useDesk(): Desk {
  const desk = useContext(DeskContext);
  if (!desk) throw new Error('useDesk outside DeskProvider');
  return desk;
}

export function DeskProvider(props: ParentProps<{ desk: Desk }>) {
  return <DeskContext.Provider value={props.desk}>{props.children}</DeskContext.Provider>;
}

/** Makes the desk and opens the notebook that was open last, so that a reload in the middle of a run goes on. */
export function createDesk(database: NotebookStore = makeNotebookStore(), app = ''): Desk {
  const troubles = makeTroubles();
  const { say, guarded } = troubles;
  const [notebooks, setNotebooks] = createSignal<readonly NotebookSummary[]>([]);
  const [opening, setOpening] = createSignal(true);
  const [announcement, announce] = createSignal('', { equals: false });
  const [elsewhere, setElsewhere] = createSignal<string | null>(null);
  const [keeping, setKeeping] = createSignal<Keeping>('unknown');
  const t = textsOf(deskTexts);
  const copy = secondCopyLater();
  let copyFailed = false;
  const onUnwritten = (): void => {
    // Once is enough, and while the notebook itself is not stored that is the sentence to read.
    if (copyFailed || open.unsaved() !== null) return;
    copyFailed = true;
    say(t().unwritten);
  };
  const store = withSecondCopy(database, copy, onUnwritten);
  const journals: JournalOptions = { store, app, onRewritten: () => say(t().rewritten) };
  const refresh = async (): Promise<void> => {
    setNotebooks(await store.list());
  };
  const open: OpenNotebook = makeOpenNotebook({
    journals,
    troubles,
    titleOf: (id) => notebooks().find((one) => one.id === id)?.title ?? '',
    onElsewhere: setElsewhere,
    onGone: () => guarded(refresh),
  });
  const { journal, practice } = open;
  createEffect(on(practice, (kind) => noteExampleInTab(kind === 'example'), { defer: true }));
  onCleanup(open.close);
  const onLeaving = (event: BeforeUnloadEvent): void => {
    if (open.onlyHere()) event.preventDefault();
  };
  addEventListener('beforeunload', onLeaving);
  onCleanup(() => removeEventListener('beforeunload', onLeaving));
  void keepingSoFar().then(setKeeping);

  const openLast = async (): Promise<void> => {
    // A rehearsal lives as long as its page and is over now; the example comes back where this tab had it open.
    const last = notebooks().find((notebook) => {
      const kind = practiceOf(notebook);
      return kind === null || (kind === 'example' && exampleInTab());
    })?.id;
    // What does not open must not keep the rest from being put right.
    if (last && !journal() && opening()) await guarded(() => open.open(last));
    setOpening(false);
  };
  void guarded(() => startDesk({ database, copy, troubles, refresh, openLast, onUnwritten })).finally(() =>
    setOpening(false),
  );

  return {
    state: open.state,
    journal,
    notebooks,
    opening,
    problem: troubles.problem,
    dismissProblem: () => say(null),
    complain: say,
    unsaved: open.unsaved,
    async retry() {
      await guarded(async () => journal()?.retry());
    },
    savedAsFile: open.savedAsFile,
    store,
    failing: open.failing,
    announcement,
    announce,
    elsewhere,
    late: troubles.late,
    goWithout() {
      troubles.stopWaiting();
      setOpening(false);
      // Lets go of the notebook that is being opened.
      if (!journal()) open.close();
    },
    async rescued(what) {
      const { rescuedNotebooks } = await import('./rescue.ts');
      return rescuedNotebooks(what, database, copy);
    },
    keeping,
    practice,
    async refresh() {
      await guarded(refresh);
    },
    ...recording(open, troubles),
    ...changes({ open, troubles, journals, notebooks, refresh, elsewhere, setElsewhere, setKeeping }),
  };
}

/** What goes into the open notebook. */
function recording(
  { journal, practice }: OpenNotebook,
  { say, guarded }: Troubles,
): Pick<Desk, 'record' | 'takesReadings'> {
  const t = textsOf(deskTexts);
  const takesReadings = (): boolean =>
    practice() === null || (practice() === 'rehearsal' && currentPractice()?.notebook === journal()?.id);
  return {
    takesReadings,
    async record(...bodies) {
      const open = journal();
      if (!open) throw new Error('record without an open notebook');
      const refused = bodies.some(
        (body) =>
          (body.kind === 'readings-entered' && practice() !== null) ||
          (!takesReadings() && isMeasured(body, open.state())),
      );
      if (refused) {
        say(t().takesNone);
        return null;
      }
      return guarded(() => open.record(...bodies));
    },
  };
}

/** How one notebook gives way to another on the desk. */
function changes(desk: {
  readonly open: OpenNotebook;
  readonly troubles: Troubles;
  readonly journals: JournalOptions;
  readonly notebooks: Accessor<readonly NotebookSummary[]>;
  readonly elsewhere: Accessor<string | null>;
  readonly refresh: () => Promise<void>;
  readonly setElsewhere: (id: string | null) => void;
  readonly setKeeping: (keeping: Keeping) => void;
}): Pick<Desk, 'create' | 'open' | 'takeOver' | 'keep' | 'leave' | 'remove'> {
  const { open, journals, notebooks, elsewhere, refresh } = desk;
  const { say, guarded } = desk.troubles;
  const t = textsOf(deskTexts);
  /** Whether the open notebook can give way to another; says so where it cannot. */
  const givesWay = (): boolean => {
    if (!open.onlyHere()) return true;
    say(t().saveFirst);
    return false;
  };
  return {
    async create(title) {
      if (!givesWay()) return false;
      const opened = await guarded(async () => {
        const made = await createNotebook(title, journals);
        await open.hold(made.id);
        open.show(made);
        // The list is on another screen: the Bench does not wait for it.
        if (open.unsaved() === null) void guarded(refresh);
        return true;
      });
      // Some browsers ask the person, who may leave the question standing: nothing waits for the answer.
      void askToKeep().then(desk.setKeeping);
      return opened ?? false;
    },
    async open(id) {
      if (givesWay()) await guarded(() => open.open(id));
    },
    async takeOver() {
      const id = elsewhere();
      if (id) await guarded(() => open.open(id, true));
    },
    async keep(notebook) {
      if (!givesWay()) return;
      await guarded(async () => {
        try {
          await journals.store.adopt(notebook.id, notebook.events);
        } catch {
          open.close();
          open.show(await openUnstored(notebook, journals));
          return;
        }
        await open.open(notebook.id);
        await refresh();
      });
    },
    async leave() {
      const to = open.before();
      endPractice();
      if (!givesWay()) return;
      if (to && notebooks().some(({ id }) => id === to)) await guarded(() => open.open(to));
      else open.close();
    },
    async remove(id) {
      await guarded(async () => {
        const wasOpen = open.journal()?.id === id;
        if (wasOpen) open.close();
        await journals.store.remove(id);
        // A window that has it open loses its hold, finds the tombstone and says so.
        if (!wasOpen) (await holdNotebook(id, true))?.release();
        if (elsewhere() === id) desk.setElsewhere(null);
        await refresh();
      });
    },
  };
}
