import { createRoot, createSignal } from 'solid-js';
import type { ClassEntry } from '../../class/class-entry.ts';
import { addEntries, type Double } from '../../class/class-import.ts';
import { loadClass, saveClass } from '../../class/saved-class.ts';
import { refusals, type Sentences } from '../../log/refusal.ts';
import type { ClassSource, ImportResult, Look } from './import.worker.ts';
import { readAll } from './import-pool.ts';

/** What can be brought: files, or notebooks of this device by their ids. */
export type Brought =
  /** `blob` is null for a folder. */
  | { readonly kind: 'files'; readonly files: readonly { readonly name: string; readonly blob: Blob | null }[] }
  | { readonly kind: 'device'; readonly ids: readonly string[] };

export interface Skipped {
  readonly name: string;
  readonly sentences: Sentences;
}

/** What came of bringing something. */
export interface Outcome {
  readonly added: readonly ClassEntry[];
  readonly doubles: readonly Double[];
  readonly skipped: readonly Skipped[];
}

/**
 * The groups of the class, and the import that brings more. One value for the page, because an import goes on while
 * another screen is shown. Kept on this device; nothing of it is sent anywhere.
 */
const made = createRoot(() => {
  const [entries, setEntries] = createSignal<readonly ClassEntry[]>([]);
  const [quantity, setQuantity] = createSignal<string | null>(null);
  const [anonymous, setAnonymous] = createSignal(false);
  const [progress, setProgress] = createSignal<{ done: number; total: number; look: Look } | null>(null);
  /** Groups that were read and whose results are still to come. */
  const [coming, setComing] = createSignal<readonly string[]>([]);
  const [last, setLast] = createSignal<Outcome>({ added: [], doubles: [], skipped: [] });
  /** The browser keeps nothing: the class is in this page only. */
  const [notKept, setNotKept] = createSignal(false);
  return {
    entries,
    setEntries,
    quantity,
    setQuantity,
    anonymous,
    setAnonymous,
    progress,
    setProgress,
    coming,
    setComing,
    last,
    setLast,
    notKept,
    setNotKept,
  };
});
const { entries, setEntries, quantity, anonymous, progress, setProgress, coming, setComing, last, setLast, notKept } =
  made;

/** What files came to, by the sum of their content: the same folder with three more files costs three. */
const known = new Map<string, readonly ClassEntry[]>();
/** Ends an import with what came so far. */
let finish = (): void => {};
let loading: Promise<void> | null = null;
/** What is brought while an import goes on waits for it. */
let queue: Promise<unknown> = Promise.resolve();

export const classList = {
  entries,
  quantity,
  anonymous,
  progress,
  coming,
  /** What came of the last import. */
  last,
  notKept,
  /** Shows the class that was kept on this device. */
  open(): Promise<void> {
    loading ??= loadClass().then(
      (saved) => {
        if (!saved || entries().length > 0) return;
        setEntries(saved.entries);
        made.setQuantity(saved.quantity);
        made.setAnonymous(saved.anonymous);
        const skipped = saved.damaged.map((name) => ({ name, sentences: refusals.groupDamaged }));
        setLast({ added: [], doubles: [], skipped });
      },
      () => {
        made.setNotKept(true);
      },
    );
    return loading;
  },
  choose(name: string): void {
    made.setQuantity(name);
    keep();
  },
  nameless(wanted: boolean): void {
    made.setAnonymous(wanted);
    keep();
  },
  bring(order: Brought): Promise<Outcome> {
    const next = queue.then(() => classList.open()).then(() => importOf(order));
    queue = next;
    return next;
  },
  /** An entry changed in the class: a pressure was added. */
  replace(entry: ClassEntry): void {
    setEntries(entries().map((one) => (one.id === entry.id ? entry : one)));
    keep();
  },
  remove(id: string): void {
    setEntries(entries().filter((one) => one.id !== id));
    known.clear();
    keep();
  },
  /** Stops an import; what came so far stays. */
  cancel(): void {
    finish();
  },
  clear(): void {
    emptied++;
    finish();
    known.clear();
    setEntries([]);
    made.setQuantity(null);
    setLast({ added: [], doubles: [], skipped: [] });
    keep();
  },
};

function keep(): void {
  saveClass({ entries: entries(), quantity: quantity(), anonymous: anonymous() }).catch(() => made.setNotKept(true));
}

/** Fewer files than this are not worth the start of another worker. */
const worthAWorker = 8;
const mostWorkers = 8;

/** So many groups are named at once while their results are still to come. */
const worthNaming = 8;

/** How often the class was emptied: what an import before brings comes too late. */
let emptied = 0;

/** First who is there and what cannot be read, then the results one by one. */
function importOf(order: Brought): Promise<Outcome> {
  const sources: ClassSource[] =
    order.kind === 'files'
      ? order.files.flatMap(({ name, blob }, index) => (blob ? [{ index, kind: 'file', name, blob }] : []))
      : order.ids.map((id, index) => ({ index, kind: 'device', id }));
  const total = sources.length;
  const before = entries();
  const emptiedBefore = emptied;
  const results: ImportResult[] = [];
  const failed: Skipped[] = [];
  if (order.kind === 'files')
    for (const { name, blob } of order.files) if (!blob) failed.push({ name, sentences: refusals.folder });
  let done = 0;
  let shownAt = performance.now();
  let toldAt = shownAt;
  let showMs = 0;
  const show = (): Outcome => {
    // In the order in which they were brought, whoever read them first.
    const arrived = results.flatMap((result) =>
      result.kind === 'read' ? result.entries : result.kind === 'known' ? (known.get(result.sum ?? '') ?? []) : [],
    );
    const together = addEntries(before, arrived);
    const outcome = {
      added: together.entries.slice(before.length),
      doubles: together.doubles,
      skipped: [...results.flatMap((result) => (result.kind === 'refused' ? [result] : [])), ...failed],
    };
    if (emptied !== emptiedBefore) return { added: [], doubles: [], skipped: [] };
    setLast(outcome);
    setEntries(together.entries);
    setComing(results.flatMap((result) => (result.kind === 'named' ? [result.name] : [])));
    return outcome;
  };
  const take = (result: ImportResult): void => {
    results[result.index] = result;
    if (result.kind === 'read' && result.sum !== null) known.set(result.sum, result.entries);
    done++;
    const now = performance.now();
    // Several times a second is progress enough.
    if (now - toldAt < 150) return;
    toldAt = now;
    setProgress((shown) => shown && { ...shown, done });
    // Drawing a thousand groups takes its time: a tenth of the import's at most.
    if (now - shownAt < 10 * showMs) return;
    show();
    shownAt = performance.now();
    showMs = shownAt - now;
  };
  /** Resolves with whether to go on. */
  const pass = (look: Look, some: readonly ClassSource[]): Promise<boolean> => {
    done = 0;
    setProgress({ done, total: some.length, look });
    return new Promise((resolve) => {
      const stop = readAll({
        sources: some,
        known: new Set(known.keys()),
        look,
        readers: Math.max(
          1,
          Math.min(navigator.hardwareConcurrency || 1, Math.ceil(some.length / worthAWorker), mostWorkers),
        ),
        makeReader: () => new Worker(new URL('./import.worker.ts', import.meta.url), { type: 'module' }),
        onResult: take,
        onEnd(worked) {
          if (!worked) failed.push({ name: '…', sentences: refusals.readerFailed });
          resolve(worked && !stopped);
        },
      });
      finish = () => {
        stopped = true;
        stop();
      };
    });
  };
  let stopped = false;
  const all = async (): Promise<Outcome> => {
    if (total === 0) return show();
    let left: readonly ClassSource[] = sources;
    if (total > worthNaming) {
      const goesOn = await pass('names', sources);
      show();
      left = goesOn ? sources.filter(({ index }) => results[index]?.kind === 'named') : [];
    }
    if (left.length > 0) await pass('results', left);
    finish = () => {};
    setProgress(null);
    const outcome = show();
    setComing([]);
    if (emptied === emptiedBefore) keep();
    return outcome;
  };
  return all();
}
