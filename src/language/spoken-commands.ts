import type { Meaning } from '../log/meaning.ts';
import type { PageLanguage } from './page-language.ts';

/**
 * The spoken commands: one row each, the only place where one is named. From a row come what it means, its words in
 * each language (`words/`), its line in Help, the sentences of the embedded ear's grammar and, through
 * `npm run vocabulary`, those of its training. What a row lacks does not compile; a test holds that its key does the
 * same, that the ear's sentences mean it, and that none of its words is a number.
 */
interface Row {
  /** Its words in each language that has procedure words; the first is the one shown and taught. */
  readonly words: Readonly<Record<CommandLanguage, CommandWords>>;
  /** Sentences of the embedded ear (English), slots in braces as `hearing/ear/grammar.ts` fills them. */
  readonly ear: readonly string[];
  /** The key that does the same at the bench; null: none. */
  readonly key: string | null;
  /** In Help: a number said with it, if any, and what it does. */
  readonly help: { readonly example: string; readonly does: Readonly<Record<PageLanguage, string>> };
  readonly takes: Takes['takes'];
  readonly means?: Meaning | NumberCommand;
}

/** What follows the words, and what the command then means. */
type Takes =
  | { readonly takes: 'nothing'; readonly means: Meaning }
  | { readonly takes: 'number'; readonly means: NumberCommand }
  | { readonly takes: 'run' | 'pour' | 'text' };

/** Meanings that are a number said after a word. */
export type NumberCommand = 'correction' | 'settle' | 'baseline' | 'temperature' | 'pressure';

/** Languages in which procedure words are said; in the others they are said in English. */
export type CommandLanguage = 'en' | 'de';

export interface CommandWords {
  /** The first is the one shown and taught. */
  readonly said: readonly string[];
  /** What engines write instead. Less sure. */
  readonly misheard: readonly string[];
}

export const spokenCommands = {
  mark: {
    takes: 'nothing',
    means: { kind: 'mark' },
    words: {
      en: { said: ['mark'], misheard: ['marc', 'marks', 'marked', 'mark it'] },
      de: { said: ['marke', 'jetzt'], misheard: ['marko', 'marken', 'barke'] },
    },
    ear: ['mark', 'mark {volume}'],
    key: ' ',
    help: {
      example: '',
      does: {
        en: 'a reading at the next mark, now: the first volume you called plus whole steps',
        de: 'eine Ablesung an der nächsten Marke, jetzt: der erste angesagte Wert plus ganze Schritte',
      },
    },
  },
  correction: {
    takes: 'number',
    means: 'correction',
    words: {
      en: {
        said: ['correction', 'make that', 'i said'],
        misheard: ['connection', 'corrections', 'correct', 'collection'],
      },
      de: {
        said: ['korrektur', 'berichtigung', 'ich sagte'],
        misheard: ['korrekturen', 'korrekt', 'direktor', 'kollektur'],
      },
    },
    ear: ['correction {volume}', 'make that {volume}', 'i said {volume}'],
    key: 'c',
    help: {
      example: '24',
      does: {
        en: 'puts the latest reading right; its moment stays',
        de: 'berichtigt die letzte Ablesung; ihr Zeitpunkt bleibt',
      },
    },
  },
  'that-was': {
    takes: 'number',
    means: 'settle',
    words: {
      en: { said: ['that was', 'it was', 'was'], misheard: ['that is', "that's"] },
      de: { said: ['das war', 'das waren', 'es war'], misheard: ['das wahr', 'das wären'] },
    },
    ear: ['that was {volume}'],
    key: null,
    help: {
      example: '50',
      does: { en: 'settles the latest reading in doubt', de: 'klärt die letzte zweifelhafte Ablesung' },
    },
  },
  disregard: {
    takes: 'nothing',
    means: { kind: 'disregard' },
    words: {
      en: {
        said: ['disregard', 'undo', 'scratch that'],
        misheard: ['this regard', 'the regard', 'disregarded', 'disregards', 'this guard', 'disregard that'],
      },
      de: {
        said: ['streichen', 'verwerfen', 'streich das'],
        misheard: ['streich', 'gestrichen', 'streiche', 'verworfen', 'vorwerfen'],
      },
    },
    ear: ['disregard', 'scratch that'],
    key: 'd',
    help: {
      example: '',
      does: {
        en: 'strikes the latest reading (kept, struck through)',
        de: 'streicht die letzte Ablesung (bleibt durchgestrichen stehen)',
      },
    },
  },
  'say-again': {
    takes: 'nothing',
    means: { kind: 'say-again' },
    words: {
      en: { said: ['say again', 'repeat', 'last one'], misheard: ['repeats', 'say it again', 'say a gain'] },
      de: {
        said: ['wiederholen', 'noch einmal', 'noch mal', 'letzter wert'],
        misheard: ['wiederhole', 'wieder holen', 'nochmal', 'wiederholung'],
      },
    },
    ear: ['say again', 'repeat', 'last one'],
    key: 'a',
    help: {
      example: '',
      does: { en: 'speaks the latest reading and its time', de: 'sagt die letzte Ablesung und ihre Zeit' },
    },
  },
  'how-fast': {
    takes: 'nothing',
    means: { kind: 'ask', what: 'rate' },
    words: {
      en: { said: ['how fast'], misheard: ['how fast is it', 'how fast now'] },
      de: { said: ['wie schnell'], misheard: ['wie schnell ist es'] },
    },
    ear: ['how fast'],
    key: null,
    help: { example: '', does: { en: 'speaks the rate so far', de: 'sagt die Geschwindigkeit bis jetzt' } },
  },
  'how-long': {
    takes: 'nothing',
    means: { kind: 'ask', what: 'time' },
    words: {
      en: { said: ['how long'], misheard: ['how long now', 'how long is it'] },
      de: { said: ['wie lange'], misheard: ['wie lang', 'wie lange noch'] },
    },
    ear: ['how long'],
    key: null,
    help: {
      example: '',
      does: {
        en: 'speaks how long the run has gone on, and how long it will yet',
        de: 'sagt, wie lange der Lauf schon dauert und noch dauern wird',
      },
    },
  },
  'stand-by': {
    takes: 'nothing',
    means: { kind: 'stand-by' },
    words: {
      en: { said: ['stand by', 'standby', 'stop'], misheard: ['stand bye', 'top', 'stock', 'shop', 'stand buy'] },
      de: { said: ['warten', 'halt', 'stopp'], misheard: ['warte', 'garten', 'wart', 'stop', 'stoff', 'top'] },
    },
    ear: ['stand by'],
    key: 'p',
    help: {
      example: '',
      does: { en: 'stops taking readings; times go on', de: 'nimmt keine Ablesungen mehr; die Zeit läuft weiter' },
    },
  },
  'go-ahead': {
    takes: 'nothing',
    means: { kind: 'go-ahead' },
    words: {
      en: { said: ['go ahead', 'resume'], misheard: ['go a head', 'goahead', 'go head'] },
      de: { said: ['weitermachen', 'fortfahren'], misheard: ['weiter machen', 'vortfahren', 'fort fahren'] },
    },
    ear: ['go ahead'],
    key: 'p',
    help: { example: '', does: { en: 'takes readings again', de: 'nimmt wieder Ablesungen' } },
  },
  baseline: {
    takes: 'number',
    means: 'baseline',
    words: {
      en: { said: ['baseline', 'base line'], misheard: ['bass line', 'vaseline', 'based line', 'base lines'] },
      de: {
        said: ['anfangsstand', 'grundlinie'],
        misheard: ['grund linie', 'grundlinien', 'anfang stand', 'anfangs stand'],
      },
    },
    ear: ['baseline {volume}'],
    key: 'b',
    help: {
      example: '10',
      does: { en: 'the cylinder’s reading before mixing', de: 'der Stand des Zylinders vor dem Mischen' },
    },
  },
  'start-run': {
    takes: 'run',
    words: {
      en: {
        said: ['start run', 'next run'],
        misheard: ['start ran', 'star run', 'started run', 'start the run', 'starts run', 'start rum'],
      },
      de: {
        said: ['start lauf', 'beginn lauf', 'starte lauf', 'nächster lauf'],
        misheard: ['start auf', 'startlauf', 'start laufen', 'stadtlauf', 'starte auf'],
      },
    },
    ear: ['start run {run}', 'next run'],
    key: 's',
    help: { example: '1', does: { en: 'begins a run', de: 'beginnt einen Lauf' } },
  },
  'end-run': {
    takes: 'nothing',
    means: { kind: 'end-run' },
    words: {
      en: { said: ['end run', 'end of run'], misheard: ['and run', 'end ran', 'end the run', 'ended run', 'n run'] },
      de: {
        said: ['ende lauf', 'lauf beenden', 'lauf ende'],
        misheard: ['ende auf', 'endlauf', 'ende laufen', 'auf beenden'],
      },
    },
    ear: ['end run'],
    key: 'e',
    help: { example: '', does: { en: 'ends the run', de: 'beendet den Lauf' } },
  },
  swirling: {
    takes: 'nothing',
    means: { kind: 'happening', what: 'swirling' },
    words: {
      en: { said: ['swirling'], misheard: ['swelling', 'whirling', 'twirling', 'swirl in'] },
      de: { said: ['schwenken', 'umschwenken'], misheard: ['schenken', 'schwanken', 'schwenke'] },
    },
    ear: ['swirling'],
    key: 'w',
    help: {
      example: '',
      does: { en: 'notes that the flask is swirled, and when', de: 'notiert, dass geschwenkt wird, und wann' },
    },
  },
  'swirl-stopped': {
    takes: 'nothing',
    means: { kind: 'happening', what: 'swirl-stopped' },
    words: {
      en: {
        said: ['swirl stopped', 'swirling stopped'],
        misheard: ['swirl stop', 'whirl stopped', 'swell stopped', 'world stopped'],
      },
      de: {
        said: ['schwenken beendet', 'schwenken aus'],
        misheard: ['schenken beendet', 'schwanken beendet', 'schenken aus', 'schwenken beenden'],
      },
    },
    ear: ['swirl stopped'],
    key: 'w',
    help: {
      example: '',
      does: { en: 'notes that swirling has ended', de: 'notiert, dass nicht mehr geschwenkt wird' },
    },
  },
  leak: {
    takes: 'nothing',
    means: { kind: 'happening', what: 'leak' },
    words: {
      en: { said: ['leak'], misheard: ['leek', 'leaked', 'leaks', 'league'] },
      de: { said: ['leck', 'undicht'], misheard: ['lack', 'leg', 'lecken', 'und dicht'] },
    },
    ear: ['leak'],
    key: 'l',
    help: { example: '', does: { en: 'notes a leak, and when', de: 'notiert ein Leck, und wann' } },
  },
  spill: {
    takes: 'nothing',
    means: { kind: 'happening', what: 'spill' },
    words: {
      en: { said: ['spill'], misheard: ['spilled', 'spills', 'spelled', 'spell'] },
      de: { said: ['verschüttet'], misheard: ['verschütte', 'verschütten', 'verschluckt'] },
    },
    ear: ['spill'],
    key: null,
    help: {
      example: '',
      does: { en: 'notes that water was spilled, and when', de: 'notiert, dass Wasser verschüttet wurde, und wann' },
    },
  },
  temperature: {
    takes: 'number',
    means: 'temperature',
    words: {
      en: { said: ['temperature'], misheard: ['temperatures', 'temp', 'temperature is', 'temperature was'] },
      de: { said: ['temperatur'], misheard: ['temperaturen', 'die temperatur', 'temperatur ist'] },
    },
    ear: ['temperature {temperature}'],
    key: 't',
    help: {
      example: '22.5',
      does: { en: 'temperature of flask or bath, now', de: 'Temperatur von Kolben oder Bad, jetzt' },
    },
  },
  pressure: {
    takes: 'number',
    means: 'pressure',
    words: {
      en: {
        said: ['pressure', 'air pressure'],
        misheard: ['pressures', 'pressure is', 'the pressure', 'air pressure is'],
      },
      de: { said: ['luftdruck', 'druck'], misheard: ['luft druck', 'der luftdruck', 'luftdruck ist'] },
    },
    ear: ['pressure {pressure}'],
    key: null,
    help: { example: '1005', does: { en: 'air pressure at the bench, hPa', de: 'Luftdruck am Platz, hPa' } },
  },
  poured: {
    takes: 'pour',
    words: {
      en: { said: ['poured'], misheard: ['port', 'pored', 'pour', 'board', 'poor'] },
      de: { said: ['eingegossen', 'zugegeben'], misheard: ['eingeflossen', 'ein gegossen', 'zu gegeben', 'gegossen'] },
    },
    ear: ['poured {volume} of {reagent}'],
    key: null,
    help: {
      example: '5',
      does: {
        en: 'what really went in (“poured 5 of peroxide”); compared with the run sheet',
        de: 'was wirklich hineinkam („eingegossen 5 von Peroxid“); wird mit dem Plan verglichen',
      },
    },
  },
  'next-step': {
    takes: 'nothing',
    means: { kind: 'step', which: 'next' },
    words: {
      en: {
        said: ['next step', 'next', 'skip', 'ready', 'done', 'rinsed'],
        misheard: ['necks', 'text', 'scape', 'next steps', 'next stop', 'text step'],
      },
      de: {
        said: ['nächster schritt', 'weiter', 'überspringen', 'bereit', 'fertig', 'gespült'],
        misheard: ['nächste schritt', 'nächsten schritt', 'leiter', 'nächster schnitt'],
      },
    },
    ear: ['next step', 'skip', 'ready', 'done', 'rinsed'],
    key: null,
    help: {
      example: '',
      does: {
        en: 'reads the next step of the run sheet aloud; leaves out what was asked for, such as the air pressure',
        de: 'liest den nächsten Schritt des Plans vor; lässt aus, wonach gefragt wurde, etwa den Luftdruck',
      },
    },
  },
  'previous-step': {
    takes: 'nothing',
    means: { kind: 'step', which: 'previous' },
    words: {
      en: { said: ['previous step', 'previous'], misheard: ['previous steps', 'previous stop'] },
      de: {
        said: ['voriger schritt', 'schritt zurück'],
        misheard: ['vorige schritt', 'vorheriger schritt', 'schnitt zurück'],
      },
    },
    ear: ['previous step'],
    key: null,
    help: { example: '', does: { en: 'reads the step before this one', de: 'liest den Schritt davor' } },
  },
  'read-step': {
    takes: 'nothing',
    means: { kind: 'step', which: 'read' },
    words: {
      en: {
        said: ['read step', 'read the step', 'what now'],
        misheard: ['red step', 'reed step', 'read steps', 'reads step', 'read stop'],
      },
      de: {
        said: ['schritt vorlesen', 'schritt lesen', 'was jetzt'],
        misheard: ['schnitt vorlesen', 'schritt verlesen', 'schritt vorlese'],
      },
    },
    ear: ['read step', 'what now'],
    key: null,
    help: { example: '', does: { en: 'reads this step', de: 'liest diesen Schritt' } },
  },
  note: {
    takes: 'text',
    words: { en: { said: ['note'], misheard: ['notes'] }, de: { said: ['notiz'], misheard: ['notizen', 'notitz'] } },
    ear: ['note {anything}'],
    key: null,
    help: { example: '', does: { en: 'keeps what follows as a note', de: 'behält, was folgt, als Notiz' } },
  },
  yes: {
    takes: 'nothing',
    means: { kind: 'reply', yes: true },
    words: {
      en: { said: ['affirm', 'affirmative', 'yes', 'yeah', 'yep'], misheard: ['a firm', 'affirmed', 'the firm'] },
      de: { said: ['positiv', 'ja', 'jawohl', 'jo'], misheard: ['positive'] },
    },
    ear: ['affirm', 'affirmative', 'yes'],
    key: null,
    help: { example: '', does: { en: 'yes to a question', de: 'ja auf eine Frage' } },
  },
  no: {
    takes: 'nothing',
    means: { kind: 'reply', yes: false },
    words: {
      en: { said: ['negative', 'no', 'nope', 'nah'], misheard: ['know'] },
      de: { said: ['negativ', 'nein', 'nee', 'ne'], misheard: ['negative'] },
    },
    ear: ['negative', 'no', 'no {volume}'],
    key: null,
    help: {
      example: '',
      does: {
        en: 'no to a question; with a number it puts the latest reading right: “no, 31”',
        de: 'nein auf eine Frage; mit einer Zahl berichtigt es die letzte Ablesung: „nein, 31“',
      },
    },
  },
} as const satisfies Readonly<Record<string, Row & Takes>>;

export type CommandName = keyof typeof spokenCommands;

/** Names, in the order of Help. */
export const commandNames = Object.keys(spokenCommands) as readonly CommandName[];

export const commandRow = (name: CommandName): Row & Takes => spokenCommands[name];

/** The words of every command in one language. */
export function commandWords(language: CommandLanguage): Readonly<Record<CommandName, CommandWords>> {
  const entries = commandNames.map((name) => [name, spokenCommands[name].words[language]]);
  return Object.fromEntries(entries) as Record<CommandName, CommandWords>;
}

/**
 * The commands for Help: what is said, with its example, and what it does.
 * @param language of what it does
 * @param calls of what is said
 */
export function helpLines(
  language: PageLanguage,
  calls: CommandLanguage = language,
): readonly {
  readonly name: CommandName;
  readonly says: readonly string[];
  readonly does: string;
  /** What is said in any language, to be searched. */
  readonly anyWords: readonly string[];
}[] {
  return commandNames.map((name) => {
    const { words, help } = spokenCommands[name];
    const says = words[calls].said.slice(0, 5).map((said) => (help.example === '' ? said : `${said} ${help.example}`));
    return { name, says, does: help.does[language], anyWords: [...words.en.said, ...words.de.said] };
  });
}
