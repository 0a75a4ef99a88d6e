import { catalogue } from '../language/page-language.ts';

/** What is said when the browser is slow to return what is stored, and the ways out. */
export const lateTexts = catalogue(
  {
    notebook: (title: string) =>
      `The browser has not returned “${title}” yet. This page is still waiting; nothing is deleted.`,
    all: 'The browser has not returned the stored notebooks yet. This page is still waiting; nothing is deleted.',
    again: 'Load the page again',
    without: 'Go on without waiting',
    save: 'Save what can be read as a file',
    saving: 'Asking the browser once more…',
    saved: (n: number) => (n === 1 ? '1 notebook was saved as a file.' : `${n} notebooks were saved as files.`),
    nothing: 'Nothing could be read. Close the browser, open it again, and then this page.',
  },
  {
    notebook: (title) =>
      `Der Browser hat „${title}“ noch nicht herausgegeben. Diese Seite wartet weiter; es ist nichts gelöscht.`,
    all: 'Der Browser hat die gespeicherten Hefte noch nicht herausgegeben. Diese Seite wartet weiter; es ist nichts gelöscht.',
    again: 'Seite neu laden',
    without: 'Weitermachen, ohne zu warten',
    save: 'Als Datei sichern, was lesbar ist',
    saving: 'Der Browser wird noch einmal gefragt …',
    saved: (n) => (n === 1 ? '1 Heft wurde als Datei gesichert.' : `${n} Hefte wurden als Dateien gesichert.`),
    nothing: 'Nichts war lesbar. Schließe den Browser, öffne ihn wieder und dann diese Seite.',
  },
);
