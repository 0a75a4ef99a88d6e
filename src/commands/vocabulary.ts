import { writeFileSync } from 'node:fs';
import { vocabularyJson } from '../hearing/ear/vocabulary-json.ts';

/** `npm run vocabulary`: writes the words and sentences of the ear's grammar to where the training reads them. */
writeFileSync(new URL('../../training/vocabulary.json', import.meta.url), vocabularyJson());
