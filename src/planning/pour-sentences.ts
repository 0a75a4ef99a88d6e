/**
 * What is said about a pour, by language: data only. Volumes are in mL and said without a unit, as they are called.
 * `{name}` is the solution's name as planned, `{value}` what was called, `{plan}` what the plan says.
 */
export interface PourSentences {
  readonly decimalSign: '.' | ',';
  readonly noneNext: string;
  readonly whichOne: string;
  readonly runGets: string;
  readonly notedOnly: string;
  readonly asPlanned: string;
  readonly nowAsPlanned: string;
  readonly moreInAll: string;
  readonly takenAsPoured: string;
  readonly planTaken: string;
  readonly concentrationsFollow: string;
  readonly tooLittle: string;
  readonly tooMuch: string;
  readonly empty: string;
  /** The note that is kept when a flask is emptied. */
  readonly emptied: string;
  readonly allPoured: string;
  readonly next: string;
  readonly getsNot: string;
  readonly getsNo: string;
  readonly takenBack: string;
  readonly instead: string;
  readonly and: string;
  readonly or: string;
}

const en: PourSentences = {
  decimalSign: '.',
  noneNext: '{name} {value}. No run is planned next: noted.',
  whichOne: 'Which one: {names}?',
  runGets: 'Run {run} gets {pours}.',
  notedOnly: '{name} {value} is noted, but no volume is changed. {more} Say it again.',
  asPlanned: '{name} {value}, as planned. {rest}',
  nowAsPlanned: '{name} now {plan}, as planned. {rest}',
  moreInAll: '{name}: {value} more, {total} in all?',
  takenAsPoured: '{name} {value}: taken as poured. {rest}',
  planTaken: '{name} {value}, plan {plan}: taken as poured. {rest}',
  concentrationsFollow: '{name} {value}: taken as poured, the concentrations follow. {rest}',
  tooLittle: '{name} {value}. Plan says {plan}: pour {difference} more?',
  tooMuch: '{name} {value}. Plan says {plan}, that is {difference} too much. Keep it?',
  empty: 'Empty the flask of run {run} into the waste, rinse it twice, and pour it again.',
  emptied: 'Flask of run {run} emptied: {name} {value} instead of {plan}',
  allPoured: 'Everything for run {run} is poured.',
  next: 'Next: {name} {plan}.',
  getsNot: 'Run {run} gets {meant}, not {name}. Is {name} {value} in the flask instead?',
  getsNo: 'Run {run} gets no {name}. Is {name} {value} in the flask?',
  takenBack: 'Taken back. Run {run} gets {pours}.',
  instead: '{name} {value} instead of {meant}: taken as poured, the concentrations follow.',
  and: 'and',
  or: 'or',
};

const de: PourSentences = {
  decimalSign: ',',
  noneNext: '{name} {value}. Kein weiterer Lauf ist geplant: notiert.',
  whichOne: 'Welche Lösung: {names}?',
  runGets: 'Lauf {run} bekommt {pours}.',
  notedOnly: '{name} {value} ist notiert, aber kein Volumen geändert. {more} Bitte noch einmal sagen.',
  asPlanned: '{name} {value}, wie geplant. {rest}',
  nowAsPlanned: '{name} jetzt {plan}, wie geplant. {rest}',
  moreInAll: '{name}: noch {value} dazu, zusammen {total}?',
  takenAsPoured: '{name} {value}: so übernommen. {rest}',
  planTaken: '{name} {value}, Plan {plan}: so übernommen. {rest}',
  concentrationsFollow: '{name} {value}: so übernommen, die Konzentrationen richten sich danach. {rest}',
  tooLittle: '{name} {value}. Im Plan steht {plan}: noch {difference} nachgießen?',
  tooMuch: '{name} {value}. Im Plan steht {plan}, das sind {difference} zu viel. Behalten?',
  empty: 'Den Kolben von Lauf {run} in den Abfall leeren, zweimal ausspülen und neu füllen.',
  emptied: 'Kolben von Lauf {run} geleert: {name} {value} statt {plan}',
  allPoured: 'Für Lauf {run} ist alles eingegossen.',
  next: 'Als Nächstes: {name} {plan}.',
  getsNot: 'Lauf {run} bekommt {meant}, nicht {name}. Ist stattdessen {name} {value} im Kolben?',
  getsNo: 'Lauf {run} bekommt kein {name}. Ist {name} {value} im Kolben?',
  takenBack: 'Zurückgenommen. Lauf {run} bekommt {pours}.',
  instead: '{name} {value} statt {meant}: so übernommen, die Konzentrationen richten sich danach.',
  and: 'und',
  or: 'oder',
};

/** The sentences of a language by its BCP-47 tag; English where there are none. */
export function pourSentencesFor(tag: string): PourSentences {
  return tag.toLowerCase().split('-')[0] === 'de' ? de : en;
}

/** Puts values into a sentence, decimals as the language writes them; what is empty leaves no space behind. */
export function filled(
  sentences: PourSentences,
  which: keyof PourSentences,
  values: Readonly<Record<string, string>>,
): string {
  const value = (key: string): string => (values[key] ?? '').replace(/^(\d+)\.(\d+)$/, `$1${sentences.decimalSign}$2`);
  return sentences[which].replace(/\{(\w+)\}/g, (_, key: string) => value(key)).trim();
}
