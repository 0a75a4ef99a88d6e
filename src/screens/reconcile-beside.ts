import { catalogue } from '../language/page-language.ts';
import { type Differences, type Reconciled, reconcile } from '../log/reconcile.ts';
import type { ReconcileOrder } from '../log/reconcile.worker.ts';
import type { SecondCopy } from '../log/second-copy.ts';
import type { NotebookStore } from '../log/store.ts';

/** As `reconcile`, in a worker, so that the page stays free; in the page where no worker starts. */
export function reconcileBeside(found: Differences, store: NotebookStore, copy: SecondCopy): Promise<Reconciled> {
  return new Promise((resolve) => {
    const worker = new Worker(new URL('../log/reconcile.worker.ts', import.meta.url), { type: 'module' });
    worker.onmessage = ({ data }: MessageEvent<Reconciled>) => {
      worker.terminate();
      resolve(data);
    };
    worker.onerror = () => {
      worker.terminate();
      resolve(reconcile(store, copy, found));
    };
    worker.postMessage({ base: document.baseURI, found } satisfies ReconcileOrder);
  });
}

const notebooks = (n: number): string => (n === 1 ? 'A notebook' : `${n} notebooks`);
const hefte = (n: number): string => (n === 1 ? 'Ein Heft' : `${n} Hefte`);

/** What came of it, for the person. */
export const reconcileTexts = catalogue(
  {
    restored: (n: number) =>
      `The browser had lost what this page kept. ${notebooks(n)} came back from the second copy, without sounds: sounds have no second copy. Save what matters as a file.`,
    unreadable: (n: number) =>
      `The browser lost ${n === 1 ? 'a notebook' : `${n} notebooks`}, and the second copy cannot be read either.`,
  },
  {
    restored: (n) =>
      `Der Browser hatte verloren, was diese Seite gespeichert hat. ${hefte(n)} kam${n === 1 ? '' : 'en'} aus der Zweitkopie zurück, ohne Ton: Töne haben keine Zweitkopie. Sichere Wichtiges als Datei.`,
    unreadable: (n) =>
      `Der Browser hat ${n === 1 ? 'ein Heft' : `${n} Hefte`} verloren, und auch die Zweitkopie ist nicht lesbar.`,
  },
);
