import { catalogue } from '../../language/page-language.ts';

/** What the Bench says around a run. What the session answers is made in `bench/`. */
export const texts = catalogue(
  {
    heading: 'Bench',
    /** Before the digits that are being typed. */
    typing: { reading: '', correction: 'correction ', baseline: 'baseline ', temperature: 'temperature ' },
    last: (run: string) => `Run ${run}, last reading, mL`,
    noneYet: (run: string) => `Run ${run}, call the first reading`,
    next: 'Next mark, mL',
    none: 'none',
    elapsed: 'Time',
    toGo: 'To go',
    displaced: 'Displaced',
    heldBack: 'Gas held back',
    rate: 'Rate',
    leftOut: (count: number) => `without ${count} ${count === 1 ? 'reading that does' : 'readings that do'} not fit`,
    now: 'now',
    inTime: (time: string) => `in ${time}`,
    menu: 'Menu',
    paused: (word: string) => `Standing by. Say “${word}”.`,
    beforeYouMix: 'Before you mix',
    usual: ['Goggles and gloves on.', 'Never close a vessel that makes gas.'] as readonly string[],
    allCautions: 'All cautions',
    full: [
      'Peroxide and acid burn skin and eyes; iodine stains skin, cloth and benches.',
      'The outlet stays free, the tube open, the stopper snug, not wedged.',
      'Ease glass tubes through stoppers wet and wrapped in a cloth. Wipe up spills at once.',
    ] as readonly string[],
    labelsFirst: 'Labels, local rules, supervisor first.',
    mixThenSay: 'Mix. Say',
    say: 'Say',
    spoken: (words: string) => `“${words}”`,
    andTheLevel: 'and the level. Mix. Say',
    thenCall: 'Call each mark.',
    setupLine: (step: number, span: number) => `Marks: ${step} mL. Run: ${span} mL.`,
    changeSetup: 'Change setup',
    rehearse: 'Rehearse first',
    seeRates: 'See the rates',
    oneMoment: 'One moment.',
    lastHeard: 'Last heard',
    clipNotKept: 'The sound of a call could not be kept: there may be little room left. Readings are kept.',
    notLoaded: {
      title: 'A part of this page did not load.',
      advice: 'Reload it when there is a network again. Until then, readings go in by the keys and by hand.',
    },
    emptyCylinder: (ml: number) => `An empty cylinder of ${ml} mL.`,
    waterAt: (ml: number, count: number) =>
      `Cylinder with water at ${ml} mL after ${count} ${count === 1 ? 'reading' : 'readings'}.`,
    nextMark: (ml: string) => `Next mark ${ml} mL.`,
    longest: (digits: string) => `${digits} is as long as a number may be; Escape forgets it`,
    noNumber: {
      reading: 'No number was typed: no reading was taken',
      correction: 'No number was typed: nothing was corrected',
      baseline: 'No number was typed: no baseline was taken',
      temperature: 'No number was typed: no temperature was taken',
    },
    // Hearing
    hearing: 'Hearing',
    how: 'How it hears and answers',
    closeMicrophone: 'Close the microphone',
    closed: 'Microphone closed',
    openMicrophone: 'Open the microphone',
    openAgain: 'Open the microphone again',
    opening: 'Opening the microphone…',
    speaking: 'Speaking; listening again in a moment',
    onThisDevice: 'Listening, on this device only',
    englishOnly: ', English words only',
    listening: (ears: readonly string[]) => `Listening: ${ears.join(' and ')}`,
    ears: {
      browser: 'the browser’s recogniser',
      own: 'on this device',
      sound: 'sounds',
      rehearsal: 'a rehearsal',
    },
    sounds: 'Hears sounds: each is the next mark',
    fetchingHears: (percent: number) => `Hears sounds; fetching the words, ${percent} %`,
    fetching: (percent: number) => `Does not hear yet; fetching the words, ${percent} %`,
    wordsSoon: 'Hears sounds; words start again in a moment',
    soundsOnly: 'Hears sounds, no words: each is the next mark, in doubt',
    deaf: 'Does not hear',
    voiceOutdated: ' (without the voice it learnt: learn it again)',
    voiceKnown: (name: string) => (name ? ` (knows the voice of ${name})` : ' (knows a voice)'),
    loud: 'It is loud around you; still hearing you.',
    tooLoud: 'Too loud to hear you: come nearer, please.',
    intoFlask: (run: string, { poured, of }: CallWords) =>
      `Into the flask of run ${run}, mL. Call each: “${poured}”, the number, “${of}”, the name.`,
    water: 'water',
    pouredSo: 'poured',
    pouredElse: (ml: string) => `${ml} poured`,
    missing: 'Missing conditions',
    capitalNow: 'Now',
    askForSteps: ({ whatNow }: CallWords) => `Say “${whatNow}” to be led step by step.`,
  },
  {
    heading: 'Messplatz',
    typing: { reading: '', correction: 'Berichtigung ', baseline: 'Anfangsstand ', temperature: 'Temperatur ' },
    last: (run) => `Lauf ${run}, letzte Ablesung, mL`,
    noneYet: (run) => `Lauf ${run}, erste Ablesung ansagen`,
    next: 'Nächste Marke, mL',
    none: 'keine',
    elapsed: 'Zeit',
    toGo: 'Noch',
    displaced: 'Verdrängt',
    heldBack: 'Zurückgehaltenes Gas',
    rate: 'Geschwindigkeit',
    leftOut: (count) => `ohne ${count} ${count === 1 ? 'Ablesung, die nicht passt' : 'Ablesungen, die nicht passen'}`,
    now: 'jetzt',
    inTime: (time) => `in ${time}`,
    menu: 'Menü',
    paused: (word) => `Pause. Sage „${word}“.`,
    beforeYouMix: 'Vor dem Mischen',
    usual: ['Schutzbrille und Handschuhe an.', 'Gefäße mit Gasentwicklung nie verschließen.'],
    allCautions: 'Alle Warnungen',
    full: [
      'Peroxid und Säure verätzen Haut und Augen; Iod färbt Haut, Stoff und Tische.',
      'Der Auslass bleibt frei, der Schlauch offen, der Stopfen sitzt fest, aber nicht verkeilt.',
      'Glasrohre nass und mit einem Tuch umwickelt durch Stopfen schieben. Spritzer sofort aufwischen.',
    ],
    labelsFirst: 'Etiketten, Hausregeln und Aufsicht gehen vor.',
    mixThenSay: 'Mische. Sage',
    say: 'Sage',
    spoken: (words) => `„${words}“`,
    andTheLevel: 'und den Stand. Mische. Sage',
    thenCall: 'Sage jede Marke an.',
    setupLine: (step, span) => `Marken: ${step} mL. Lauf: ${span} mL.`,
    changeSetup: 'Einstellungen ändern',
    rehearse: 'Erst ein Probelauf',
    seeRates: 'Ergebnis ansehen',
    oneMoment: 'Einen Moment.',
    lastHeard: 'Zuletzt gehört',
    clipNotKept:
      'Der Ton einer Ansage ließ sich nicht behalten: Vielleicht ist wenig Platz. Ablesungen bleiben erhalten.',
    notLoaded: {
      title: 'Ein Teil dieser Seite wurde nicht geladen.',
      advice: 'Lade sie neu, sobald es wieder ein Netz gibt. Bis dahin gehen Ablesungen mit den Tasten und von Hand.',
    },
    emptyCylinder: (ml) => `Ein leerer Messzylinder mit ${ml} mL.`,
    waterAt: (ml, count) =>
      `Messzylinder mit Wasser bei ${ml} mL nach ${count} ${count === 1 ? 'Ablesung' : 'Ablesungen'}.`,
    nextMark: (ml) => `Nächste Marke ${ml} mL.`,
    longest: (digits) => `Länger als ${digits} darf eine Zahl nicht sein; Escape vergisst sie`,
    noNumber: {
      reading: 'Keine Zahl getippt: keine Ablesung notiert',
      correction: 'Keine Zahl getippt: nichts berichtigt',
      baseline: 'Keine Zahl getippt: kein Anfangsstand notiert',
      temperature: 'Keine Zahl getippt: keine Temperatur notiert',
    },
    hearing: 'Hören',
    how: 'Wie gehört und geantwortet wird',
    closeMicrophone: 'Mikrofon schließen',
    closed: 'Mikrofon geschlossen',
    openMicrophone: 'Mikrofon öffnen',
    openAgain: 'Mikrofon wieder öffnen',
    opening: 'Das Mikrofon wird geöffnet…',
    speaking: 'Spricht; hört gleich wieder zu',
    onThisDevice: 'Hört zu, nur auf diesem Gerät',
    englishOnly: ', nur englische Wörter',
    listening: (ears) => `Hört zu: ${ears.join(' und ')}`,
    ears: {
      browser: 'die Spracherkennung des Browsers',
      own: 'auf diesem Gerät',
      sound: 'Töne',
      rehearsal: 'ein Probelauf',
    },
    sounds: 'Hört Töne: Jeder ist die nächste Marke',
    fetchingHears: (percent) => `Hört Töne; die Wörter werden geladen, ${percent} %`,
    fetching: (percent) => `Hört noch nicht; die Wörter werden geladen, ${percent} %`,
    wordsSoon: 'Hört Töne; gleich auch wieder Wörter',
    soundsOnly: 'Hört Töne, keine Wörter: Jeder ist die nächste Marke, im Zweifel',
    deaf: 'Hört nicht',
    voiceOutdated: ' (ohne die gelernte Stimme: lerne sie neu)',
    voiceKnown: (name) => (name ? ` (kennt die Stimme von ${name})` : ' (kennt eine Stimme)'),
    loud: 'Um dich herum ist es laut; ich höre dich noch.',
    tooLoud: 'Zu laut, um dich zu hören: Komm bitte näher.',
    intoFlask: (run, { poured, of }) =>
      `In den Kolben von Lauf ${run}, mL. Sage jedes an: „${poured}“, die Zahl, „${of}“, den Namen.`,
    water: 'Wasser',
    pouredSo: 'eingegossen',
    pouredElse: (ml) => `${ml} eingegossen`,
    missing: 'Fehlende Bedingungen',
    capitalNow: 'Jetzt',
    askForSteps: ({ whatNow }) => `Sage „${whatNow}“, um Schritt für Schritt geführt zu werden.`,
  },
);

export type BenchTexts = typeof texts.en;

/**
 * The words to say at the start of a run, in the language of the calls, which need not be that of the page.
 * @example
 * callWords('de-DE').baseline // => 'Anfangsstand'
 */
export const callWords = (language: string): CallWords =>
  language.toLowerCase().startsWith('de')
    ? {
        baseline: 'Anfangsstand',
        startRun: 'Start Lauf',
        endRun: 'Ende Lauf',
        goAhead: 'Weitermachen',
        mark: 'Marke',
        poured: 'eingegossen',
        of: 'von',
        whatNow: 'was jetzt',
      }
    : {
        baseline: 'baseline',
        startRun: 'start run',
        endRun: 'end run',
        goAhead: 'go ahead',
        mark: 'mark',
        poured: 'poured',
        of: 'of',
        whatNow: 'what now',
      };

export interface CallWords {
  readonly baseline: string;
  readonly startRun: string;
  readonly endRun: string;
  readonly goAhead: string;
  readonly mark: string;
  readonly poured: string;
  readonly of: string;
  readonly whatNow: string;
}
