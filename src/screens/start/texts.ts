import { catalogue } from '../../language/page-language.ts';

/** The first screen. */
export const texts = catalogue(
  {
    heading: 'Call gas volumes hands-free and get rates.',
    what: 'Nothing leaves this device, unless you allow your browser’s recogniser.',
    name: 'Name of the new notebook',
    begin: 'Begin a notebook',
    example: 'See an example',
    pressD: '(press D)',
    rehearse: 'Rehearse',
    tooLong: (longest: number, length: number) => `A name has at most ${longest} characters; this one has ${length}.`,
    unknown: 'This page has no screen by that address. It begins here, with the notebooks.',
    needsNotebook: (screen: string) => `${screen} needs an open notebook: begin or open one here.`,
  },
  {
    heading: 'Gasvolumen freihändig ansagen und Geschwindigkeiten erhalten.',
    what: 'Alles bleibt auf diesem Gerät, außer du erlaubst die Spracherkennung deines Browsers.',
    name: 'Name des neuen Hefts',
    begin: 'Heft beginnen',
    example: 'Beispiel ansehen',
    pressD: '(Taste D)',
    rehearse: 'Probelauf',
    tooLong: (longest, length) => `Ein Name hat höchstens ${longest} Zeichen; dieser hat ${length}.`,
    unknown: 'Diese Adresse führt zu keiner Seite. Hier beginnt es, mit den Heften.',
    needsNotebook: (screen) => `${screen} braucht ein offenes Heft: hier eines beginnen oder öffnen.`,
  },
);
