import type { Outcome } from '../log/event.ts';
import type { Decimal, Meaning } from '../log/meaning.ts';
import { nth, only } from '../numerics/nth.ts';
import { besides, clearKey, type Objection, objection } from './clear.ts';
import { bareCommands, isBare } from './commands.ts';
import { confusability, floorShare, partners } from './confusability.ts';
import { type Frame, firstValue, nextValue, type Prediction } from './course.ts';
import type { Candidate } from './numbers.ts';
import { type Reason, reasons } from './reasons.ts';
import { sentence } from './spoken.ts';
import { takenAlone } from './taken-alone.ts';
import { keyOf, type Understood, type Witness } from './understand.ts';
import type { Words } from './words.ts';

/** An earlier call of the run, by time. */
export interface Earlier {
  readonly timeS: number;
  /** null: a call that was not understood; its mark was passed all the same. */
  readonly value: Decimal | null;
  /** A person confirmed or gave the value. */
  readonly settled: boolean;
  /** Belief in `value`, 0..1. Absent: 0.97, doubtful ones 0.7. */
  readonly p?: number;
  readonly doubtful?: boolean;
  /** Every ear heard `value` clearly. */
  readonly clear?: boolean;
  readonly rivals?: readonly { readonly value: Decimal; readonly p: number }[];
}

export interface Context {
  readonly frame: Frame;
  /** Calls of the run so far, by time; struck ones left out. Empty before the first. */
  readonly earlier: readonly Earlier[];
  /** Robust prediction of the cylinder's volume at the utterance's onset, from the readings before; null before three. */
  readonly prediction: Prediction | null;
  readonly runOpen: boolean;
  /** "stand by" was said. */
  readonly paused: boolean;
  /** A question about a value that was asked just now ("fifteen or fifty?"). */
  readonly question: { readonly choices: readonly Decimal[] } | null;
  /** Label that "start run" without a number gets. */
  readonly nextRun?: string;
  /** Separate sounds in the utterance, where the onset finder could tell: two speak for two readings in one breath. */
  readonly sounds?: number;
  /** A leak, spill or surge was called since the last reading: values far off are expected. */
  readonly disturbed?: boolean;
  /** Set where it was softer than the caller's calls: what was heard was made to count for less by this factor. */
  readonly nearness?: number;
}

export interface Rival {
  readonly meaning: Meaning;
  readonly p: number;
  readonly why: string;
}

export interface Judgement {
  readonly outcome: Outcome;
  readonly meaning: Meaning | null;
  /** Likeliest first. */
  readonly rivals: readonly Rival[];
  /** Belief in `meaning`, 0..1. */
  readonly p: number;
  /** A plain sentence. */
  readonly reason: string;
  /** What to ask, where the person wants to be asked. */
  readonly ask?: { readonly question: string; readonly choices: readonly Decimal[] };
  /** Set where a number is in doubt because another one fits the run better. */
  readonly doubt?: Doubt;
  /** Most likely talk of others: kept with its sound, without an answer. */
  readonly aside?: boolean;
}

/** "Heard 50; 15 fits. Which?" */
export interface Doubt {
  readonly heard: Decimal;
  readonly fits: Decimal;
}

/** Belief from which a value is taken without a mark of doubt. */
export const takenFrom = 0.96;
/** Below this even the best guess is no value. */
const guessFrom = 0.35;
/** Share of an ear's belief from which it plainly heard something: more than in all else together. */
export const plainFrom = 0.5;
/** A soft voice said a number that is due, or the first of a run, when the ear believes in it so much (reasoned). */
const dueFrom = 0.1;
/**
 * A procedure word is plain when it was heard so many times surer than the likeliest reading. Below that the reading
 * that is due stands, in doubt: measured on a held-out voice, "thirty" in noise passes for "swirling" with up to five
 * times its share.
 */
const plainOver = 6;
/** Rivals below this are not kept. */
const rivalFrom = 0.002;

/** One thing that may have been said, with its weight before normalising. */
interface Belief {
  readonly key: string;
  readonly candidate: Candidate | null;
  readonly values: readonly Decimal[];
  weight: number;
  /** How much of the ears' belief is in it. */
  readonly heard: number;
  readonly why: string;
}

/** How likely kinds of calls are in a run, and outside one (reasoned). */
const kinds = {
  reading: 0.8,
  command: 0.1,
  talk: 0.1,
  softTalk: 0.3,
  list: 0.012,
  listBySound: 0.3,
};

/**
 * Weighs what was heard against what is expected. The prior is a mixture (next marks, the clock, any graduation) and so
 * can lose: a clearly heard value off the trend stays.
 * Cost: below a millisecond.
 */
export function judge(understood: Understood, context: Context, words: Words): Judgement {
  const judgement = judged(understood, context, words);
  if (!isAside(judgement, understood, context)) return judgement;
  return {
    ...judgement,
    outcome: 'not-a-reading',
    meaning: null,
    aside: true,
    reason: `“${understood.text}” was softer than the calls before`,
  };
}

/** Talk of others, and nothing in it that could be a reading or a command: it is not answered. */
function isAside({ outcome, meaning }: Judgement, understood: Understood, context: Context): boolean {
  if (!isLikelyOthers(understood, context)) return false;
  const key = meaning?.kind === 'reading' ? meaning.values.map(({ value }) => value).join(' ') : null;
  // A value that was due and that no ear heard.
  const isGuess = outcome === 'doubtful' && key !== null && support(understood, key) === 0;
  return outcome === 'unresolved' || outcome === 'not-a-reading' || isGuess;
}

/** Softer than the caller, and nothing in it that the caller may have meant. */
const isLikelyOthers = (understood: Understood, context: Context): boolean =>
  context.nearness !== undefined && !isPlainlyMeant(understood, context);

function judged(understood: Understood, context: Context, words: Words): Judgement {
  const trouble = unfinished(understood, context);
  if (trouble) return trouble;
  const beliefs = weigh(understood, context, words);
  const total = beliefs.reduce((sum, { weight }) => sum + weight, 0);
  const shares = beliefs
    .map((belief) => ({ ...belief, p: total > 0 ? belief.weight / total : 0 }))
    .sort((a, b) => b.p - a.p);
  const [best] = shares;
  if (!best || understood.candidates.length === 0) return unresolvedOrTalk(understood, context, shares);
  const plain = plainCommand(shares, understood);
  if (plain) return commanded(plain, shares);
  const clear = clearlySaid(shares, understood, context);
  if (clear) return asReading(clear, shares, understood, context, words);
  const talked = Math.max(...understood.witnesses.map((witness) => witness.talk));
  if (
    best.candidate === null &&
    best.values.length === 0 &&
    (talked === 0 || (context.runOpen && !context.paused && talked < 0.5))
  )
    return {
      outcome: 'unresolved',
      meaning: null,
      rivals: rivalsOf(shares, best.key),
      p: 0,
      reason: `“${understood.text}” does not fit`,
    };
  if (best.candidate === null && best.values.length === 0)
    return {
      outcome: 'not-a-reading',
      meaning: null,
      rivals: rivalsOf(shares, best.key),
      p: best.p,
      reason: `“${understood.text}” is no reading`,
    };
  if (best.candidate?.kind === 'command')
    return asCommand(best, shares, contradicted(best, understood) || answersFromTalk(best, understood));
  return asReading(best, shares, understood, context, words);
}

type Share = Belief & { readonly p: number };

/**
 * Ears that plainly heard different kinds of things: a command and a number, or two commands. A number is doubted
 * already where an ear held commands for likelier.
 */
function contradicted(best: Share, understood: Understood): boolean {
  // An answer to a question is said as a number.
  const key = best.key.replace(/^answer /, '');
  const isCommand = best.candidate?.kind === 'command' && key === best.key;
  return understood.witnesses.some(({ heard }) => {
    const other = heard.reduce(
      (sum, { candidate, mass }) =>
        sum + (candidate.kind === 'command' ? (keyOf(candidate) !== key ? mass : 0) : isCommand ? mass : 0),
      0,
    );
    const same = heard.reduce((sum, { candidate, mass }) => sum + (keyOf(candidate) === key ? mass : 0), 0);
    return other > same && (other >= plainFrom || !isCommand);
  });
}

/** A question is not settled by a number in what every ear rather holds for other speech. */
const answersFromTalk = ({ candidate }: Share, { witnesses }: Understood): boolean =>
  candidate?.kind === 'command' && candidate.meaning.kind === 'settle' && witnesses.every(({ other }) => other > 0.5);

/**
 * The bare command that was plainly heard, in its own words ("spell" for "spill" is not plain), with no ear against it
 * and no reading near it: as a value, it is never talked away by what was due.
 */
function plainCommand(shares: readonly Share[], understood: Understood): Share | null {
  const said = shares.find(
    ({ candidate, heard }) =>
      candidate?.kind === 'command' &&
      heard >= plainFrom &&
      isBare(candidate.meaning) &&
      !candidate.reasons.includes('misheard-command'),
  );
  const reading = shares.find(({ values }) => values.length === 1);
  if (!said || said.heard < plainOver * (reading?.heard ?? 0)) return null;
  return contradicted(said, understood) ? null : said;
}

function commanded(best: Share, shares: readonly Share[]): Judgement {
  if (best.candidate?.kind !== 'command') throw new Error('not a command');
  const rivals = rivalsOf(shares, best.key);
  return { outcome: 'command', meaning: best.candidate.meaning, rivals, p: best.p, reason: 'a procedure word' };
}

function asCommand(best: Share, shares: readonly Share[], unsure: boolean): Judgement {
  if (best.candidate?.kind !== 'command') throw new Error('not a command');
  const rivals = rivalsOf(shares, best.key);
  const { meaning, ask, reasons: why } = best.candidate;
  // Nothing is carried out on a word that only sounds like a command: said once more, it is heard rightly or not at all.
  if (why.includes('sounds-alike'))
    return {
      outcome: 'unresolved',
      meaning: null,
      rivals: [{ meaning, p: best.p, why: reasons['sounds-alike'] }, ...rivals],
      p: best.p,
      reason: reasons['sounds-alike'],
    };
  if (best.p < 0.6 || (ask && best.p < 0.8) || unsure)
    return {
      outcome: 'unresolved',
      meaning: null,
      rivals: [{ meaning, p: best.p, why: 'a command, but not clearly' }, ...rivals],
      p: best.p,
      reason: 'a command was not clear enough to act on',
    };
  return commanded(best, shares);
}

/** Marks ahead of the last value up to which a clear number is a call, however it was misheard before (reasoned). */
const nearSteps = 3;
/** Mishearings that are this likely explain a far value better than the person does. */
const listedShare = 0.05;

/**
 * The value that an ear plainly heard, where the best guess is one that no ear heard: it must be able to win. It has to
 * be possible (readings never fall), and near the last one or like nothing that was due.
 */
function plainlySaid(best: Share, shares: readonly Share[], context: Context, words: Words): Share | null {
  if (best.heard > 0) return null;
  const said = shares.find(({ values, heard }) => values.length === 1 && heard >= plainFrom);
  const value = Number(said?.values[0] ?? Number.NaN);
  const last = Number(context.earlier.findLast((call) => call.value !== null)?.value ?? Number.NaN);
  if (!said || best.values.length !== 1 || !(value > last) || value > context.frame.capacityMl) return null;
  const near = value <= last + nearSteps * (context.frame.stepMl ?? context.frame.divisionMl) + 1e-9;
  return near || confusability(nth(best.values, 0), nth(said.values, 0), words).share < listedShare ? said : null;
}

/**
 * The one number that every ear heard clearly, and that physics allows: taken, on a mark or not. Ears that found rivals
 * themselves leave the choice to the weighing.
 */
function clearlySaid(shares: readonly Share[], understood: Understood, context: Context): Share | null {
  const key = clearKey(understood) ?? clearKey(understood, (ml) => !isRuledOut(ml, context));
  const said = shares.find((share) => share.key === key && share.values.length === 1);
  // It may answer the question that was just asked.
  if (context.question?.choices.some((choice) => choice === key)) return null;
  if (said) return objectionTo(said, context) === null ? said : null;
  return severalSaid(shares, context);
}

/** Nobody called it: the glass does not show it, or the water stood higher by the last reading, which was clear. */
function isRuledOut(ml: number, { earlier, frame }: Context): boolean {
  const last = earlier.findLast(({ value, doubtful, settled }) => value !== null && (!doubtful || settled));
  const against = objection(ml, last && (last.clear || last.settled) ? [last] : [], frame, null, true);
  return against !== null && against !== 'off the curve';
}

/**
 * Several numbers in one breath ("35 36"), where all else that the text may be ("3536", "35.36") is nothing that the
 * cylinder can show: taken when each follows from the one before.
 */
function severalSaid(shares: readonly Share[], context: Context): Share | null {
  const shown = (value: Decimal): boolean => {
    const against = objection(Number(value), [], context.frame, null, false);
    return against === null;
  };
  const heard = shares.filter((share) => share.heard > 0 && share.values.every(shown));
  const [best, ...others] = heard.sort((a, b) => b.heard - a.heard);
  if (!best || best.values.length < 2 || best.candidate?.kind !== 'reading' || best.candidate.ask) return null;
  if (others.some((other) => other.heard > besides * best.heard)) return null;
  const { earlier, frame, prediction, disturbed } = context;
  const levels = best.values.map((value) => ({ value, settled: false, clear: true }));
  const follow = best.values.every(
    (value, k) =>
      objection(Number(value), [...earlier, ...levels.slice(0, k)], frame, prediction, disturbed ?? false) === null,
  );
  return follow ? best : null;
}

const objectionTo = (said: Share, { earlier, frame, prediction, disturbed }: Context): Objection | null =>
  objection(Number(said.values[0]), earlier, frame, prediction, disturbed ?? false);

function asReading(
  likeliest: Share,
  shares: readonly Share[],
  understood: Understood,
  context: Context,
  words: Words,
): Judgement {
  const clear = clearlySaid(shares, understood, context);
  const said = clear ? null : plainlySaid(likeliest, shares, context, words);
  const best = clear ?? said ?? likeliest;
  const meaning: Meaning = { kind: 'reading', values: best.values.map((value) => ({ value })) };
  const rivals = rivalsOf(shares, best.key);
  if (context.paused)
    return {
      outcome: 'not-a-reading',
      meaning: null,
      rivals: [{ meaning, p: best.p, why: 'heard while standing by' }, ...rivals],
      p: best.p,
      reason: 'standing by: readings are not taken until “go ahead”',
    };
  if (best.p < guessFrom && !said && !clear)
    return {
      outcome: 'unresolved',
      meaning: null,
      rivals: [{ meaning, p: best.p, why: best.why }, ...rivals],
      p: best.p,
      reason: 'no value is likely enough',
    };
  // A value that no ear wrote, and that sounds like nothing an ear wrote, is only what was due: proposed, not taken.
  if (best.heard === 0 && best.why === 'due')
    return {
      outcome: 'unresolved',
      meaning: null,
      rivals: [{ meaning, p: best.p, why: 'due at that moment' }, ...rivals],
      p: best.p,
      reason: `what was heard (“${understood.text}”) does not fit`,
    };
  // Formats that engines invent (times of day, dates, money) need a second sign: an ear that heard it plainly.
  const asked = best.candidate?.kind === 'reading' && best.candidate.ask;
  const unheard = best.heard === 0;
  const foreign = best.candidate?.kind === 'reading' && best.candidate.unit !== null && best.candidate.unit !== 'mL';
  const first = context.earlier.length === 0 && context.frame.startMl === null;
  const taken =
    !said &&
    !contradicted(best, understood) &&
    !understood.witnesses.every(({ other }) => other > 0.5) &&
    // The first call has nothing to be held against; it is judged again with the second.
    (clear !== null || (best.p >= (first ? takenAlone : takenFrom) && !outdone(best, shares, context))) &&
    !asked &&
    !unheard &&
    !foreign;
  const shown = best.values.join(', ');
  const second = shares.find((share) => share.key !== best.key && share.values.length > 0);
  const reason = reasonFor(best, taken, shown, second, foreign, context);
  if (taken) return { outcome: 'taken', meaning, rivals, p: best.p, reason };
  const judgement: Judgement = { outcome: 'doubtful', meaning, rivals, p: best.p, reason };
  const doubt = doubtOf(best, shares);
  return { ...judgement, ...rivalQuestion(meaning, rivals, words), ...(doubt ? { doubt } : {}) };
}

/** A number counts as heard beside another one from so many times its share (reasoned). */
const heardOver = 3;

/** What was heard and what fits instead, where these are two numbers and only one of them was really heard. */
function doubtOf(best: Share, shares: readonly Share[]): Doubt | null {
  const singles = shares.filter(({ values }) => values.length === 1);
  const heardMost = singles.reduce<Share | null>((top, one) => (top && top.heard >= one.heard ? top : one), null);
  const fits = best === heardMost ? singles.find((one) => one !== best) : best;
  const [heard, fitting] = [heardMost?.values[0], fits?.values[0]];
  if (!heardMost || !fits || heard === undefined || fitting === undefined || best.values.length !== 1) return null;
  return heardMost.heard > heardOver * fits.heard ? { heard, fits: fitting } : null;
}

/** Marks break ties between numbers that an ear found close: within so many times (reasoned). */
const closeWithin = 20;

/** An ear held another number for far likelier, and physics allows it: what was due does not talk it away. */
const outdone = (best: Share, shares: readonly Share[], context: Context): boolean =>
  best.values.length === 1 &&
  shares.some(
    (share) =>
      share.values.length === 1 && share.heard > closeWithin * best.heard && objectionTo(share, context) === null,
  );

/** "fifteen or fifty?", digits said apart: for a single value with a single rival value. */
export function rivalQuestion(meaning: Meaning, rivals: readonly Rival[], words: Words): Pick<Judgement, 'ask'> {
  const other = rivals.find((rival) => rival.meaning.kind === 'reading')?.meaning;
  if (meaning.kind !== 'reading' || other?.kind !== 'reading') return {};
  const [own, rival] = [only(meaning.values), only(other.values)];
  if (!own || !rival) return {};
  const choices = [own.value, rival.value] as const;
  return { ask: { question: sentence({ kind: 'choice', choices }, words), choices } };
}

function reasonFor(
  best: Share,
  taken: boolean,
  shown: string,
  second: Share | undefined,
  foreign: boolean,
  context: Context,
): string {
  const last = context.earlier.at(-1)?.value;
  const due = last == null ? null : dueAfter(Number(last), context.frame);
  const value = Number(best.values[0]);
  const offTrend = due !== null && Math.abs(value - due) > 1e-6;
  if (foreign) return `heard as ${shown}, but not in millilitres`;
  if (taken && offTrend && best.values.length === 1) return `heard clearly as ${shown}, where ${due} was due`;
  if (taken) return due !== null ? `heard as ${shown}, the mark that was due` : `heard as ${shown}`;
  if (best.heard === 0) return `${shown} was due; what was heard is likely a mishearing: ${best.why}`;
  const marks = best.candidate?.kind === 'reading' ? best.candidate.reasons.map((code) => reasons[code]) : [];
  if (second && second.p > 0.005)
    return `${shown} or ${second.values.join(', ')}: ${second.why || marks[0] || 'both were heard'}`;
  return marks.length > 0
    ? `taken as ${shown}: ${marks.join('; ')}`
    : `heard as ${shown}, but ${offTrend ? `${due} was due` : 'not surely'}`;
}

/** The first mark above a reading; null where readings are called at any moment. */
function dueAfter(lastMl: number, { stepMl, anchorMl = lastMl }: Frame): number | null {
  if (stepMl === null) return null;
  return Number((anchorMl + stepMl * (Math.floor((lastMl - anchorMl) / stepMl + 1e-6) + 1)).toPrecision(9));
}

function rivalsOf(shares: readonly Share[], taken: string): Rival[] {
  return shares
    .filter((share) => share.key !== taken && share.p >= rivalFrom)
    .slice(0, 8)
    .flatMap(({ candidate, values, p, why }): Rival[] => {
      if (values.length > 0)
        return [{ meaning: { kind: 'reading', values: values.map((value) => ({ value })) }, p, why }];
      return candidate?.kind === 'command' ? [{ meaning: candidate.meaning, p, why }] : [];
    });
}

/** Nothing at all was understood: talk, or a call that keeps its time and its proposals. */
function unresolvedOrTalk(understood: Understood, context: Context, shares: readonly Share[]): Judgement {
  const longest = Math.max(0, ...understood.witnesses.map(({ talkWords }) => talkWords));
  const talk = longest >= 5 || !context.runOpen || context.paused;
  const rivals = rivalsOf(shares, '');
  if (talk)
    return {
      outcome: 'not-a-reading',
      meaning: null,
      rivals: [],
      p: 1,
      reason: `“${understood.text}” is no reading and no procedure word`,
    };
  return {
    outcome: 'unresolved',
    meaning: null,
    rivals,
    p: 0,
    reason: longest === 0 ? 'no words were understood' : `“${understood.text}” is no number`,
  };
}

/** Broken-off and taken-back calls. */
function unfinished(understood: Understood, context: Context): Judgement | null {
  const best = understood.candidates[0]?.candidate;
  if (best?.kind === 'withdrawn')
    return { outcome: 'not-a-reading', meaning: null, rivals: [], p: 1, reason: 'taken back in the same breath' };
  if (best?.kind !== 'incomplete') return null;
  if (best.wants === 'run' && context.nextRun !== undefined)
    return {
      outcome: 'command',
      meaning: { kind: 'start-run', run: context.nextRun },
      rivals: [],
      p: 0.9,
      reason: 'a run without a number gets the next one',
    };
  const meaning: Meaning | null = best.said === null ? null : { kind: 'reading', values: [{ value: best.said }] };
  const rivals: Rival[] = meaning ? [{ meaning, p: 0.5, why: 'the decimals did not come' }] : [];
  return {
    outcome: 'unresolved',
    meaning: null,
    rivals,
    p: 0,
    reason: best.wants === 'decimals' ? 'broken off before the decimals' : 'the number did not come',
  };
}

/** Everything that may have been said, weighed. */
function weigh(understood: Understood, context: Context, words: Words): Belief[] {
  const beliefs: Belief[] = [];
  const readings = new Map<string, Candidate | null>();
  for (const { candidate } of understood.candidates) {
    if (candidate.kind === 'reading') readings.set(keyOf(candidate), candidate);
    else if (candidate.kind === 'command') {
      beliefs.push({
        key: keyOf(candidate),
        candidate,
        values: [],
        weight:
          commandPrior(candidate.meaning, context, words) *
          likelihood(understood.witnesses, (witness) => share(witness, keyOf(candidate))),
        heard: support(understood, keyOf(candidate)),
        why: candidate.reasons.map((code: Reason) => reasons[code]).join('; ') || 'heard',
      });
    }
  }
  const heardSingles = [...readings.keys()].filter((key) => !key.includes(' '));
  if (readings.size > 0) for (const value of expected(context)) if (!readings.has(value)) readings.set(value, null);
  for (const value of heardSingles.slice(0, 6))
    for (const partner of partners(value, words).slice(0, 30))
      if (!readings.has(partner.value)) readings.set(partner.value, null);
  const before = beliefsOfLast(context);
  for (const [key, candidate] of readings) {
    const values = key.split(' ');
    const prior = readingPrior(values, before, context);
    const l = likelihood(understood.witnesses, (witness) => channel(values, witness, words));
    const heard = support(understood, key);
    const unit = candidate?.kind === 'reading' && candidate.unit !== null && candidate.unit !== 'mL' ? 0.1 : 1;
    beliefs.push({
      key,
      candidate,
      values,
      weight: prior * l * unit,
      heard,
      why: whyOf(values, heard, understood, words),
    });
    const value = only(values);
    if (value !== undefined && context.question?.choices.includes(value)) {
      // An answer to the question just asked, rather than a new reading.
      const meaning: Meaning = { kind: 'settle', value };
      const answer: Candidate = { kind: 'command', meaning, weight: 1, ask: false, reasons: [] };
      beliefs.push({
        key: `answer ${key}`,
        candidate: answer,
        values: [],
        weight: 0.4 * l,
        heard,
        why: 'answers the question',
      });
    }
  }
  const talk = likelihood(
    understood.witnesses,
    ({ talk: mass, talkWords }) => mass * (talkWords >= 4 ? 0.9 : talkWords === 3 ? 0.5 : 0.2) + 1e-4,
  );
  // Of somebody farther away the ear hears words here and there: what it holds for other speech is talk then.
  const farther = isLikelyOthers(understood, context)
    ? kinds.softTalk * likelihood(understood.witnesses, ({ other }) => other)
    : 0;
  beliefs.push({
    key: 'talk',
    candidate: null,
    values: [],
    weight: Math.max(kinds.talk * talk, farther),
    heard: 0,
    why: 'no reading',
  });
  return oneEach(beliefs);
}

/**
 * However softly: a procedure word was plainly heard, an answer to the question just asked, a number that is due, or one
 * that the water can show by now, above all readings so far, those in doubt too; any number after a leak or a spill. A caller who
 * turned away may have said it.
 */
function isPlainlyMeant({ candidates }: Understood, context: Context): boolean {
  const { earlier, frame, prediction, disturbed = false, nearness = 1, question } = context;
  const highest = Math.max(...earlier.map(({ value }) => Number(value ?? Number.NEGATIVE_INFINITY)));
  const isPossible = (ml: number): boolean =>
    disturbed || (ml > highest && objection(ml, earlier, frame, prediction, false) === null);
  const due = expected(context);
  const isDue = (value: Decimal): boolean => earlier.length === 0 || due.includes(value);
  return candidates.some(({ candidate, support: heard }) => {
    if (candidate.kind !== 'reading') return candidate.kind === 'command' && heard >= nearness * plainFrom;
    const { values } = candidate;
    if (heard < nearness * (values.every(isDue) ? dueFrom : plainFrom)) return false;
    const answers = values.length === 1 && values.every((one) => question?.choices.includes(one));
    return answers || values.every((value) => isPossible(Number(value)));
  });
}

/** "56" and "56.0" are one number, not two that could be asked about: kept as it was heard better. */
function oneEach(beliefs: readonly Belief[]): Belief[] {
  const kept = new Map<string, Belief>();
  for (const belief of beliefs) {
    const name = belief.values.length === 1 ? `number ${Number(belief.values[0])}` : belief.key;
    const same = kept.get(name);
    const better = same && same.heard >= belief.heard ? same : belief;
    kept.set(
      name,
      same ? { ...better, weight: Math.max(same.weight, belief.weight), heard: same.heard + belief.heard } : belief,
    );
  }
  return [...kept.values()];
}

function support(understood: Understood, key: string): number {
  return understood.candidates.find(({ candidate }) => keyOf(candidate) === key)?.support ?? 0;
}

function whyOf(values: readonly Decimal[], heard: number, understood: Understood, words: Words): string {
  const found = understood.candidates.find(({ candidate }) => keyOf(candidate) === values.join(' '))?.candidate;
  if (heard > 0) return (found?.kind === 'reading' && found.reasons.map((code) => reasons[code]).join('; ')) || 'heard';
  const top = understood.candidates.find(
    ({ candidate }) => candidate.kind === 'reading' && candidate.values.length === 1,
  )?.candidate;
  const value = only(values);
  if (top?.kind !== 'reading' || value === undefined) return 'due';
  const { share: likely, why } = confusability(value, nth(top.values, 0), words);
  return likely > floorShare ? why : 'due';
}

/** Product over the ears, softened: two engines err alike more often than independent ones would. */
function likelihood(witnesses: readonly Witness[], of: (witness: Witness) => number): number {
  let product = 1;
  for (const witness of witnesses) product *= of(witness) ** (witnesses.length > 1 ? 0.85 : 1);
  return product;
}

const share = (witness: Witness, key: string): number =>
  witness.heard.reduce((sum, { candidate, mass }) => sum + (keyOf(candidate) === key ? mass : 0), 0) + 1e-5;

/**
 * Probability, up to a factor, of what an ear wrote if these values were said: its own share in them, and what
 * mishearing may have made of them.
 */
export function channel(values: readonly Decimal[], witness: Witness, words: Words): number {
  const key = values.join(' ');
  let own = 0;
  let misheard = 0;
  let numeric = 0;
  for (const { candidate, mass } of witness.heard) {
    if (candidate.kind !== 'reading') continue;
    numeric += mass;
    if (keyOf(candidate) === key) own += mass;
    else {
      const [said, heard] = [only(values), only(candidate.values)];
      misheard += mass * (said && heard ? confusability(said, heard, words).share : floorShare);
    }
  }
  // Words that are no number may hide one.
  misheard += (1 - numeric - witness.missing) * floorShare;
  return own + witness.missing * misheard + 1e-9;
}

/** The last value, as far as it is known: several possible ones, and how many calls lie between. */
function beliefsOfLast(context: Context): { value: number | null; p: number; calls: number }[] {
  let calls = 1;
  for (let i = context.earlier.length - 1; i >= 0; i--) {
    const { value, settled, p, rivals, doubtful } = nth(context.earlier, i);
    if (value === null) {
      calls++;
      continue;
    }
    const own = settled ? 1 : (p ?? (doubtful ? 0.7 : 0.97));
    const others = settled ? [] : (rivals ?? []);
    const sum = others.reduce((total, rival) => total + rival.p, 0);
    const scale = sum > 0 ? Math.min(1, (1 - own) / sum) : 0;
    return [
      { value: Number(value), p: own, calls },
      ...others.map((rival) => ({ value: Number(rival.value), p: rival.p * scale, calls })),
    ].filter(({ p: belief }) => belief > 0);
  }
  return [{ value: null, p: 1, calls }];
}

function readingPrior(values: readonly Decimal[], before: ReturnType<typeof beliefsOfLast>, context: Context): number {
  const numbers = values.map(Number);
  let prior = 0;
  for (const { value: last, p, calls } of before) {
    // A called leak, spill or surge: the clock no longer knows.
    const prediction = context.disturbed ? null : context.prediction;
    prior +=
      p *
      (last === null
        ? firstValue(nth(numbers, 0), context.frame)
        : nextValue(nth(numbers, 0), last, calls, context.frame, prediction));
  }
  for (let k = 1; k < numbers.length; k++)
    prior *= nextValue(nth(numbers, k), nth(numbers, k - 1), 1, context.frame, null);
  const several = (context.sounds ?? 1) > 1 ? kinds.listBySound : kinds.list;
  const kind = values.length > 1 ? several : context.sounds !== undefined && context.sounds > 1 ? 1 - several : 1;
  return kinds.reading * kind * prior;
}

/** Values that are due: the next marks after each value the last reading may have had. */
function expected(context: Context): Decimal[] {
  const { stepMl, startMl, anchorMl } = context.frame;
  const out = new Set<string>();
  for (const { value: last, calls } of beliefsOfLast(context)) {
    if (last === null) {
      if (startMl !== null) out.add(text(startMl));
    } else if (stepMl !== null) {
      const anchor = anchorMl ?? last;
      const before = anchor + stepMl * Math.floor((last - anchor) / stepMl + 1e-6);
      for (let k = 0; k < 3; k++) out.add(text(before + stepMl * (calls + k)));
    }
  }
  return [...out].filter((value) => /^\d/.test(value) && Number(value) <= context.frame.capacityMl);
}

const text = (value: number) => String(Number(value.toFixed(6)));

/**
 * "correction 50" after "15" is likely; so is one for any neighbouring mark. The bare commands share their part of a
 * run's calls evenly: one that only sounds like the number that was said must be able to lose. Outside a run, and while
 * standing by, there is hardly anything else to say.
 */
function commandPrior(meaning: Meaning, context: Context, words: Words): number {
  const amongReadings = context.runOpen && !context.paused && isBare(meaning);
  const each = amongReadings ? kinds.command / bareCommands : kinds.command * 0.3;
  if (meaning.kind === 'reply') return context.question ? each * 3 : each;
  if (meaning.kind === 'correction' || meaning.kind === 'settle') {
    const last = context.earlier.at(-1)?.value;
    if (last == null) return each * 0.3;
    return each * Math.max(0.15, Math.min(1, 3 * confusability(meaning.value, last, words).share));
  }
  return each;
}

/**
 * Values a call without words probably had, likeliest first: what is due, for the proposal beside it.
 */
export function propose(context: Context): Rival[] {
  const before = beliefsOfLast(context);
  const weighed = expected(context).map((value) => ({ value, weight: readingPrior([value], before, context) }));
  const total = weighed.reduce((sum, { weight }) => sum + weight, 0);
  return weighed
    .map(
      ({ value, weight }): Rival => ({
        meaning: { kind: 'reading', values: [{ value }] },
        p: total > 0 ? weight / total : 0,
        why: 'due at that moment',
      }),
    )
    .sort((a, b) => b.p - a.p)
    .slice(0, 3);
}
