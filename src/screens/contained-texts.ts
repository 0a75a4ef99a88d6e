import { catalogue } from '../language/page-language.ts';

/** A part of a screen that failed. */
export const containedTexts = catalogue(
  {
    failed: (what: string, why: string) => `${what} cannot be shown (${why}). Everything else works as before.`,
    save: 'Save as a file',
    remove: (what: string) => `Delete ${what}`,
    run: (label: string) => `Run ${label}`,
    plot: (title: string) => `The plot “${title}”`,
    allRuns: 'The plot of all runs',
  },
  {
    failed: (what, why) => `${what} lässt sich nicht anzeigen (${why}). Alles andere funktioniert wie zuvor.`,
    save: 'Als Datei speichern',
    remove: (what) => `${what} löschen`,
    run: (label) => `Lauf ${label}`,
    plot: (title) => `Das Diagramm „${title}“`,
    allRuns: 'Das Diagramm aller Läufe',
  },
);
