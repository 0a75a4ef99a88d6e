import { dayLanguage, isOwnWords, type PageLanguage } from './page-language.ts';

/** The words that sentences teach: what a person is told to say at the bench. All are rows of `spoken-commands.ts`. */
export interface CallWords {
  readonly baseline: string;
  readonly startRun: string;
  readonly nextRun: string;
  readonly endRun: string;
  readonly goAhead: string;
  readonly mark: string;
  readonly poured: string;
  readonly whatNow: string;
  readonly done: string;
  readonly nextStep: string;
  readonly pressure: string;
  readonly temperature: string;
  readonly disregard: string;
  readonly yes: string;
  /** Between a volume and a name: "poured 5 of peroxide". */
  readonly of: string;
  /** Name of the first run, in letters. */
  readonly one: string;
  readonly water: string;
}

const words: Readonly<Record<PageLanguage, CallWords>> = {
  en: {
    baseline: 'baseline',
    startRun: 'start run',
    nextRun: 'next run',
    endRun: 'end run',
    goAhead: 'go ahead',
    mark: 'mark',
    poured: 'poured',
    whatNow: 'what now',
    done: 'done',
    nextStep: 'next step',
    pressure: 'pressure',
    temperature: 'temperature',
    disregard: 'disregard',
    yes: 'yes',
    of: 'of',
    one: 'one',
    water: 'water',
  },
  de: {
    baseline: 'Anfangsstand',
    startRun: 'Start Lauf',
    nextRun: 'nächster Lauf',
    endRun: 'Ende Lauf',
    goAhead: 'weitermachen',
    mark: 'Marke',
    poured: 'eingegossen',
    whatNow: 'was jetzt',
    done: 'fertig',
    nextStep: 'nächster Schritt',
    pressure: 'Luftdruck',
    temperature: 'Temperatur',
    disregard: 'streichen',
    yes: 'ja',
    of: 'von',
    one: 'eins',
    water: 'Wasser',
  },
};

/**
 * The words to say, in the language of the calls, which need not be that of the page.
 * @param tag BCP-47 tag of the calls
 * @example
 * callWords('de-DE').baseline // => 'Anfangsstand'
 */
export const callWords = (tag: string): CallWords => words[dayLanguage(tag)];

const names = Object.keys(words.en) as readonly (keyof CallWords)[];
const quotes: Readonly<Record<PageLanguage, RegExp>> = { en: /(?<=“)[^”]+(?=”)/g, de: /(?<=„)[^“]+(?=“)/g };

/**
 * A sentence in the page's language with the words to say, which stand in its quotes, in the language of the calls: what
 * is written is in the language of the page, what is to be said in the one that is listened for. Other quotes stay, and so
 * do names of runs and solutions, and what `ownWords` marked.
 * @param calls BCP-47 tag of the calls
 * @example
 * wordsToSay('„Ende Lauf“ sagen.', 'de', 'en-US') // => '„end run“ sagen.'
 */
export function wordsToSay(sentence: string, page: PageLanguage, calls: string): string {
  const [from, to] = [words[page], callWords(calls)];
  return from === to
    ? sentence
    : sentence.replace(quotes[page], (said) => (isOwnWords(said) ? said : saidAs(said, from, to)));
}

function saidAs(said: string, from: CallWords, to: CallWords): string {
  const name = names.find((one) => isSame(said.slice(0, from[one].length), from[one]) && isRest(one, said, from));
  if (name === undefined) return said;
  // At the beginning of a sentence; German nouns are written so anyway.
  const isCapital = /^\p{Lu}/u.test(said) && /^\p{Ll}/u.test(from[name]);
  const word = isCapital ? to[name].slice(0, 1).toUpperCase() + to[name].slice(1) : to[name];
  const rest = said.slice(from[name].length);
  if (name === 'startRun') return word + (isSame(rest, ` ${from.one}`) ? ` ${to.one}` : rest);
  const pour = pourAfter(rest, from);
  return pour === null ? word : `${word} ${decimalsIn(pour.ml, to)} ${to.of} ${solutionIn(pour.solution, from, to)}`;
}

const isSame = (one: string, other: string): boolean => one.toLowerCase() === other.toLowerCase();

/** Whether what follows a word to say is what is said after it: the name of a run, or volume and solution. */
function isRest(name: keyof CallWords, said: string, from: CallWords): boolean {
  const rest = said.slice(from[name].length);
  return (
    rest === '' ||
    (name === 'startRun' && rest.startsWith(' ')) ||
    (name === 'poured' && pourAfter(rest, from) !== null)
  );
}

/** " 2.5 of iodide": what stands before the first "of" is the volume, the name is whatever follows. */
function pourAfter(rest: string, { of }: CallWords): { readonly ml: string; readonly solution: string } | null {
  const [, ml = '', between = '', solution = ''] = /^ ([\d.,]+) (\S+) (.+)$/.exec(rest) ?? [];
  return between === of ? { ml, solution } : null;
}

const decimalsIn = (ml: string, to: CallWords): string => ml.replace(/[.,]/, to === words.de ? ',' : '.');

/** Water is the one solution that the app names. */
const solutionIn = (solution: string, from: CallWords, to: CallWords): string =>
  isSame(solution, from.water) ? to.water : solution;
