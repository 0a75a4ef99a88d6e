import { makeSpeaker, type Speaker } from '../../answer/speaker.ts';
import { type EarChoice, type Listening, makeListening } from '../../listen/listening.ts';
import { sentenceOf } from '../../listen/trouble.ts';
import type { Preferences } from '../../session/preferences.ts';
import { makeUnderstanding, type Understanding } from '../../session/understanding.ts';
import type { Saying } from '../../speech/spoken.ts';
import { sentence } from '../../speech/spoken.ts';
import { en } from '../../speech/words/en.ts';
import type { Words } from '../../speech/words.ts';

/** Hearing, understanding and speaking: fetched beside the Bench, which works by keys before they are here. */
export interface Ears {
  readonly listening: Listening;
  readonly speaker: Speaker;
  readonly understanding: Understanding;
  aloud(saying: Saying): string;
}

export { sentenceOf };

export function makeEars(preferences: Preferences): Ears {
  const words = (): Words => en;
  const listening = makeListening({ ears: earsOf(preferences), language: preferences.language });
  const speaker = makeSpeaker({ listening, language: preferences.language });
  return { listening, speaker, understanding: makeUnderstanding(words), aloud: (saying) => sentence(saying, words()) };
}

/** Which ears the preferences allow. The browser's own only after consent. */
export function earsOf({ soundMarks, ownEar, browserEar }: Preferences): EarChoice {
  if (soundMarks) return { browser: 'off', own: false };
  return {
    browser: browserEar === 'may-send' ? 'on' : browserEar === 'on-device' ? 'local' : 'off',
    own: ownEar && false,
  };
}
