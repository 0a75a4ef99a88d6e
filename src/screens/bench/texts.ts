import { catalogue } from '../../language/page-language.ts';

/** What the Bench says around a run. What the session answers is made in `bench/`. */
export const texts = catalogue(
  {
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
    changeSetup: 'Change the setup',
    rehearse: 'Rehearse first',
    oneMoment: 'One moment.',
    loud: 'It is loud around you; still hearing you.',
    tooLoud: 'Too loud to hear you: come nearer, please.',
    intoFlask: (run: string) => `Into the flask of run ${run}, mL. Call each: “poured”, the number, “of”, the name.`,
    water: 'water',
    pouredSo: '✓ poured',
    pouredElse: (ml: string) => `✗ ${ml} poured`,
    missing: 'Missing conditions',
    capitalNow: 'Now',
    askForSteps: 'Say “what now” to be led step by step.',
  },
  {
    last: (run) => `Lauf ${run}, letzter Messwert, mL`,
    noneYet: (run) => `Lauf ${run}, ersten Messwert ansagen`,
    next: 'Nächste Marke, mL',
    none: 'keine',
    elapsed: 'Zeit',
    toGo: 'Noch',
    displaced: 'Verdrängt',
    heldBack: 'Zurückgehaltenes Gas',
    rate: 'Rate',
    leftOut: (count) => `ohne ${count} ${count === 1 ? 'Messwert, der nicht passt' : 'Messwerte, die nicht passen'}`,
    now: 'jetzt',
    inTime: (time) => `in ${time}`,
    menu: 'Menü',
    paused: (word) => `Pause. Sage „${word}“.`,
    beforeYouMix: 'Vor dem Mischen',
    usual: ['Schutzbrille und Handschuhe an.', 'Gefäße, in denen Gas entsteht, nie verschließen.'],
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
    rehearse: 'Erst proben',
    oneMoment: 'Einen Moment.',
    loud: 'Um dich herum ist es laut; ich höre dich noch.',
    tooLoud: 'Zu laut, um dich zu hören: Komm bitte näher.',
    intoFlask: (run) => `In den Kolben von Lauf ${run}, mL. Sage jedes an: „eingegossen“, die Zahl, „von“, den Namen.`,
    water: 'Wasser',
    pouredSo: '✓ eingegossen',
    pouredElse: (ml) => `✗ ${ml} eingegossen`,
    missing: 'Fehlende Bedingungen',
    capitalNow: 'Jetzt',
    askForSteps: 'Sage „was jetzt“, um Schritt für Schritt geführt zu werden.',
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
    ? { baseline: 'Anfangsstand', startRun: 'Start Lauf', goAhead: 'Weitermachen' }
    : { baseline: 'baseline', startRun: 'start run', goAhead: 'go ahead' };

interface CallWords {
  readonly baseline: string;
  readonly startRun: string;
  readonly goAhead: string;
}
