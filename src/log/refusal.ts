/** A sentence in both page languages; which one is read is known only on the screen. */
export interface Sentences {
  readonly en: string;
  readonly de: string;
}

/** Refusal of something from outside: a sentence for the person, the cause for the developer. */
export interface Refusal {
  readonly ok: false;
  /** In English. */
  readonly sentence: string;
  readonly sentences: Sentences;
  readonly cause: string;
}
export type Checked<T> = { readonly ok: true; readonly value: T } | Refusal;

export const refusal = (sentences: Sentences, cause = ''): Refusal => ({
  ok: false,
  sentence: sentences.en,
  sentences,
  cause,
});

/** What a schema found wrong first, as zod reports it. */
export interface Issue {
  readonly code?: string | undefined;
  readonly path: readonly PropertyKey[];
  readonly message: string;
  readonly origin?: string | undefined;
  readonly input?: unknown;
  readonly keys?: readonly string[] | undefined;
}

/** The part that is wrong and why: "setup.stepMl is too large". Names from outside are cut short. */
export function wrongPart(issue: Issue | undefined): Sentences {
  if (!issue) return { en: 'it is not as expected', de: 'es ist nicht wie erwartet' };
  const name = issue.path.map(String).join('.').slice(0, 80);
  const part = { en: name || 'it', de: name || 'es' };
  const is = (en: string, de: string): Sentences => ({ en: `${part.en} ${en}`, de: `${part.de} ${de}` });
  const number = issue.origin === 'number' || issue.origin === 'int';
  switch (issue.code) {
    case 'too_big':
      return number ? is('is too large', 'ist zu groß') : is('is too long', 'ist zu lang');
    case 'too_small':
      return number ? is('is too small', 'ist zu klein') : is('is too short', 'ist zu kurz');
    case 'unrecognized_keys': {
      const key = (issue.keys?.[0] ?? '').slice(0, 40);
      return is(`has an unknown part “${key}”`, `hat einen unbekannten Teil „${key}“`);
    }
    case 'invalid_type':
      return is('is missing or of another kind', 'fehlt oder ist von anderer Art');
    default:
      return is('is not a value that is allowed here', 'ist kein Wert, der hier erlaubt ist');
  }
}

const onPurpose = {
  en: 'If you changed it on purpose, take the line "check" out and open it again.',
  de: 'Wenn du es absichtlich geändert hast, nimm die Zeile "check" heraus und öffne es noch einmal.',
};

/** Why something from outside is not taken. */
export const refusals = {
  notJson: { en: 'This is not a notebook file: it is not JSON.', de: 'Das ist keine Heft-Datei: Es ist kein JSON.' },
  notANotebook: { en: 'This is not a Meniscall notebook.', de: 'Das ist kein Heft von Meniscall.' },
  newer: {
    en: 'This notebook was written by a newer version of Meniscall. Update this one, then open it again.',
    de: 'Dieses Heft stammt von einer neueren Version von Meniscall. Aktualisiere diese hier und öffne es dann noch einmal.',
  },
  notebookDamaged: ({ en, de }: Sentences): Sentences => ({
    en: `This notebook file is damaged and was not opened: ${en}.`,
    de: `Diese Heft-Datei ist beschädigt und wurde nicht geöffnet: ${de}.`,
  }),
  entry: (n: number, { en, de }: Sentences): Sentences => ({ en: `entry ${n}: ${en}`, de: `Eintrag ${n}: ${de}` }),
  notebookChanged: {
    en: `This notebook file was changed after it was written, or damaged on its way. ${onPurpose.en}`,
    de: `Diese Heft-Datei wurde nach dem Schreiben geändert oder unterwegs beschädigt. ${onPurpose.de}`,
  },
  sheetDamaged: ({ en, de }: Sentences): Sentences => ({
    en: `This run sheet is damaged and was not opened: ${en}.`,
    de: `Dieser Laufplan ist beschädigt und wurde nicht geöffnet: ${de}.`,
  }),
  sheetChanged: {
    en: `This run sheet was changed after it was written, or damaged on its way. ${onPurpose.en}`,
    de: `Dieser Laufplan wurde nach dem Schreiben geändert oder unterwegs beschädigt. ${onPurpose.de}`,
  },
  unknown: {
    en: 'This is neither a notebook, an archive, a run sheet nor a link.',
    de: 'Das ist weder ein Heft noch ein Archiv, ein Laufplan oder ein Link.',
  },
  fileTooLarge: { en: 'This file is too large for a notebook.', de: 'Diese Datei ist zu groß für ein Heft.' },
  fileDamaged: {
    en: 'This file is damaged: it begins like a notebook but does not read as one.',
    de: 'Diese Datei ist beschädigt: Sie beginnt wie ein Heft, lässt sich aber nicht als solches lesen.',
  },
  fileEmpty: { en: 'This file is empty.', de: 'Diese Datei ist leer.' },
  fileChanged: {
    en: 'This file could not be read: it was changed, moved or deleted after you chose it. Choose it again.',
    de: 'Diese Datei war nicht lesbar: Sie wurde geändert, verschoben oder gelöscht, nachdem du sie gewählt hast. Wähle sie noch einmal.',
  },
  folder: {
    en: 'This is a folder. Open it, choose the files in it, and drop those.',
    de: 'Das ist ein Ordner. Öffne ihn, wähle die Dateien darin und zieh diese hierher.',
  },
  fileUnread: {
    en: 'The browser could not read this file.',
    de: 'Der Browser konnte diese Datei nicht lesen.',
  },
  notFromDevice: {
    en: 'This notebook could not be read from the device.',
    de: 'Dieses Heft ließ sich nicht vom Gerät lesen.',
  },
  groupDamaged: {
    en: 'What was kept of this group is damaged. Add its notebook again.',
    de: 'Was von dieser Gruppe gespeichert war, ist beschädigt. Füge ihr Heft noch einmal hinzu.',
  },
  fileTookTooLong: {
    en: 'This file took longer than 30 seconds and was left out.',
    de: 'Diese Datei brauchte länger als 30 Sekunden und wurde ausgelassen.',
  },
  archiveDamaged: {
    en: 'This archive is damaged and was not opened.',
    de: 'Dieses Archiv ist beschädigt und wurde nicht geöffnet.',
  },
  archiveTooLarge: {
    en: 'This archive unpacks to far more than a notebook can hold and was not opened.',
    de: 'Dieses Archiv ist entpackt viel größer, als ein Heft sein kann, und wurde nicht geöffnet.',
  },
  archiveEmpty: { en: 'This archive holds no notebook.', de: 'In diesem Archiv ist kein Heft.' },
  linkTooLong: {
    en: 'This link is too long to be one of ours.',
    de: 'Dieser Link ist zu lang, um von Meniscall zu sein.',
  },
  linkEmpty: { en: 'This link carries no notebook.', de: 'In diesem Link ist kein Heft.' },
  linkUnknown: {
    en: 'This link carries something that is not known here.',
    de: 'In diesem Link ist etwas, das hier nicht bekannt ist.',
  },
  linkOther: {
    en: 'This link was made by another version of Meniscall. Update this one, then open it again.',
    de: 'Dieser Link stammt von einer anderen Version von Meniscall. Aktualisiere diese hier und öffne ihn dann noch einmal.',
  },
  linkTrial: {
    en: 'This link was made by a trial version of Meniscall. Open it there, and share the notebook as a file or as a new link.',
    de: 'Dieser Link stammt von einer Probeversion von Meniscall. Öffne ihn dort und gib das Heft als Datei oder neuen Link weiter.',
  },
  linkDamaged: {
    en: 'This link is damaged: a part of it is missing or was changed on its way. Ask for it again, or for the notebook as a file.',
    de: 'Dieser Link ist beschädigt: Ein Teil fehlt oder wurde unterwegs geändert. Bitte noch einmal darum, oder um das Heft als Datei.',
  },
  linkTooLarge: {
    en: 'This link unfolds to far more than a notebook can hold and was not opened.',
    de: 'Dieser Link ist entpackt viel größer, als ein Heft sein kann, und wurde nicht geöffnet.',
  },
  notFolded: {
    en: 'This notebook could be read but not put together, and was not opened.',
    de: 'Dieses Heft ließ sich lesen, aber nicht zusammensetzen, und wurde nicht geöffnet.',
  },
  tookTooLong: {
    en: 'This took longer than two minutes and was stopped; nothing was changed.',
    de: 'Das dauerte länger als zwei Minuten und wurde abgebrochen; nichts wurde geändert.',
  },
  stopped: { en: 'Stopped; nothing was changed.', de: 'Abgebrochen; nichts wurde geändert.' },
  readerFailed: {
    en: 'Reading this failed: the browser may have too little memory. Nothing was changed.',
    de: 'Das Lesen ist gescheitert: Vielleicht hat der Browser zu wenig Speicher. Nichts wurde geändert.',
  },
} as const;
