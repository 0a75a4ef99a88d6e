import {
  type Accessor,
  createContext,
  createEffect,
  createMemo,
  createSignal,
  on,
  onCleanup,
  type ParentProps,
  useContext,
} from 'solid-js';
import { isStorageFailure, NewerDatabase } from '../log/database.ts';
import { NotStored, type WhyNotStored } from '../log/durable-writes.ts';
import type { EventBody, NotebookEvent } from '../log/event.ts';
import { type Holding, holdNotebook } from '../log/holding.ts';
import { createNotebook, type Journal, type JournalOptions, openNotebook, openUnstored } from '../log/journal.ts';
import { NewerNotebook } from '../log/migrate.ts';
import { askToKeep, type Keeping, keepingSoFar } from '../log/persistence.ts';
import type { Differences } from '../log/reconcile.ts';
import type { Notebook, NotebookState } from '../log/state.ts';
import { makeNotebookStore, NotebookDeleted, type NotebookStore, type NotebookSummary } from '../log/store.ts';
import { secondCopyLater, withSecondCopy } from '../log/with-second-copy.ts';
import { type PracticeKind, practiceOf } from '../rehearsal/practice-kind.ts';
import { deskTexts } from './desk-texts.ts';
import { patienceMs } from './patience.ts';
import { exampleInTab, noteExampleInTab } from './practice/example-in-tab.ts';
import { isMeasured } from './practice/is-measured.ts';
import { currentPractice, endPractice } from './rehearsal/current.ts';
import type { Late, Rescued } from './rescue.ts';
import { pageLanguage, textsOf } from './texts.ts';

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
export function createDesk(first: NotebookStore = makeNotebookStore(), app = ''): Desk {
  const [journal, setJournal] = createSignal<Journal | null>(null);
  const [state, setState] = createSignal<NotebookState | null>(null);
  const [notebooks, setNotebooks] = createSignal<readonly NotebookSummary[]>([]);
  const [opening, setOpening] = createSignal(true);
  const [problem, setProblem] = createSignal<string | null>(null);
  const [announcement, announce] = createSignal('', { equals: false });
  const [failing, setFailing] = createSignal<ReadonlySet<string>>(new Set());
  const [elsewhere, setElsewhere] = createSignal<string | null>(null);
  const [keeping, setKeeping] = createSignal<Keeping>('unknown');
  const [unsaved, setUnsaved] = createSignal<WhyNotStored | null>(null);
  const [late, setLate] = createSignal<Late | null>(null);
  const t = textsOf(deskTexts);
  /** How many events the file held that the notebook was last saved as. */
  let inFile = 0;
  const copy = secondCopyLater();
  let copyFailed = false;
  const store = withSecondCopy(first, copy, () => {
    // Once is enough, and while the notebook itself is not stored that is the sentence to read.
    if (copyFailed || unsaved() !== null) return;
    copyFailed = true;
    setProblem(t().unwritten);
  });
  const options: JournalOptions = { store, app, onRewritten: () => setProblem(t().rewritten) };
  /** The notebook of one's own that was open before the example or a rehearsal. */
  let before: string | null = null;
  let unsubscribe = (): void => {};
  let holding: Holding | null = null;
  /** Of the last notebook that somebody wanted; the answer to an earlier wish comes too late. */
  let wish: object | null = null;
  /** Held for notebooks that are still being opened: that may write, so it is let go of only afterwards. */
  const openings = new Set<Holding>();
  void keepingSoFar().then(setKeeping);

  const practice = createMemo((): PracticeKind | null => {
    const open = journal();
    return open && practiceOf({ id: open.id, title: state()?.title ?? '' });
  });
  const takesReadings = (): boolean =>
    practice() === null || (practice() === 'rehearsal' && currentPractice()?.notebook === journal()?.id);
  createEffect(on(practice, (kind) => noteExampleInTab(kind === 'example'), { defer: true }));

  const close = (): void => {
    if (journal() && practice() === null) before = journal()?.id ?? null;
    unsubscribe();
    unsubscribe = () => {};
    if (holding && !openings.has(holding)) holding.release();
    holding = null;
    wish = null;
    setJournal(null);
    setState(null);
    setUnsaved(null);
    setLate(null);
    inFile = 0;
  };
  onCleanup(close);

  const onlyHere = (): boolean => unsaved() !== null && inFile < (journal()?.events().length ?? 0);
  const onLeaving = (event: BeforeUnloadEvent): void => {
    if (onlyHere()) event.preventDefault();
  };
  addEventListener('beforeunload', onLeaving);
  onCleanup(() => removeEventListener('beforeunload', onLeaving));

  /** Whether the open notebook can give way to another; says so where it cannot. */
  const givesWay = (): boolean => {
    if (!onlyHere()) return true;
    setProblem(t().saveFirst);
    return false;
  };

  const refresh = async (): Promise<void> => {
    setNotebooks(await store.list());
  };

  /** Makes this window the one that may add to the notebook; null when another window is, or another was wanted since. */
  const hold = async (id: string, takeOver = false): Promise<Holding | null> => {
    close();
    const mine = {};
    wish = mine;
    const held = await holdNotebook(id, takeOver);
    if (wish !== mine) {
      held?.release();
      return null;
    }
    setElsewhere(held ? null : id);
    holding = held;
    void held?.lost.then(async () => {
      if (holding !== held) return;
      // What only this window has stays here to be saved.
      if (onlyHere()) {
        setProblem(t().takenOver);
        return;
      }
      const gone = (await store.deleted().catch(() => new Set())).has(id);
      if (holding !== held) return;
      close();
      if (gone) {
        setProblem(t().deletedElsewhere);
        await guarded(refresh);
      } else setElsewhere(id);
    });
    return held;
  };

  /** Says what is being waited for once that takes long. */
  const watched = async <T,>(what: Late, work: () => Promise<T>): Promise<T> => {
    const timer = setTimeout(() => setLate(what), patienceMs);
    try {
      return await work();
    } finally {
      clearTimeout(timer);
      if (late() === what) setLate(null);
    }
  };

  const openHeld = (id: string, takeOver = false): Promise<void> =>
    watched({ id, title: notebooks().find((one) => one.id === id)?.title ?? '' }, () => openNow(id, takeOver));

  const openNow = async (id: string, takeOver: boolean): Promise<void> => {
    const mine = await hold(id, takeOver);
    if (!mine) return;
    openings.add(mine);
    try {
      const opened = await openNotebook(id, options);
      // Given up, or another was opened meanwhile: that one stays.
      if (holding === mine) show(opened);
    } catch (error) {
      if (holding !== mine) return;
      close();
      // Storage that fails fails for all of them; anything else is about this one.
      if (isStorageFailure(error)) throw error;
      setFailing(new Set([...failing(), id]));
      if (error instanceof NewerNotebook || error instanceof NotebookDeleted) throw error;
      setProblem(t().notOpened(notebooks().find((one) => one.id === id)?.title ?? ''));
    } finally {
      openings.delete(mine);
      if (holding !== mine) mine.release();
    }
  };

  const show = (opened: Journal): void => {
    const update = (): void => {
      setState(opened.state());
      setUnsaved(opened.whyUnsaved());
      // Said there with the ways out; twice is noise.
      if (unsaved() !== null && problem() === t().nothingKept) setProblem(null);
    };
    unsubscribe = opened.subscribe(update);
    setJournal(opened);
    update();
    if (opened.damaged.length > 0) setProblem(t().damaged(opened.damaged.length));
  };

  /** Runs something that touches storage; a failure becomes a sentence on the screen. */
  const guarded = async <T,>(work: () => Promise<T>): Promise<T | null> => {
    try {
      return await work();
    } catch (error) {
      // Entries that were not stored stand in `unsaved`, with ways out, for as long as that is so.
      if (error instanceof NewerNotebook) setProblem(t().newerNotebook);
      else if (error instanceof NewerDatabase) setProblem(t().newerDatabase);
      else if (error instanceof NotebookDeleted) setProblem(t().deletedElsewhere);
      else if (!(error instanceof NotStored)) setProblem(t().nothingKept);
      return null;
    }
  };

  /** Makes the database and the second copy agree, in a worker; what came of it is said. */
  const agree = async (found: Differences): Promise<void> => {
    const { reconcileBeside, reconcileTexts } = await import('./reconcile-beside.ts');
    const { restored, unreadable, unwritten } = await reconcileBeside(found, first, copy);
    const said = reconcileTexts[pageLanguage()];
    if (restored > 0) await guarded(refresh);
    if (unwritten > 0 && !copyFailed) {
      copyFailed = true;
      setProblem(t().unwritten);
    }
    if (restored > 0) setProblem(said.restored(restored));
    else if (unreadable > 0) setProblem(said.unreadable(unreadable));
  };

  void guarded(async () => {
    const comparing = import('../log/reconcile.ts')
      .then(({ differencesOf }) => differencesOf(first, copy))
      .catch(() => null);
    const found = await watched({ id: null, title: '' }, async () => {
      await refresh();
      // Cache storage that does not answer must not keep the page waiting.
      const differences = await Promise.race([comparing, new Promise<null>((stop) => setTimeout(stop, 3000, null))]);
      if (differences && differences.restore.length > 0) await agree({ ...differences, copy: [] });
      return differences;
    });
    // A rehearsal lives as long as its page and is over now; the example comes back where this tab had it open.
    const last = notebooks().find((notebook) => {
      const kind = practiceOf(notebook);
      return kind === null || (kind === 'example' && exampleInTab());
    })?.id;
    // What does not open must not keep the rest from being put right.
    if (last && !journal() && opening()) await guarded(() => openHeld(last));
    setOpening(false);
    if (found && found.copy.length > 0) await agree({ restore: [], purge: [], copy: found.copy });
    else if (found && found.restore.length === 0 && found.purge.length > 0) await agree(found);
  }).finally(() => setOpening(false));

  return {
    state,
    journal,
    notebooks,
    opening,
    problem,
    dismissProblem: () => setProblem(null),
    complain: setProblem,
    unsaved,
    async retry() {
      await guarded(async () => journal()?.retry());
    },
    savedAsFile() {
      inFile = journal()?.events().length ?? 0;
    },
    store,
    failing,
    announcement,
    announce,
    async record(...bodies) {
      const open = journal();
      if (!open) throw new Error('record without an open notebook');
      const refused = bodies.some(
        (body) =>
          (body.kind === 'readings-entered' && practice() !== null) ||
          (!takesReadings() && isMeasured(body, open.state())),
      );
      if (refused) {
        setProblem(t().takesNone);
        return null;
      }
      return guarded(() => open.record(...bodies));
    },
    async create(title) {
      if (!givesWay()) return false;
      const opened = await guarded(async () => {
        const made = await createNotebook(title, options);
        await hold(made.id);
        show(made);
        // The list is on another screen: the Bench does not wait for it.
        if (unsaved() === null) void guarded(refresh);
        return true;
      });
      // Some browsers ask the person, who may leave the question standing: nothing waits for the answer.
      void askToKeep().then(setKeeping);
      return opened ?? false;
    },
    async open(id) {
      if (givesWay()) await guarded(() => openHeld(id));
    },
    elsewhere,
    async takeOver() {
      const id = elsewhere();
      if (id) await guarded(() => openHeld(id, true));
    },
    late,
    goWithout() {
      setLate(null);
      setOpening(false);
      // Lets go of the notebook that is being opened.
      if (!journal()) close();
    },
    async rescued(what) {
      const { rescuedNotebooks } = await import('./rescue.ts');
      return rescuedNotebooks(what, first, copy);
    },
    keeping,
    async keep(notebook) {
      if (!givesWay()) return;
      await guarded(async () => {
        try {
          await store.adopt(notebook.id, notebook.events);
        } catch {
          close();
          show(await openUnstored(notebook, options));
          return;
        }
        await openHeld(notebook.id);
        await refresh();
      });
    },
    practice,
    takesReadings,
    async leave() {
      const to = before;
      endPractice();
      if (!givesWay()) return;
      if (to && notebooks().some(({ id }) => id === to)) await guarded(() => openHeld(to));
      else close();
    },
    async refresh() {
      await guarded(refresh);
    },
    async remove(id) {
      await guarded(async () => {
        const open = journal()?.id === id;
        if (open) close();
        await store.remove(id);
        // A window that has it open loses its hold, finds the tombstone and says so.
        if (!open) (await holdNotebook(id, true))?.release();
        if (elsewhere() === id) setElsewhere(null);
        await refresh();
      });
    },
  };
}
