import type { LearntVoice } from '../../hearing/ear/adapt.ts';
import { catalogue } from '../../language/page-language.ts';

type Gain = Pick<LearntVoice, 'before' | 'after'>;

const percent = (p: number): string => `${Math.round(100 * p)} %`;

/** The screen "Say these words": one voice taught to the ear of this page. The words themselves are English. */
export const texts = catalogue(
  {
    heading: 'Say these words',
    halfMinute: 'Half a minute to teach it your voice',
    twoMinutes: 'Two minutes to teach it your voice',
    onceMore: 'Once more',
    how: (words: number) =>
      `You hear and see a word, you say it, the next one comes: ${words} English words in all, no more taps. Stand where you will stand later, with the same microphone.`,
    added: 'What you say is added to what it knows of your voice.',
    tries:
      'Some of the words are kept for a test: what was learnt is used only if it helps there. You need not do this; it hears you without it, if less surely.',
    stays:
      'Your voice stays on this device until you delete it here; it is in no notebook, file or link. Several callers on one device have a voice each: choose who calls in the settings of the Bench.',
    begin: 'Begin',
    runOpen: 'A run is going on. End it first; then the microphone is free for this.',
    learnAgain: 'Learn again from what is kept',
    toBench: 'To the bench',
    toNotebooks: 'To the notebooks',
    learning: 'Learning',
    deleted: 'The voice and its sounds are deleted.',
    learntAgain: 'Learnt again.',
    // The voice that is kept
    voiceOf: (name: string) => `The voice of ${name}`,
    knownVoice: 'The voice it knows',
    renewed:
      'The recogniser, or the way it learns, was renewed since this voice was learnt, so the voice is not used. Its sounds are kept: learn it again from them.',
    learnt: (day: string, calls: number) => `Learnt on ${day} from ${calls} calls.`,
    gain: ({ before, after }: Gain) =>
      before.right === after.right
        ? `Of ${before.of} words held back, ${before.right} were right before and ${after.right} after; the right words were given a probability of ${percent(before.p)} before and ${percent(after.p)} after.`
        : `Of ${before.of} words held back, ${before.right} were right before and ${after.right} after.`,
    noGain: 'That is no sure gain, so it stays off: the recogniser hears you as it hears everybody.',
    inUse: 'The recogniser in this page hears with it.',
    off: 'It is switched off.',
    whose: 'Whose voice, if you like',
    hearWith: 'Hear with this voice',
    remove: 'Delete this voice…',
    removeForGood: 'Delete it and its sounds for good',
    keepIt: 'Keep it',
    notKept: 'The browser did not keep that.',
    notLearnt: 'The browser did not keep that. Nothing was changed.',
    notDeleted: 'The browser did not delete the voice. Try again.',
    // The step while it goes on
    of: (at: number, all: number) => `${at} of ${all}`,
    acts: { again: 'Say again', leaveOut: 'Leave out', back: 'Back', standBy: 'Stand by', stop: 'Stop here' },
    goAhead: 'Go ahead',
    orSay: 'Or say it: “say again”, “next step”, “previous step”, “stand by”, “go ahead”, “end run”.',
    opening: 'Opening the microphone…',
    listen: 'Listen…',
    now: 'Say it now.',
    kept: 'Kept.',
    notHeard: 'Nothing heard yet.',
    whenReady: 'Nothing heard yet. Say it when you are ready.',
    like: 'Once more, please: that sounded like something else.',
    leftOut: 'Left out.',
    backOne: 'That word once more.',
    standingBy: 'Standing by. Say “go ahead”, or press the button, to go on.',
    tooFew: (fewest: number) => `Fewer than ${fewest} words were said: too few to learn from. Nothing was kept.`,
    learningNow: 'Learning from what you said. It is tried on words held back from the learning.',
    noMicrophone: 'The microphone is not open; nothing was kept.',
    noEar: 'The recogniser of this page did not start; nothing was kept. Load the page again and try once more.',
    failed: 'Something went wrong; nothing was kept.',
  },
  {
    heading: 'Diese Wörter sagen',
    halfMinute: 'Deine Stimme lernen lassen: eine halbe Minute',
    twoMinutes: 'Deine Stimme lernen lassen: zwei Minuten',
    onceMore: 'Noch einmal',
    how: (words) =>
      `Du hörst und siehst ein Wort, du sagst es, das nächste kommt: insgesamt ${words} englische Wörter, ohne weiteres Tippen. Steh da, wo du später stehst, mit demselben Mikrofon.`,
    added: 'Was du sagst, kommt zu dem hinzu, was sie von deiner Stimme weiß.',
    tries:
      'Einige der Wörter dienen als Probe: Was gelernt wurde, gilt nur, wenn es dort hilft. Du musst das nicht tun; sie versteht dich auch so, nur weniger sicher.',
    stays:
      'Deine Stimme bleibt auf diesem Gerät, bis du sie hier löschst; sie steht in keinem Heft, keiner Datei und keinem Link. Sagen mehrere auf diesem Gerät an, hat jeder seine eigene Stimme: Wähl in den Einstellungen am Messplatz, wer ansagt.',
    begin: 'Beginnen',
    runOpen: 'Gerade geht ein Lauf. Beende ihn zuerst; dann ist das Mikrofon dafür frei.',
    learnAgain: 'Neu lernen aus dem, was behalten ist',
    toBench: 'Zum Messplatz',
    toNotebooks: 'Zu den Heften',
    learning: 'Lernt',
    deleted: 'Die Stimme und ihr Ton sind gelöscht.',
    learntAgain: 'Neu gelernt.',
    voiceOf: (name) => `Die Stimme von ${name}`,
    knownVoice: 'Die Stimme, die sie kennt',
    renewed:
      'Die Spracherkennung oder die Art, wie sie lernt, wurde erneuert, seit sie diese Stimme gelernt hat; die Stimme wird deshalb nicht verwendet. Ihr Ton ist behalten: Lass sie daraus neu lernen.',
    learnt: (day, calls) => `Gelernt am ${day} aus ${calls} Ansagen.`,
    gain: ({ before, after }) =>
      before.right === after.right
        ? `Von ${before.of} Wörtern zur Probe waren vorher ${before.right} richtig, nachher ${after.right}; die richtigen Wörter bekamen vorher eine Wahrscheinlichkeit von ${percent(before.p)}, nachher von ${percent(after.p)}.`
        : `Von ${before.of} Wörtern zur Probe waren vorher ${before.right} richtig, nachher ${after.right}.`,
    noGain: 'Das ist kein sicherer Gewinn, deshalb bleibt die Stimme aus: Die Spracherkennung hört dich wie alle.',
    inUse: 'Die Spracherkennung dieser Seite hört mit dieser Stimme.',
    off: 'Die Stimme ist ausgeschaltet.',
    whose: 'Wessen Stimme, wenn du magst',
    hearWith: 'Mit dieser Stimme hören',
    remove: 'Diese Stimme löschen…',
    removeForGood: 'Stimme und Ton für immer löschen',
    keepIt: 'Behalten',
    notKept: 'Der Browser hat das nicht behalten.',
    notLearnt: 'Der Browser hat das nicht behalten. Nichts wurde geändert.',
    notDeleted: 'Der Browser hat die Stimme nicht gelöscht. Versuch es noch einmal.',
    of: (at, all) => `${at} von ${all}`,
    acts: {
      again: 'Noch einmal vorlesen',
      leaveOut: 'Auslassen',
      back: 'Zurück',
      standBy: 'Pause',
      stop: 'Hier aufhören',
    },
    goAhead: 'Weiter',
    orSay: 'Oder sag es auf Englisch: „say again“, „next step“, „previous step“, „stand by“, „go ahead“, „end run“.',
    opening: 'Das Mikrofon wird geöffnet…',
    listen: 'Hör zu…',
    now: 'Sag es jetzt.',
    kept: 'Behalten.',
    notHeard: 'Noch nichts gehört.',
    whenReady: 'Noch nichts gehört. Sag es, wenn du so weit bist.',
    like: 'Bitte noch einmal: Das klang nach etwas anderem.',
    leftOut: 'Ausgelassen.',
    backOne: 'Dieses Wort noch einmal.',
    standingBy: 'Pause. Sag „go ahead“ oder tipp auf den Knopf, dann geht es weiter.',
    tooFew: (fewest) =>
      `Weniger als ${fewest} Wörter wurden gesagt: zu wenige, um daraus zu lernen. Nichts wurde behalten.`,
    learningNow: 'Lernt aus dem, was du gesagt hast, und prüft sich an Wörtern zur Probe.',
    noMicrophone: 'Das Mikrofon ist nicht offen; nichts wurde behalten.',
    noEar:
      'Die Spracherkennung dieser Seite ist nicht gestartet; nichts wurde behalten. Lade die Seite neu und versuch es noch einmal.',
    failed: 'Etwas ging schief; nichts wurde behalten.',
  },
);
