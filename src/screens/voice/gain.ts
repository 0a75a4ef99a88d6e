import type { LearntVoice } from '../../hearing/ear/adapt.ts';
import type { PageLanguage } from '../../language/page-language.ts';
import { texts } from './say-words-texts.ts';

/** The gain on calls held back from the learning, whatever it is, in plain words, and what follows from it. */
export function gainSentences(
  learnt: Pick<LearntVoice, 'before' | 'after' | 'helps'>,
  wanted: boolean,
  language: PageLanguage,
): string {
  const t = texts[language];
  const follows = learnt.helps ? (wanted ? t.inUse : t.off) : t.noGain;
  return `${t.gain(learnt)} ${follows}`;
}
