import { makeSpeaker, type Speaker } from '../../answering/speaker.ts';
import type { Preferences } from '../../bench/preferences.ts';
import { makeUnderstanding, type Understanding } from '../../bench/understanding.ts';
import type { Trouble } from '../../hearing/ear.ts';
import { type Listening, makeListening } from '../../hearing/listening.ts';
import type { EarChoice } from '../../hearing/listening-step.ts';
import { sentenceOf, type TroubleSentence } from '../../hearing/trouble.ts';
import type { PageLanguage } from '../../language/page-language.ts';
import { type Saying, sentence } from '../../language/spoken.ts';
import { en } from '../../language/words/en.ts';
import type { Words } from '../../language/words.ts';
import { wordsFor } from '../../language/words-for.ts';
import { earWithVoice } from '../voice/known-voice.ts';

/** Hearing, understanding and speaking: fetched beside the Bench, which works by keys before they are here. */
export interface Ears {
  readonly listening: Listening;
  readonly speaker: Speaker;
  readonly understanding: Understanding;
  /** BCP-47 tag that all three were made for. */
  readonly language: string;
  aloud(saying: Saying): string;
  sentenceOf(trouble: Trouble, language: PageLanguage): TroubleSentence;
  prefer(preferences: Preferences): void;
}

export function makeEars(preferences: Preferences): Ears {
  const { language } = preferences;
  let words: Words = en;
  void wordsFor(language).then((chosen) => {
    words = chosen;
  });
  const listening = makeListening({
    ears: earsOf(preferences),
    language,
    makeOwnEar: earWithVoice,
  });
  const speaker = makeSpeaker({ listening, language });
  return {
    listening,
    speaker,
    language,
    understanding: makeUnderstanding(() => words),
    aloud: (saying) => sentence(saying, words),
    sentenceOf,
    prefer(next) {
      listening.choose(earsOf(next));
      speaker.setVolume(next.cueVolume);
      speaker.setSilent(next.silent);
    },
  };
}

/** Which ears the preferences allow. The browser's own only after consent. */
function earsOf({ soundMarks, ownEar, browserEar }: Preferences): EarChoice {
  if (soundMarks) return { browser: 'off', own: false };
  const browser = browserEar === 'may-send' ? 'on' : browserEar === 'on-device' ? 'local' : 'off';
  return { browser, own: ownEar };
}
