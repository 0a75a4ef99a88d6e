import type { HappeningKind } from '../log/meaning.ts';
import { catalogue } from './page-language.ts';

/** What can happen in a run and be called, by name; replies, the undo and the report say the same. */
export const happeningTexts = catalogue<Readonly<Record<HappeningKind, string>>>(
  { swirling: 'swirling', 'swirl-stopped': 'swirl stopped', leak: 'leak', spill: 'spill' },
  { swirling: 'Schwenken', 'swirl-stopped': 'Schwenken beendet', leak: 'Leck', spill: 'verschüttet' },
);
