import { catalogue } from '../../language/page-language.ts';

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
    saved: 'Gespeichert',
    tooLong: 'Dieser Name ist zu lang.',
    invented: 'erfundene Zahlen',
  },
);
