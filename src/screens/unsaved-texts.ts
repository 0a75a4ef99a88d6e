import { catalogue } from '../language/page-language.ts';

/** Why entries are in this page only, and the ways out. */
export const unsavedTexts = catalogue(
  {
    why: {
      'no-answer':
        'The browser does not answer when asked to store. The last entries are in this page only: save the notebook as a file now, then reload the page.',
      full: 'The device has no room left. The last entries are in this page only: save the notebook as a file now, then free some space.',
      'other-window': 'This notebook was changed in another window. Save what is here as a file, then reload the page.',
      deleted:
        'This notebook was deleted in another window. What you see is in this page only: save it as a file if you want to keep it.',
      refused:
        'The browser did not store the last entries (a private window, storage switched off, or a fault of the disk). They are in this page only: save the notebook as a file before you close it.',
    },
    saveNotebook: 'Save the notebook as a file',
    storeAgain: 'Try to store it again',
  },
  {
    why: {
      'no-answer':
        'Der Browser antwortet nicht, wenn gespeichert werden soll. Die letzten Einträge sind nur in dieser Seite: Sichere das Heft jetzt als Datei und lade die Seite dann neu.',
      full: 'Auf dem Gerät ist kein Platz mehr. Die letzten Einträge sind nur in dieser Seite: Sichere das Heft jetzt als Datei und schaffe dann Platz.',
      'other-window':
        'Dieses Heft wurde in einem anderen Fenster geändert. Sichere als Datei, was hier steht, und lade die Seite dann neu.',
      deleted:
        'Dieses Heft wurde in einem anderen Fenster gelöscht. Was du siehst, ist nur in dieser Seite: Sichere es als Datei, wenn du es behalten willst.',
      refused:
        'Der Browser hat die letzten Einträge nicht gespeichert (ein privates Fenster, abgeschalteter Speicher oder ein Fehler des Datenträgers). Sie sind nur in dieser Seite: Sichere das Heft als Datei, bevor du sie schließt.',
    },
    saveNotebook: 'Heft als Datei speichern',
    storeAgain: 'Noch einmal speichern',
  },
);
