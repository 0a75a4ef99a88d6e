import { named } from '../language/page-language.ts';

/**
 * What is said about a pour, by language: data only. Volumes are in mL and said without a unit, as they are called.
 * `{name}` is the solution's name as planned, `{value}` what was called, `{plan}` what the plan says.
 */
export interface PourSentences {
  readonly decimalSign: '.' | ',';
  readonly water: string;
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
  readonly differs: string;
  readonly rightVolume: string;
  readonly noFlask: string;
  readonly allPoured: string;
  readonly next: string;
  /** The last solution starts the reaction. */
  readonly lastWaits: string;
  readonly getsNot: string;
  readonly getsNo: string;
  readonly takenBack: string;
  readonly instead: string;
  readonly and: string;
  readonly or: string;
}

const en: PourSentences = {
  decimalSign: '.',
  water: 'water',
  noneNext: '{name} {value}. No run is planned next: noted.',
  whichOne: 'Which one: {names}?',
  runGets: 'Run {run} gets {pours}.',
  notedOnly: '{name} {value} is noted, but no volume is changed. {more} Say it again.',
  asPlanned: '{name} {value}, as planned. {rest}',
  nowAsPlanned: '{name} now {plan}, as planned. {rest}',
  moreInAll: '{name}: {value} more, {total} in all?',
  takenAsPoured: '{name} {value}: taken as poured. {rest}',
  planTaken: '{name} {value}, plan {plan}: taken as poured. {rest}',
  concentrationsFollow: '{name} {value} is kept, and used for the concentrations. {rest}',
  differs: 'Plan says {plan} mL of {name}; you said {value}. Say “yes” to keep {value}, or the right volume.',
  rightVolume: 'Then say the right volume. To empty the flask, say “disregard” and pour it again.',
  noFlask: 'No flask holds {value} mL. Say the right volume.',
  allPoured: 'Everything for run {run} is poured.',
  next: 'Next: {name} {plan}.',
  lastWaits: '{name} {plan} goes in last: measure it and keep it ready.',
  getsNot: 'Run {run} gets {meant}, not {name}. Is {name} {value} in the flask instead?',
  getsNo: 'Run {run} gets no {name}. Is {name} {value} in the flask?',
  takenBack: 'Taken back. Run {run} gets {pours}.',
  instead: '{name} {value} instead of {meant} is kept, and used for the concentrations.',
  and: 'and',
  or: 'or',
};

const de: PourSentences = {
  decimalSign: ',',
  water: 'Wasser',
  noneNext: '{name} {value}. Kein weiterer Lauf ist geplant: notiert.',
  whichOne: 'Welche Lösung: {names}?',
  runGets: 'Lauf {run} bekommt {pours}.',
  notedOnly: '{name} {value} ist notiert, aber kein Volumen geändert. {more} Bitte noch einmal sagen.',
  asPlanned: '{name} {value}, wie geplant. {rest}',
  nowAsPlanned: '{name} jetzt {plan}, wie geplant. {rest}',
  moreInAll: '{name}: noch {value} dazu, zusammen {total}?',
  takenAsPoured: '{name} {value}: so übernommen. {rest}',
  planTaken: '{name} {value}, Plan {plan}: so übernommen. {rest}',
  concentrationsFollow: '{name} {value} bleibt und zählt für die Konzentrationen. {rest}',
  differs:
    'Im Plan stehen {plan} mL {name}, angesagt sind {value}. „Ja“ behält {value}; sonst das richtige Volumen sagen.',
  rightVolume: 'Dann das richtige Volumen sagen. Um den Kolben zu leeren, „streichen“ sagen und neu eingießen.',
  noFlask: 'Kein Kolben fasst {value} mL. Bitte das richtige Volumen sagen.',
  allPoured: 'Für Lauf {run} ist alles eingegossen.',
  next: 'Als Nächstes: {name} {plan}.',
  lastWaits: '{name} {plan} kommt zuletzt hinein: abmessen und bereithalten.',
  getsNot: 'Lauf {run} bekommt {meant}, nicht {name}. Ist stattdessen {name} {value} im Kolben?',
  getsNo: 'Lauf {run} bekommt kein {name}. Ist {name} {value} im Kolben?',
  takenBack: 'Zurückgenommen. Lauf {run} bekommt {pours}.',
  instead: '{name} {value} statt {meant} bleibt und zählt für die Konzentrationen.',
  and: 'und',
  or: 'oder',
};

/** The sentences of a language by its BCP-47 tag; English where there are none. */
export function pourSentencesFor(tag: string): PourSentences {
  return tag.toLowerCase().split('-')[0] === 'de' ? de : en;
}

/** Places in the sentences where the name of a solution or a run stands. */
const names: ReadonlySet<string> = new Set(['name', 'meant', 'run']);

/** Puts values into a sentence, decimals as the language writes them; what is empty leaves no space behind. */
export function filled(
  sentences: PourSentences,
  which: keyof PourSentences,
  values: Readonly<Record<string, string>>,
): string {
  const value = (key: string): string => {
    const text = values[key] ?? '';
    return names.has(key) ? named(text) : text.replace(/^(\d+)\.(\d+)$/, `$1${sentences.decimalSign}$2`);
  };
  return sentences[which].replace(/\{(\w+)\}/g, (_, key: string) => value(key)).trim();
}
