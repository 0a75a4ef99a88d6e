import type { PageLanguage } from '../../language/page-language.ts';
import { type CommandLanguage, type CommandName, helpLines } from '../../language/spoken-commands.ts';
import { keyHelp } from '../bench/key-help.ts';
import { texts as settingsTexts } from '../preferences/texts.ts';
import { texts as voiceTexts } from '../voice/texts.ts';
import { probeTexts } from './probe-texts.ts';
import type { HelpPart, HelpRow } from './search.ts';
import { searchWords } from './search-words.ts';
import { texts } from './texts.ts';

export type PartName =
  | 'words'
  | 'more'
  | 'speaking'
  | 'answers'
  | 'keys'
  | 'privacy'
  | 'settings'
  | 'browser'
  | 'safety'
  | 'licences';

/** Shown first, after the number; of several words for one thing the named one leads. */
const mostUsed: readonly { readonly name: CommandName; readonly lead?: Readonly<Record<CommandLanguage, string>> }[] = [
  { name: 'mark' },
  { name: 'correction' },
  { name: 'disregard' },
  { name: 'read-step', lead: { en: 'what now', de: 'was jetzt' } },
  { name: 'start-run' },
  { name: 'end-run' },
];

/** All sentences of a catalogue, to be searched. */
const sentences = (all: object): string =>
  Object.values(all)
    .flatMap((value: unknown) => (typeof value === 'object' && value !== null ? sentences(value) : value))
    .filter((value) => typeof value === 'string')
    .join(' ');

/** Calls that stand inside sentences of Help, in each language. */
const examples: readonly Readonly<Record<CommandLanguage, string>>[] = [
  { en: 'poured 5 of peroxide', de: 'eingegossen 5 von Peroxid' },
  { en: 'no, 31', de: 'nein, 31' },
  { en: 'that was fifty', de: 'das war fünfzig' },
  { en: '25, no, 26', de: '25, nein, 26' },
];

/** A sentence in the page's language, with its calls in the language of the calls. */
export const withCallsIn = (sentence: string, page: PageLanguage, calls: CommandLanguage): string =>
  examples.reduce((text, example) => text.replaceAll(example[page], example[calls]), sentence);

/** Everything that Help says, by part. `calls`: the language whose words are shown. */
export function helpParts(page: PageLanguage, calls: CommandLanguage): Readonly<Record<PartName, HelpPart>> {
  const t = texts[page];
  const quoted = (says: readonly string[]): string[] => says.map(t.quoted);
  const rows = helpLines(page, calls).map(({ name, says, does, anyWords }) => ({
    name,
    row: {
      says: quoted(says),
      does: withCallsIn(does, page, calls),
      find: `${searchWords[page][name]} ${anyWords.join(' ')}`,
    },
  }));
  const leading = mostUsed.flatMap(({ name, lead }) => {
    const row = rows.find((one) => one.name === name)?.row;
    const first = lead && t.quoted(lead[calls]);
    return row ? [first ? { ...row, says: [first, ...row.says.filter((say) => say !== first)] } : row] : [];
  });
  const number: HelpRow = { says: quoted(numberSaid[calls]), does: t.numberDoes, find: t.numberFind };
  const plain = (title: string, text: string): HelpPart => ({ title, rows: [], text });
  const table = (title: string, pairs: readonly (readonly [string, string])[]): HelpPart => ({
    title,
    rows: pairs.map(([says, does]) => ({ says: [says], does: withCallsIn(does, page, calls), find: '' })),
    text: '',
  });
  return {
    words: { title: t.words, rows: [number, ...leading], text: '' },
    more: {
      title: t.more,
      rows: rows.filter(({ name }) => !mostUsed.some((used) => used.name === name)).map(({ row }) => row),
      text: '',
    },
    speaking: plain(t.speaking, t.speakingHow.join(' ')),
    answers: table(t.answers, t.cues),
    keys: table(t.keys, [...keyHelp[page].map(({ keys, does }) => [keys, does] as const), ...t.otherKeys]),
    privacy: plain(t.privacy, t.privacyHow),
    settings: plain(t.settings, `${sentences(settingsTexts[page])} ${sentences(voiceTexts[page])}`),
    browser: plain(t.browser, sentences(probeTexts[page])),
    safety: plain(t.safety, t.safetyHow),
    licences: plain(t.licences, t.licencesHow.join(' ')),
  };
}

/** Ways to say a number; the first leads. */
const numberSaid: Readonly<Record<CommandLanguage, readonly string[]>> = {
  en: ['25', 'two five', '25 and a half', '25 decimal 5', 'at 25', 'that is 25 now'],
  de: ['25', 'zwei fünf', '25 Komma 5', 'bei 25'],
};
