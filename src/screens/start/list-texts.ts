import { catalogue } from '../../language/page-language.ts';

/** The list of notebooks. */
export const texts = catalogue(
  {
    notebooks: 'Notebooks on this device',
    practice: 'Example and rehearsals',
    notPromised:
      'This browser has not promised to keep them: when space gets short it may clear them. Save what matters as a file, under Report.',
    changed: (when: string, open: boolean) => `last changed ${when}${open ? ', open now' : ''}`,
    open: 'Open',
    openNamed: (title: string) => `Open ${title}`,
    remove: 'Delete…',
    deleteNamed: (title: string) => `Delete ${title}…`,
    reallyDelete: (title: string) => `Delete ${title}?`,
    forGood: 'Its readings and sounds go for good. Save it as a file first if in doubt.',
    deleteForGood: (title: string) => `Delete ${title} for good`,
    keepIt: 'Keep it',
    isDeleted: (title: string) => `${title} is deleted`,
    doesNotOpen: 'This notebook does not open here.',
    saveAsFile: 'Save as a file',
  },
  {
    notebooks: 'Hefte auf diesem Gerät',
    practice: 'Beispiel und Probeläufe',
    notPromised:
      'Dieser Browser hat nicht zugesagt, sie zu behalten: Wird der Platz knapp, kann er sie löschen. Sichere Wichtiges als Datei, unter Bericht.',
    changed: (when, open) => `zuletzt geändert ${when}${open ? ', jetzt offen' : ''}`,
    open: 'Öffnen',
    openNamed: (title) => `${title} öffnen`,
    remove: 'Löschen …',
    deleteNamed: (title) => `${title} löschen …`,
    reallyDelete: (title) => `${title} löschen?`,
    forGood: 'Ablesungen und Töne sind dann endgültig weg. Sichere es im Zweifel zuerst als Datei.',
    deleteForGood: (title) => `${title} endgültig löschen`,
    keepIt: 'Behalten',
    isDeleted: (title) => `${title} ist gelöscht`,
    doesNotOpen: 'Dieses Heft lässt sich hier nicht öffnen.',
    saveAsFile: 'Als Datei speichern',
  },
);
