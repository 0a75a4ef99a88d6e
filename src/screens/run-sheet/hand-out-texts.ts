import { catalogue } from '../../language/page-language.ts';

export const handOutTexts = catalogue(
  {
    heading: 'Hand it out',
    about: 'A link, a QR code or a file for your groups, with this sheet and all settings, without readings.',
    groupsAndQuestions: 'Groups and questions',
    groups: 'Names of the groups (one a line)',
    questions: 'Questions of the work sheet (one a line)',
    copy: 'Copy the link',
    qr: 'Show the QR code',
    file: 'Save as a file',
    link: 'The link',
    copied: 'The link is copied',
    copyFromField: 'The link is in the field: copy it from there',
    tooLong: 'This hand-out is too long for a QR code. Use the link or the file, or shorten the questions.',
    carries: 'What your groups get',
    sheet: 'run sheet',
  },
  {
    heading: 'Austeilen',
    about:
      'Ein Link, ein QR-Code oder eine Datei für deine Gruppen, mit diesem Blatt und allen Einstellungen, ohne Ablesungen.',
    groupsAndQuestions: 'Gruppen und Fragen',
    groups: 'Namen der Gruppen (einer pro Zeile)',
    questions: 'Fragen des Arbeitsblatts (eine pro Zeile)',
    copy: 'Link kopieren',
    qr: 'QR-Code zeigen',
    file: 'Als Datei speichern',
    link: 'Der Link',
    copied: 'Der Link ist kopiert',
    copyFromField: 'Der Link steht im Feld: kopiere ihn dort',
    tooLong: 'Das ist zu lang für einen QR-Code. Nimm den Link oder die Datei, oder kürze die Fragen.',
    carries: 'Das bekommen deine Gruppen',
    sheet: 'Laufplan',
  },
);
