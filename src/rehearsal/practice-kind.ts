import { newId } from '../log/new-id.ts';

/** Id of the example notebook, the same on every device. */
export const demoId = 'demo-invented-1';

/** Notebooks that are there to look at or to practise in: nothing real is recorded into them. */
export type PracticeKind = 'example' | 'rehearsal';

/** What every rehearsal's notebook is called in the log. */
export const rehearsalTitle = 'Rehearsal (simulated reaction)';

const mark = '-rehearsal';

/** Id of a new rehearsal's notebook; a list of notebooks knows it by that. */
export const rehearsalId = (): string => `${newId()}${mark}`;

/**
 * The kind of practice a notebook is; null for a notebook of one's own. A copy of the example is one's own.
 * Rehearsals of earlier versions are known by their title.
 * @example
 * practiceOf({ id: 'demo-invented-1', title: 'Friday' }) // => 'example'
 */
export function practiceOf(notebook: { readonly id: string; readonly title: string }): PracticeKind | null {
  if (notebook.id === demoId) return 'example';
  return notebook.id.endsWith(mark) || notebook.title === rehearsalTitle ? 'rehearsal' : null;
}
