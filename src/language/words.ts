import type { CommandName, CommandWords } from './spoken-commands.ts';

/**
 * What a language brings to understanding: data only, one file per language under `words/`. All entries are written
 * as `normalise` leaves them: lower case, no hyphens, single spaces.
 */
export interface Words {
  /** BCP 47 language, without region. */
  readonly language: string;
  /** Its name in itself, for a menu. */
  readonly name: string;
  /** What stands before the decimals in writing. The other of the two groups thousands. */
  readonly decimalSign: '.' | ',';
  readonly numbers: NumberWords;
  /** Unit of what was said: the words that may follow a number, by unit. */
  readonly units: readonly UnitWords[];
  readonly fillers: readonly string[];
  /** "forty one now", "that is forty one now": said with a reading, before it only where something follows it too. */
  readonly withReading: { readonly before: readonly string[]; readonly after: readonly string[] };
  /** Said between two readings of one breath: "25 next 27". */
  readonly between: readonly string[];
  /** Said between the ends of a range: "25 to 27". */
  readonly range: readonly string[];
  /** "25, no, 26": what follows replaces what went before. */
  readonly repair: readonly string[];
  /** "number 25": a label, hardly a reading. */
  readonly labels: readonly string[];
  /** "about 25". */
  readonly qualifiers: readonly string[];
  /** "25 full stop": punctuation that was spoken. */
  readonly spokenStops: readonly string[];
  /** Marks a time of day, before or after the number: then it is no reading. */
  readonly clock: { readonly before: readonly string[]; readonly after: readonly string[] };
  readonly commands: Readonly<Record<CommandName, CommandWords>>;
  /** "poured ten of iodide". */
  readonly of: readonly string[];
  /** Number words that are mistaken for one another. Used both ways. */
  readonly confusions: readonly Confusion[];
  readonly spoken: SpokenWords;
}

export interface NumberWords {
  /** 0 to 19, each with all its spellings; the first is the one used for speaking. */
  readonly ones: readonly (readonly string[])[];
  /** 20, 30 … 90. */
  readonly tens: readonly (readonly string[])[];
  /** How 21 to 99 are put together: `T` stands for the ten, `U` for the one. Empty: all of them are in `irregular`. */
  readonly compounds: readonly string[];
  /** Spelling of 1 inside a compound where it differs ("ein" in "einundzwanzig"). */
  readonly oneInCompound?: string;
  readonly irregular?: Readonly<Record<string, number>>;
  /** Zero inside a run of digits only ("oh"): never a number by itself. */
  readonly ohs: readonly string[];
  /** Zero only before a decimal point ("not point five"). */
  readonly zeroBeforePoint: readonly string[];
  /** Between a number and its power of ten: "times ten to the". */
  readonly powers: readonly string[];
  /** Words that multiply what stands before them. */
  readonly scales: readonly { readonly value: number; readonly words: readonly string[] }[];
  /** "a hundred". */
  readonly articles: readonly string[];
  readonly and: readonly string[];
  readonly point: readonly string[];
  /** The spoken comma where it is not the decimal sign. */
  readonly comma: readonly string[];
  readonly minus: readonly string[];
  readonly plus: readonly string[];
  /** "double five". */
  readonly repeats: Readonly<Record<string, number>>;
  /** Parts: "half" 2, "thirds" 3. */
  readonly parts: Readonly<Record<string, number>>;
  /** Parts that follow a number directly ("zweieinhalb"). */
  readonly gluedParts?: readonly string[];
  /** Words that are a number with decimals ("anderthalb"). */
  readonly fixed?: Readonly<Record<string, string>>;
  /** How readily a number word is two numbers said in a row: 0.01 unless given. More where words themselves are sums. */
  readonly compoundBreak?: number;
  readonly over: readonly string[];
  /** Endings of ordinals in digits: "25th". */
  readonly ordinalEndings: readonly string[];
  /** Words written in one piece that hold a scale ("zweihundertfünf"): cut before and after these. */
  readonly cutAround?: readonly string[];
  /**
   * Words an engine writes for a number, by number. Counted only when the whole utterance becomes numeric by them. `sure`: may be
   * taken; `unsure`: must be asked for.
   */
  readonly homophones: {
    readonly sure: Readonly<Record<number, readonly string[]>>;
    readonly unsure: Readonly<Record<number, readonly string[]>>;
  };
}

/** What the number is of. 'other' is a unit that is no volume and no temperature. */
export type Unit = 'mL' | 'degree' | 'percent' | 'pH' | 'other';

export interface UnitWords {
  readonly unit: Unit;
  readonly words: readonly string[];
  /** true: engines write this for another word, or two units share it ("miles", "ms"). */
  readonly unsure?: boolean;
  /** true: stands before the number ("pH 7.4"). */
  readonly before?: boolean;
}

/** Two numbers (0 to 20, 30 … 90) whose words are mistaken for one another. */
export interface Confusion {
  readonly a: number;
  readonly b: number;
  /** Share of the mishearings of `a` (or `b`) that end at the other: 0..1, reasoned, see `confusability.ts`. */
  readonly share: number;
  readonly why: string;
}

/** Sentences said aloud. `{value}` is the number spelled out for speaking. */
export interface SpokenWords {
  readonly digits: readonly string[];
  readonly point: string;
  readonly minus: string;
  readonly millilitres: string;
  readonly logged: string;
  readonly best: string;
  readonly or: string;
  /** "heard five zero; one five fits: which?" */
  readonly heardFits: string;
  /** The distance between the marks has changed. */
  readonly callingEvery: string;
  readonly unresolved: string;
  readonly struck: string;
  readonly corrected: string;
  readonly latest: string;
  readonly at: string;
}
