import { catalogue } from '../language/page-language.ts';

/** Sentences about keeping and opening notebooks, whatever screen is shown. */
export const deskTexts = catalogue(
  {
    nothingKept:
      'This browser does not let the page keep data (a private window, or storage is switched off). A notebook stays in this page only: save it as a file before you close the page.',
    newerNotebook: 'This notebook was written by a newer version of Meniscall. Update this one, then open it again.',
    newerDatabase:
      'A newer version of Meniscall was used in this browser, and this older version cannot read what it keeps. Nothing is lost: close all windows of Meniscall and open it again to get the newer version.',
    unwritten:
      'The second copy of this notebook could not be written: there may be little room left. The notebook itself is stored; save what matters as a file.',
    rewritten:
      'The browser had cleared this page’s storage. This notebook was written again from memory, without the sounds kept before; save it as a file to be safe.',
    saveFirst: 'Entries of the open notebook are in this page only. Save it as a file first, then open another.',
    takenOver: 'Another window took this notebook over. Save what is here as a file.',
    deletedElsewhere: 'This notebook was deleted in another window.',
    damaged: (n: number) =>
      n === 1
        ? '1 damaged entry of this notebook could not be read and was left out. Everything else is here.'
        : `${n} damaged entries of this notebook could not be read and were left out. Everything else is here.`,
    notOpened: (title: string) =>
      `“${title}” could not be opened. It is still stored: in the list below you can save it as a file. The other notebooks are not affected.`,
    takesNone:
      'Nothing is recorded here: this is the example or a rehearsal. Leave it to work in a notebook of your own.',
    elsewhere: 'This notebook is open in another window. Only one window can add to it; nothing is lost there.',
    takeOver: 'Go on in this window',
    newVersion: 'A newer version of Meniscall is stored on this device.',
    changeNow: 'Change to it now',
    oneMoment: 'One moment.',
    understood: 'Understood',
    loadAgain: 'Load the page again',
    skip: 'Skip to the content',
    slowScreen: 'This screen is long in coming: the network may be slow. Nothing recorded is lost.',
    notLoaded: 'This screen could not be loaded: there may be no network. Nothing recorded is lost.',
    failed: (why: string) => `This screen failed (${why}). Nothing recorded is lost; the other screens still work.`,
  },
  {
    nothingKept:
      'Dieser Browser lässt die Seite nichts speichern (ein privates Fenster, oder der Speicher ist abgeschaltet). Ein Heft bleibt nur in dieser Seite: Sichere es als Datei, bevor du die Seite schließt.',
    newerNotebook:
      'Dieses Heft stammt von einer neueren Version von Meniscall. Aktualisiere diese hier und öffne es dann noch einmal.',
    newerDatabase:
      'In diesem Browser lief schon eine neuere Version von Meniscall, und diese ältere kann deren Daten nicht lesen. Es ist nichts verloren: Schließe alle Fenster von Meniscall und öffne es neu, dann kommt die neuere Version.',
    unwritten:
      'Die Zweitkopie dieses Hefts konnte nicht geschrieben werden: Vielleicht ist kaum noch Platz. Das Heft selbst ist gespeichert; sichere Wichtiges als Datei.',
    rewritten:
      'Der Browser hatte den Speicher dieser Seite geleert. Das Heft wurde aus dem Arbeitsspeicher neu geschrieben, ohne die früheren Töne; sichere es zur Vorsicht als Datei.',
    saveFirst:
      'Einträge des offenen Hefts sind nur in dieser Seite. Sichere es zuerst als Datei und öffne dann ein anderes.',
    takenOver: 'Ein anderes Fenster hat dieses Heft übernommen. Sichere als Datei, was hier steht.',
    deletedElsewhere: 'Dieses Heft wurde in einem anderen Fenster gelöscht.',
    damaged: (n) =>
      n === 1
        ? '1 beschädigter Eintrag dieses Hefts war nicht lesbar und fehlt. Alles andere ist da.'
        : `${n} beschädigte Einträge dieses Hefts waren nicht lesbar und fehlen. Alles andere ist da.`,
    notOpened: (title) =>
      `„${title}“ ließ sich nicht öffnen. Es ist weiter gespeichert: Unten in der Liste kannst du es als Datei speichern. Die anderen Hefte sind nicht betroffen.`,
    takesNone:
      'Hier wird nichts aufgenommen: Das ist das Beispiel oder ein Probelauf. Verlasse es, um in einem eigenen Heft zu arbeiten.',
    elsewhere:
      'Dieses Heft ist in einem anderen Fenster offen. Nur ein Fenster kann etwas eintragen; dort geht nichts verloren.',
    takeOver: 'In diesem Fenster weitermachen',
    newVersion: 'Auf diesem Gerät liegt eine neuere Version von Meniscall bereit.',
    changeNow: 'Jetzt wechseln',
    oneMoment: 'Einen Moment.',
    understood: 'Verstanden',
    loadAgain: 'Seite neu laden',
    skip: 'Zum Inhalt springen',
    slowScreen:
      'Diese Ansicht lässt auf sich warten: Vielleicht ist das Netz langsam. Nichts Aufgezeichnetes ist verloren.',
    notLoaded: 'Diese Ansicht ließ sich nicht laden: Vielleicht fehlt das Netz. Nichts Aufgezeichnetes ist verloren.',
    failed: (why) =>
      `Diese Ansicht ist gescheitert (${why}). Nichts Aufgezeichnetes ist verloren; die anderen Ansichten gehen weiter.`,
  },
);
