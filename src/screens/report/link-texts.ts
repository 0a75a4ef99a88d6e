import { catalogue } from '../../language/page-language.ts';

export const linkTexts = catalogue(
  {
    withMembers: 'with the names of the members',
    codeOfLink: 'QR code of the link',
    drawing: 'Drawing the code…',
    dense: 'This code is dense: show it large, and hold the camera still and close.',
    showCode: 'Show our code to the class',
    codeTitle: 'Our result as a code',
    hold: 'Hold this up to the camera of the class.',
    inTurn: (count: number) => `${count} codes in turn: keep still until the class has all of them.`,
    part: (i: number, count: number) => `Code ${i} of ${count}`,
    tooLarge: 'This notebook is too large for a code. Give it as a file.',
    noLink: 'This notebook is too large for a link. Send it as a file.',
    saveNotebook: 'Save the notebook as a file',
    close: 'Close',
  },
  {
    withMembers: 'mit den Namen der Mitglieder',
    codeOfLink: 'QR-Code des Links',
    drawing: 'Der Code wird gezeichnet…',
    dense: 'Dieser Code ist dicht: Zeig ihn groß und halte die Kamera ruhig und nah.',
    showCode: 'Der Klasse unseren Code zeigen',
    codeTitle: 'Unser Ergebnis als Code',
    hold: 'Halte das vor die Kamera der Klasse.',
    inTurn: (count) => `${count} Codes nacheinander: Halte still, bis die Klasse alle hat.`,
    part: (i, count) => `Code ${i} von ${count}`,
    tooLarge: 'Dieses Heft ist zu groß für einen Code. Gib es als Datei weiter.',
    noLink: 'Dieses Heft ist zu groß für einen Link. Schick es als Datei.',
    saveNotebook: 'Das Heft als Datei speichern',
    close: 'Schließen',
  },
);
