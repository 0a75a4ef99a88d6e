import { sentenceTemplates, vocabulary } from './grammar.ts';

/** The file that `training/sentences.py` reads: every word, and the kinds of sentences with their weights. */
export const vocabularyJson = (): string =>
  `${JSON.stringify({ words: vocabulary, sentences: sentenceTemplates }, null, 1)}\n`;
