import { Decimal, type Meaning } from '../log/meaning.ts';
import { nth, only } from '../numerics/nth.ts';
import { lexiconOf } from './lexicon.ts';
import { shift } from './numerals/shift.ts';
import { numerals, type Parse, prune } from './numerals.ts';
import type { Reason } from './reasons.ts';
import type { Token } from './tokens.ts';
import type { Unit, Words } from './words.ts';

/** One thing a text can mean. Several for one text are rivals; weights compare them and are no probabilities. */
export type Candidate =
  | {
      readonly kind: 'reading';
      readonly values: readonly Decimal[];
      /** null: no unit was said. */
      readonly unit: Unit | null;
      readonly weight: number;
      /** true: not to be taken without a second sign that it is right. */
      readonly ask: boolean;
      readonly reasons: readonly Reason[];
    }
  | {
      readonly kind: 'command';
      readonly meaning: Meaning;
      readonly weight: number;
      readonly ask: boolean;
      readonly reasons: readonly Reason[];
    }
  /** Broken off: "25 point", "correction", "start run". */
  | {
      readonly kind: 'incomplete';
      readonly wants: 'decimals' | 'number' | 'run';
      readonly said: Decimal | null;
      readonly weight: number;
    }
  /** Said and taken back in one breath: "25 disregard". */
  | { readonly kind: 'withdrawn'; readonly weight: number };

/** Values of tokens that must be one number and nothing else: what stands after a command word. */
export function oneNumber(
  tokens: readonly Token[],
  words: Words,
): { value: Decimal; weight: number; ask: boolean; unit: Unit | null; reasons: readonly Reason[] }[] {
  return readings(tokens, words).flatMap((candidate) =>
    candidate.kind === 'reading' && candidate.values.length === 1
      ? [
          {
            value: nth(candidate.values, 0),
            weight: candidate.weight,
            ask: candidate.ask,
            unit: candidate.unit,
            reasons: candidate.reasons,
          },
        ]
      : [],
  );
}

type ReadingCandidate = Extract<Candidate, { kind: 'reading' }>;

/** Numbers that all the tokens together can be. */
export function readings(all: readonly Token[], words: Words): Candidate[] {
  const inner = strip(all, words);
  if (inner.tokens.length === 0) return [];
  const direct = inNumbers(inner.tokens, words);
  let found = direct;
  if (direct.every(({ ask }) => ask)) found = prune([...direct, ...byHomophones(inner.tokens, words)]);
  if (found.length === 0) return incomplete(inner.tokens, words);
  const asked = inner.reasons.length > 0;
  const out = found.map(
    ({ values, weight, ask, reasons }): ReadingCandidate => ({
      kind: 'reading',
      values,
      unit: inner.unit,
      weight,
      ask: ask || asked,
      reasons: [...reasons, ...inner.reasons],
    }),
  );
  return out;
}

/** Numbers without the words around them: fillers, units, qualifiers, spoken full stops. */
function strip(all: readonly Token[], words: Words): { tokens: Token[]; unit: Unit | null; reasons: Reason[] } {
  let tokens = [...all];
  let unit: Unit | null = null;
  const reasons: Reason[] = [];
  const starts = (phrase: string) => phrase.split(' ').every((part, k) => tokens[k]?.text === part);
  const ends = (phrase: string) => {
    const parts = phrase.split(' ');
    return (
      parts.length < tokens.length && parts.every((part, k) => tokens[tokens.length - parts.length + k]?.text === part)
    );
  };
  const length = (phrase: string) => phrase.split(' ').length;
  const atStart = (phrases: readonly string[]) => phrases.filter(starts).sort((a, b) => length(b) - length(a))[0];
  const atEnd = (phrases: readonly string[]) => phrases.filter(ends).sort((a, b) => length(b) - length(a))[0];

  if (atEnd(words.clock.after) !== undefined || atStart(words.clock.before) !== undefined)
    return { tokens: [], unit, reasons };
  const stop = atEnd(words.spokenStops);
  if (stop) tokens = tokens.slice(0, -length(stop));
  for (let filler = atStart(words.fillers); filler && tokens.length > 1; filler = atStart(words.fillers)) {
    if (tokens[length(filler)] === undefined) break;
    tokens = tokens.slice(length(filler));
  }
  const qualifier = atStart(words.qualifiers);
  if (qualifier && tokens.length > length(qualifier)) {
    tokens = tokens.slice(length(qualifier));
    reasons.push('qualifier');
  }
  if (tokens[0] && /^[$€£]$/.test(tokens[0].text) && tokens.length > 1) {
    tokens = tokens.slice(1);
    reasons.push('money');
  }
  let unitWords = '';
  for (const { unit: name, words: all, unsure, before } of words.units) {
    const phrase = before ? atStart(all) : atEnd(all);
    if (!phrase || tokens.length <= length(phrase)) continue;
    if (unitWords && length(phrase) <= length(unitWords)) continue;
    unitWords = phrase;
    unit = name;
    if (unsure) reasons.push('unit');
    tokens = before ? tokens.slice(length(phrase)) : tokens.slice(0, -length(phrase));
  }
  return { tokens, unit, reasons };
}

function inNumbers(tokens: readonly Token[], words: Words): Parse[] {
  const plain = valid(numerals(tokens, words));
  if (plain.length > 0) return plain;
  return [
    ...power(tokens, words),
    ...subtraction(tokens, words),
    ...labelled(tokens, words),
    ...repaired(tokens, words),
  ];
}

/** "25, no, 26": the second at the moment of the first; "25 26 no 27": the last of them is mended. */
function repaired(tokens: readonly Token[], words: Words): Parse[] {
  const texts = tokens.map((token) => token.text);
  for (const phrase of words.repair) {
    const parts = phrase.split(' ');
    for (let at = 1; at + parts.length < tokens.length; at++) {
      if (!parts.every((part, k) => texts[at + k] === part)) continue;
      let before = at;
      let after = at + parts.length;
      while (before > 0 && /^[,.;]$/.test(texts[before - 1] ?? '')) before--;
      while (/^[,.;]$/.test(texts[after] ?? '')) after++;
      const first = valid(numerals(tokens.slice(0, before), words))[0];
      const second = valid(numerals(tokens.slice(after), words));
      if (!first || second.length === 0) continue;
      return second
        .filter(({ values }) => values.length === 1)
        .map(
          (parse): Parse => ({
            ...parse,
            values: [...first.values.slice(0, -1), ...parse.values],
            ask: parse.ask || first.ask,
            reasons: [...parse.reasons, 'repair'],
          }),
        );
    }
  }
  return [];
}

/** "number 25", "row 525": the number, or what follows a first number that is the label. */
function labelled(tokens: readonly Token[], words: Words): Parse[] {
  const [first] = tokens;
  if (!first || !words.labels.includes(first.text)) return [];
  const rest = tokens.slice(/^[.:]$/.test(tokens[1]?.text ?? '') ? 2 : 1);
  const out: Parse[] = [];
  for (const { values, weight, reasons } of valid(numerals(rest, words))) {
    // "no 31" corrects far more often than it names a label.
    const share = words.repair.includes(first.text) ? 0.1 : 1;
    if (values.length === 1) out.push({ values, weight: share * weight, ask: true, reasons: [...reasons, 'label'] });
    if (values.length === 2)
      out.push({ values: [nth(values, 1)], weight: 2 * weight, ask: true, reasons: [...reasons, 'after-label'] });
  }
  return prune(out);
}

/** "1.2 e-5", "1.2 times ten to the minus five". */
function power(tokens: readonly Token[], words: Words): Parse[] {
  const texts = tokens.map((token) => token.text);
  for (const phrase of words.numbers.powers) {
    const parts = phrase.split(' ');
    for (let at = 1; at + parts.length < tokens.length; at++) {
      if (!parts.every((part, k) => texts[at + k] === part)) continue;
      const [mantissa] = valid(numerals(tokens.slice(0, at), words));
      const [exponent] = valid(numerals(tokens.slice(at + parts.length), words));
      const places = Number(exponent?.values[0]);
      if (
        mantissa?.values.length !== 1 ||
        exponent?.values.length !== 1 ||
        !Number.isInteger(places) ||
        Math.abs(places) > 9
      )
        continue;
      return valid([{ values: [shift(nth(mantissa.values, 0), places)], weight: 1, ask: true, reasons: ['power'] }]);
    }
  }
  return [];
}

/** "20 - 5": two readings, a negative one, a difference, or a power of ten that lost its "e". */
function subtraction(tokens: readonly Token[], words: Words): Parse[] {
  const at = tokens.findIndex((token, k) => k > 0 && token.kind === 'sign' && token.text === '-');
  if (at < 1) return [];
  const [a] = valid(numerals(tokens.slice(0, at), words));
  const [b] = valid(numerals(tokens.slice(at + 1), words));
  if (a?.values.length !== 1 || b?.values.length !== 1) return [];
  const [left = '', right = ''] = [a.values[0], b.values[0]];
  const out: Parse[] = [
    { values: [left, right], weight: 0.4, ask: true, reasons: ['range'] },
    { values: [left, `-${right}`], weight: 0.3, ask: true, reasons: ['range'] },
  ];
  const difference = Number(left) - Number(right);
  if (difference > 0)
    out.push({ values: [String(Number(difference.toFixed(3)))], weight: 0.1, ask: true, reasons: ['sum'] });
  if (left.includes('.') && /^\d$/.test(right))
    out.push({ values: [shift(left, -Number(right))], weight: 0.3, ask: true, reasons: ['power'] });
  return valid(out);
}

/** Words that sound like numbers count when all of the utterance becomes numeric by them. */
function byHomophones(tokens: readonly Token[], words: Words): Parse[] {
  const { homophones } = lexiconOf(words);
  let weak = false;
  let changed = 0;
  const replaced = tokens.map((token): Token => {
    if (token.kind !== 'word') return token;
    const sound = homophones.get(token.text);
    if (!sound) return token;
    changed++;
    if (!sound.sure) weak = true;
    return { text: sound.digits, kind: 'digits', gap: token.gap };
  });
  if (changed === 0) return [];
  return inNumbers(replaced, words).map((parse) => ({
    ...parse,
    weight: parse.weight * (weak ? 0.5 : 0.9),
    ask: parse.ask || weak,
    reasons: [...parse.reasons, 'homophone'],
  }));
}

/** "25 point": a number with its decimals still to come. */
function incomplete(tokens: readonly Token[], words: Words): Candidate[] {
  const last = tokens.at(-1);
  if (tokens.length < 2 || !last || !words.numbers.point.includes(last.text)) return [];
  const [whole] = valid(numerals(tokens.slice(0, -1), words));
  const said = only(whole?.values ?? []);
  return said === undefined || said.includes('.') ? [] : [{ kind: 'incomplete', wants: 'decimals', said, weight: 1 }];
}

/** Numbers too large or too fine for a notebook are no readings. */
function valid(parses: readonly Parse[]): Parse[] {
  return parses.filter(({ values }) => values.every((value) => Decimal.safeParse(value).success));
}
