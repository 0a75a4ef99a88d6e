import type { LearntVoice } from '../../hearing/ear/adapt.ts';
import { catalogue } from '../../language/page-language.ts';

type Gain = Pick<LearntVoice, 'before' | 'after'>;

/** What the settings say of the voice that the ear learns. */
export const texts = catalogue(
  {
    yourVoice: 'Your voice',
    knowsNone: 'The recogniser in this page does not know your voice yet.',
    renewed:
      'The recogniser, or the way it learns, was renewed since it learnt your voice, so it hears you as it hears everybody. Say twenty words and it learns you again, or let it learn from your next run.',
    /** On calls that it had not learnt from. */
    hearsRight: ({ before, after }: Gain) =>
      after.right === before.right
        ? `Hears you right ${after.right} of ${after.of} times, as before, and is surer of it.`
        : `Hears you right ${after.right} of ${after.of} times, was ${before.right}.`,
    noGain: ({ before }: Gain) =>
      `Hears you right ${before.right} of ${before.of} times. Learning your voice was no sure gain so far, so it hears you as it hears everybody.`,
    off: 'Your voice is switched off.',
    learnAtWork: 'Learn my voice from my calls, after each run',
    learnAtWorkHow:
      'It learns from values that stayed and from those you put right. Sounds and what it learns stay on this device.',
    hearWith: 'Hear with this voice',
    whoCalls: 'Who is calling',
    somebodyNew: 'Somebody else',
    nobodyYet: 'A new caller',
    unnamed: (day: string) => `Voice of ${day}`,
    notKept: 'The browser did not keep that choice.',
    change: 'Name or delete this voice',
    say: 'Say these words',
    twenty: 'Half a minute now, hands free: say twenty words (“thirteen, thirty, fifteen …”), and it hears you better.',
    sayTwenty: 'Say twenty words',
    beginTwenty: 'Begin the twenty words',
    notNow: 'Not now',
    /** At the first doubt of a caller whose voice it does not know. */
    doubted: 'It was not sure of a call, and does not know your voice. Say twenty words after this run.',
  },
  {
    yourVoice: 'Deine Stimme',
    knowsNone: 'Die Spracherkennung dieser Seite kennt deine Stimme noch nicht.',
    renewed:
      'Die Spracherkennung oder die Art, wie sie lernt, wurde erneuert, seit sie deine Stimme gelernt hat; sie hört dich deshalb wie alle. Sag zwanzig Wörter, dann lernt sie dich neu, oder lass sie aus deinem nächsten Lauf lernen.',
    hearsRight: ({ before, after }) =>
      after.right === before.right
        ? `Versteht dich ${after.right} von ${after.of} Mal, wie vorher, und ist sich sicherer.`
        : `Versteht dich ${after.right} von ${after.of} Mal, vorher ${before.right}.`,
    noGain: ({ before }) =>
      `Versteht dich ${before.right} von ${before.of} Mal. Deine Stimme zu lernen brachte bisher keinen sicheren Gewinn, also hört sie dich wie alle.`,
    off: 'Deine Stimme ist ausgeschaltet.',
    learnAtWork: 'Meine Stimme aus meinen Ansagen lernen, nach jedem Lauf',
    learnAtWorkHow:
      'Sie lernt aus Werten, die geblieben sind, und aus denen, die du verbessert hast. Der Ton und das Gelernte bleiben auf diesem Gerät.',
    hearWith: 'Mit dieser Stimme hören',
    whoCalls: 'Wer sagt an',
    somebodyNew: 'Jemand anderes',
    nobodyYet: 'Eine neue Stimme',
    unnamed: (day) => `Stimme vom ${day}`,
    notKept: 'Der Browser hat das nicht behalten.',
    change: 'Stimme benennen oder löschen',
    say: 'Diese Wörter sagen',
    twenty:
      'Jetzt eine halbe Minute, ohne Hände: sage zwanzig englische Wörter („thirteen, thirty, fifteen …“), dann hört sie dich besser.',
    sayTwenty: 'Zwanzig Wörter sagen',
    beginTwenty: 'Mit den zwanzig Wörtern beginnen',
    notNow: 'Nicht jetzt',
    doubted:
      'Die Spracherkennung war sich bei einer Ansage nicht sicher und kennt deine Stimme nicht. Sage nach diesem Lauf zwanzig Wörter.',
  },
);
