import type { Meaning } from '../log/meaning.ts';
import { nth } from '../numerics/nth.ts';
import { type Candidate, oneNumber, readings } from './numbers.ts';
import type { Reason } from './reasons.ts';
import { type CommandName, commandNames, commandRow, type NumberCommand } from './spoken-commands.ts';
import type { Token } from './tokens.ts';
import type { Words } from './words.ts';

const bareKeys = new Set(
  commandNames.flatMap((name) => {
    const row = commandRow(name);
    return row.takes === 'nothing' ? [JSON.stringify(row.means)] : [];
  }),
);
/** How many different things a word alone can mean. */
export const bareCommands = bareKeys.size;
/** A command that is a word alone: it can sound like a number. */
export const isBare = (meaning: Meaning): boolean => bareKeys.has(JSON.stringify(meaning));

/** What a number said after the words is; "no 25" corrects. */
function numberCommand(name: CommandName): NumberCommand | null {
  const row = commandRow(name);
  if (row.takes === 'number') return row.means;
  return name === 'no' ? 'correction' : null;
}

type Entry = { name: CommandName; parts: readonly string[]; misheard: boolean };
const entriesOf = new WeakMap<Words, readonly Entry[]>();

/** Phrases of all commands, longest first. */
function entries(words: Words): readonly Entry[] {
  const known = entriesOf.get(words);
  if (known) return known;
  const all = commandNames.flatMap((name) => {
    const { said, misheard } = words.commands[name];
    return [
      ...said.map((phrase) => ({ name, parts: phrase.split(' '), misheard: false })),
      ...misheard.map((phrase) => ({ name, parts: phrase.split(' '), misheard: true })),
    ];
  });
  all.sort((a, b) => b.parts.length - a.parts.length);
  entriesOf.set(words, all);
  return all;
}

/** What engines write instead of a command counts for so much of it (reasoned). */
const misheardWeight = 0.8;

/**
 * One word that is another word ("leek", "spell", "shop"), not a form of the command's own ("leaks", "notes", "goahead").
 * Two words in a row ("and run", "this regard") are nothing that anybody would say.
 */
function onlySoundsAlike(parts: readonly string[], said: readonly string[]): boolean {
  const [word = ''] = parts;
  const own = said.map((phrase) => phrase.replaceAll(' ', ''));
  return parts.length === 1 && !own.some((one) => word.startsWith(one) || one.startsWith(word));
}

/** Commands that the whole of an utterance can be. */
export function commandCandidates(text: string, all: readonly Token[], words: Words): Candidate[] {
  const tokens = withoutFillers(all, words);
  const out: Candidate[] = [];
  const seen = new Set<CommandName>();
  for (const { name, parts, misheard } of entries(words)) {
    if (seen.has(name) || !parts.every((part, k) => tokens[k]?.text === part)) continue;
    const rest = withoutCommas(tokens.slice(parts.length));
    const reasons: Reason[] = misheard ? ['misheard-command'] : [];
    if (misheard && rest.length === 0 && onlySoundsAlike(parts, words.commands[name].said))
      reasons.push('sounds-alike');
    const weight = misheard ? misheardWeight : 1;
    // "no 25" corrects, "negative 5" is a number.
    if (name === 'no' && rest.length > 0 && !words.repair.includes(parts.join(' '))) continue;
    const found = complete(name, rest, text, words, weight, reasons);
    if (found.length > 0) seen.add(name);
    out.push(...found);
  }
  const last = withdrawal(tokens, words);
  if (out.length === 0 && last) out.push(last);
  return out;
}

function complete(
  name: CommandName,
  rest: readonly Token[],
  text: string,
  words: Words,
  weight: number,
  reasons: readonly Reason[],
): Candidate[] {
  const row = commandRow(name);
  if (row.takes === 'nothing' && rest.length === 0)
    return [{ kind: 'command', meaning: row.means, weight, ask: false, reasons }];
  const kind = numberCommand(name);
  if (kind) {
    if (rest.length === 0)
      return kind === 'settle' || name === 'no' ? [] : [{ kind: 'incomplete', wants: 'number', said: null, weight }];
    return oneNumber(rest, words).map((found) => ({
      kind: 'command',
      meaning: { kind, value: found.value },
      weight: weight * found.weight,
      ask: found.ask,
      reasons: [...reasons, ...found.reasons],
    }));
  }
  if (row.takes === 'run') {
    if (rest.length === 0) return [{ kind: 'incomplete', wants: 'run', said: null, weight }];
    return oneNumber(rest, words).map((found) => ({
      kind: 'command',
      meaning: { kind: 'start-run', run: found.value },
      weight: weight * found.weight,
      ask: found.ask && !found.reasons.includes('homophone'),
      reasons: [...reasons, ...found.reasons],
    }));
  }
  if (row.takes === 'text' && rest.length > 0) {
    // As heard, with its own capitals: what follows the first word of the text.
    const said = text
      .trim()
      .replace(/^\S+[\s,:;.]*/u, '')
      .slice(0, 2000);
    return said ? [{ kind: 'command', meaning: { kind: 'note', text: said }, weight, ask: false, reasons }] : [];
  }
  if (row.takes === 'pour') return poured(rest, words, weight, reasons);
  return [];
}

/** "poured ten of potassium iodide", "poured 10 ml hydrogen peroxide". */
function poured(rest: readonly Token[], words: Words, weight: number, reasons: readonly Reason[]): Candidate[] {
  if (rest.length === 0) return [{ kind: 'incomplete', wants: 'number', said: null, weight }];
  const at = rest.findIndex((token) => words.of.includes(token.text));
  const ends = at > 0 ? [at] : Array.from({ length: Math.min(rest.length, 8) }, (_, k) => Math.min(rest.length, 8) - k);
  for (const end of ends) {
    const amounts = oneNumber(rest.slice(0, end), words);
    if (amounts.length === 0) continue;
    const reagent = rest
      .slice(at > 0 ? at + 1 : end)
      .map((token, k) => (token.gap && k > 0 ? ` ${token.text}` : token.text))
      .join('')
      .slice(0, 80);
    return amounts.map((amount) => ({
      kind: 'command',
      meaning: { kind: 'poured', value: amount.value, reagent },
      weight: weight * amount.weight,
      ask: amount.ask || (amount.unit !== null && amount.unit !== 'mL'),
      reasons: [...reasons, ...amount.reasons],
    }));
  }
  return [];
}

/** "25 disregard": said and taken back in one breath; of "25 27 disregard", 25 stays. */
function withdrawal(tokens: readonly Token[], words: Words): Candidate | null {
  for (const { name, parts, misheard } of entries(words)) {
    if (name !== 'disregard' || misheard || tokens.length <= parts.length) continue;
    const start = tokens.length - parts.length;
    if (!parts.every((part, k) => tokens[start + k]?.text === part)) continue;
    const comma = /^[,.;]$/.test(tokens[start - 1]?.text ?? '');
    const before = tokens.slice(0, comma ? start - 1 : start);
    const [said] = readings(before, words);
    if (said?.kind === 'reading' && said.values.length > 1)
      return { ...said, values: said.values.slice(0, -1), weight: 1 };
    if (oneNumber(before, words).length > 0) return { kind: 'withdrawn', weight: 1 };
  }
  return null;
}

function withoutFillers(tokens: readonly Token[], words: Words): readonly Token[] {
  let start = 0;
  while (start < tokens.length - 1 && words.fillers.includes(nth(tokens, start).text)) {
    // "and run" is a misheard "end run", not a filler and a run.
    if (
      entries(words).some(({ parts }) => parts.length > 1 && parts.every((part, k) => tokens[start + k]?.text === part))
    )
      break;
    start++;
  }
  return tokens.slice(start);
}

function withoutCommas(tokens: readonly Token[]): readonly Token[] {
  const start = tokens.findIndex(({ kind, text }) => kind !== 'sign' || !/^[,.:;]$/.test(text));
  return start < 0 ? [] : tokens.slice(start);
}
