import { catalogue } from '../../language/page-language.ts';

export const savingTexts = catalogue(
  { saved: 'Saved', saves: 'Saved as you type.', done: 'Done' },
  { saved: 'Gespeichert', saves: 'Wird beim Tippen gespeichert.', done: 'Fertig' },
);
