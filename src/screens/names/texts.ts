import { catalogue } from '../../language/page-language.ts';
import { rehearsalTitle } from '../../rehearsal/practice-kind.ts';
import { pageLanguage } from '../texts.ts';

export const texts = catalogue(
  {
    rename: (title: string) => `Name and group: ${title}`,
    heading: 'Name and group',
    title: 'Name of the notebook',
    group: 'Group',
    members: 'Members (optional)',
    private: 'Names of members stay on this device and in your files. Links leave them out.',
    done: 'Done',
    untitled: 'Untitled',
    rehearsal: rehearsalTitle,
    saved: 'Saved',
    tooLong: 'That name is too long.',
    invented: 'invented figures',
  },
  {
    rename: (title) => `Name und Gruppe: ${title}`,
    heading: 'Name und Gruppe',
    title: 'Name des Hefts',
    group: 'Gruppe',
    members: 'Mitglieder (freiwillig)',
    private: 'Die Namen der Mitglieder bleiben auf diesem Gerät und in deinen Dateien. In Links stehen sie nicht.',
    done: 'Fertig',
    untitled: 'Ohne Namen',
    rehearsal: 'Probelauf (simulierte Reaktion)',
    saved: 'Gespeichert',
    tooLong: 'Dieser Name ist zu lang.',
    invented: 'erfundene Zahlen',
  },
);

/** A notebook's name as it is shown: that of a rehearsal, which the log has in English, in the page's language. */
export function shownTitle(title: string): string {
  const t = texts[pageLanguage()];
  return title === rehearsalTitle ? t.rehearsal : title || t.untitled;
}
