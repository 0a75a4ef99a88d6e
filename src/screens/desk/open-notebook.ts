import { type Accessor, createMemo, createSignal } from 'solid-js';
import { isStorageFailure } from '../../log/database.ts';
import type { WhyNotStored } from '../../log/durable-writes.ts';
import { type Holding, holdNotebook } from '../../log/holding.ts';
import { type Journal, type JournalOptions, openNotebook } from '../../log/journal.ts';
import { NewerNotebook } from '../../log/migrate.ts';
import type { NotebookState } from '../../log/state.ts';
import { NotebookDeleted } from '../../log/store.ts';
import { type PracticeKind, practiceOf } from '../../rehearsal/practice-kind.ts';
import { deskTexts } from '../desk-texts.ts';
import { textsOf } from '../texts.ts';
import type { Troubles } from './troubles.ts';

/** The notebook on the desk: at most one is open, and this window is the only one that adds to it. */
export interface OpenNotebook {
  readonly journal: Accessor<Journal | null>;
  readonly state: Accessor<NotebookState | null>;
  readonly practice: Accessor<PracticeKind | null>;
  readonly unsaved: Accessor<WhyNotStored | null>;
  readonly failing: Accessor<ReadonlySet<string>>;
  /** The notebook of one's own that was open before the example or a rehearsal. */
  before(): string | null;
  /** It has entries that are in this page only and in no file. */
  onlyHere(): boolean;
  savedAsFile(): void;
  /**
   * Makes this window the one that may add to the notebook; null when another window is, or when another notebook was
   * wanted since.
   */
  hold(id: string, takeOver?: boolean): Promise<Holding | null>;
  /** Opens a stored notebook; throws when storage fails. */
  open(id: string, takeOver?: boolean): Promise<void>;
  show(opened: Journal): void;
  close(): void;
}

/** What the open notebook needs of the desk. */
export interface OpenNotebookOptions {
  readonly journals: JournalOptions;
  readonly troubles: Troubles;
  titleOf(id: string): string;
  /** Id of the notebook that another window holds; null: none. */
  onElsewhere(id: string | null): void;
  /** Another window deleted the notebook that was open here. */
  onGone(): Promise<unknown>;
}

export function makeOpenNotebook(options: OpenNotebookOptions): OpenNotebook {
  const { journals, troubles, titleOf, onElsewhere, onGone } = options;
  const t = textsOf(deskTexts);
  const shown = makeShown(troubles);
  const { journal, onlyHere } = shown;
  const [failing, setFailing] = createSignal<ReadonlySet<string>>(new Set());
  let before: string | null = null;
  let holding: Holding | null = null;
  /** Of the last notebook that somebody wanted; the answer to an earlier wish comes too late. */
  let wish: object | null = null;
  /** Held for notebooks that are still being opened: that may write, so it is let go of only afterwards. */
  const openings = new Set<Holding>();

  const close = (): void => {
    if (journal() && shown.practice() === null) before = journal()?.id ?? null;
    if (holding && !openings.has(holding)) holding.release();
    holding = null;
    wish = null;
    shown.clear();
    troubles.stopWaiting();
  };

  const hold = async (id: string, takeOver = false): Promise<Holding | null> => {
    close();
    const mine = {};
    wish = mine;
    const held = await holdNotebook(id, takeOver);
    if (wish !== mine) {
      held?.release();
      return null;
    }
    onElsewhere(held ? null : id);
    holding = held;
    void held?.lost.then(() => onLost(id, held));
    return held;
  };

  const onLost = async (id: string, held: Holding): Promise<void> => {
    if (holding !== held) return;
    // What only this window has stays here to be saved.
    if (onlyHere()) {
      troubles.say(t().takenOver);
      return;
    }
    const gone = (await journals.store.deleted().catch(() => new Set())).has(id);
    if (holding !== held) return;
    close();
    if (gone) {
      troubles.say(t().deletedElsewhere);
      await onGone();
    } else onElsewhere(id);
  };

  const openNow = async (id: string, takeOver: boolean): Promise<void> => {
    const mine = await hold(id, takeOver);
    if (!mine) return;
    openings.add(mine);
    try {
      const opened = await openNotebook(id, journals);
      // Given up, or another was opened meanwhile: that one stays.
      if (holding === mine) shown.show(opened);
    } catch (error) {
      if (holding !== mine) return;
      close();
      // Storage that fails fails for all of them; anything else is about this one.
      if (isStorageFailure(error)) throw error;
      setFailing(new Set([...failing(), id]));
      if (error instanceof NewerNotebook || error instanceof NotebookDeleted) throw error;
      troubles.say(t().notOpened(titleOf(id)));
    } finally {
      openings.delete(mine);
      if (holding !== mine) mine.release();
    }
  };

  return {
    ...shown,
    failing,
    before: () => before,
    hold,
    open: (id, takeOver = false) => troubles.watched({ id, title: titleOf(id) }, () => openNow(id, takeOver)),
    close,
  };
}

/** The signals of the notebook that is shown, kept true to its journal. */
function makeShown(troubles: Troubles) {
  const [journal, setJournal] = createSignal<Journal | null>(null);
  const [state, setState] = createSignal<NotebookState | null>(null);
  const [unsaved, setUnsaved] = createSignal<WhyNotStored | null>(null);
  const t = textsOf(deskTexts);
  /** How many events the file held that the notebook was last saved as. */
  let inFile = 0;
  let unsubscribe = (): void => {};
  const count = (): number => journal()?.events().length ?? 0;
  const practice = createMemo((): PracticeKind | null => {
    const open = journal();
    return open && practiceOf({ id: open.id, title: state()?.title ?? '' });
  });
  return {
    journal,
    state,
    unsaved,
    practice,
    onlyHere: (): boolean => unsaved() !== null && inFile < count(),
    savedAsFile(): void {
      inFile = count();
    },
    show(opened: Journal): void {
      const update = (): void => {
        setState(opened.state());
        setUnsaved(opened.whyUnsaved());
        // Said there with the ways out; twice is noise.
        if (unsaved() !== null && troubles.problem() === t().nothingKept) troubles.say(null);
      };
      unsubscribe = opened.subscribe(update);
      setJournal(opened);
      update();
      if (opened.damaged.length > 0) troubles.say(t().damaged(opened.damaged.length));
    },
    clear(): void {
      unsubscribe();
      unsubscribe = () => {};
      setJournal(null);
      setState(null);
      setUnsaved(null);
      inFile = 0;
    },
  };
}
