import { type EarCall, isSure, otherBeginningU, type RoomLevel } from '../ear.ts';
import { type FoundUtterance, likelySpeech, makeOnsetFinder } from '../onset.ts';
import { type Background, backgroundOf, beginningOf } from './beginning.ts';
import { backgroundBelowDb, doubtBelowDb, makeCallerLevel, softBelowDb } from './caller-level.ts';
import { withoutDeadSilence } from './dead-silence.ts';
import { type Decoded, decode, type Sentence } from './decode.ts';
import { features, featuresOf, framesIn, HOP, RATE } from './features.ts';
import { firstSound } from './first-sounds.ts';
import { type Grammar, grammar } from './grammar.ts';
import { intoWord } from './into-word.ts';
import { makeKeptFrames } from './kept-frames.ts';
import { FRAME_MS, type Net, posteriors } from './net.ts';
import { type OwnAnswer, recognise } from './recognise.ts';
import {
  beliefIn,
  makeAveraged,
  openness,
  otherSpeech,
  type Spike,
  sentencesOf,
  spikesIn,
  weakBelief,
  weakLead,
} from './spotted-words.ts';
import { makeStepPowers, stepS } from './step-powers.ts';
import { makeStreamResampler } from './stream-resampler.ts';

/** A call that the ear found in the sound, at `RATE`. */
export interface FoundCall extends Omit<EarCall, 'id' | 'sampleRate'> {
  readonly answer: OwnAnswer;
}

/**
 * Runs along with the sound and says where calls are and what they are. The net hears the last seconds again and again;
 * its words, with their times, are cut into sentences of the grammar; the loudness only places the beginning of the
 * first word. What sounds like a voice as near as the caller's, and is no word, is a call without words.
 */
export interface Follower {
  /**
   * Mono, -1..1, any length.
   * @param own the tool itself is speaking: nothing is learnt of the caller's level
   */
  push(samples: Float32Array, own?: boolean): FoundCall[];
  /** The stream is over. */
  finish(): FoundCall[];
  /** Before this nothing more will be found, s. */
  settledS(): number;
  /** When the words began that are being said now, s; null: none are. */
  hearingS(): number | null;
  /** Hears with other weights from now on (a learnt voice). */
  hearWith(net: Net): void;
  room(): RoomLevel;
}

const frameS = FRAME_MS / 1000;
const frameSamples = (RATE * FRAME_MS) / 1000;
/** What the net hears at once: the longest call, and what comes before and after a short one. */
const windowFrames = 60;
/** Nothing is said in sound whose loudest 20 ms are so far below the caller, if the onset finder finds none, dB. */
const nothingBelowDb = 12;
/** Frames between two windows: while nothing was heard, and while a word waits for what follows. */
const restFrames = 6;
const busyFrames = 3;
/** Words at the left edge of a window may be halves of words. */
const edgeFrames = 10;
/** Of a word with which the stream begins the ear may put the answer before. */
const firstFrame = -3;
/** Silence that ends a call, s: after a whole sentence, one that may go on ("thirty"), and one that lacks something. */
const closingS = 0.24;
const mayGoOnS = 0.34;
const openClosingS = 0.6;
/** After "two", which may be the first of "two", "four". */
const nextDigitS = 0.45;
/** After one word that it does not know: an "er" a good while before a call. */
const strayClosingS = 0.85;
/** The word after a call has been seen for so long that it will stay, frames. */
const nextSeenFrames = 12;
/** A word ends at most so long after the ear answered for it, s. */
const longestWordS = 0.75;
/** The longest silence within a word, s: before the last sounds of "fifty". */
const withinWordS = 0.24;
/** Sound kept before and after a call, s. */
const beforeS = 0.25;
const afterS = 0.2;
const keptS = 16;
/** A sentence with this probability tells how loud the caller is. */
const sureP = 0.6;
const verySureP = 0.9;
/** Sentences of ours together, where no voice was heard: tones reach 0.65 now and then. */
const surelyOursP = 0.7;
/** All sentences together with less are none. */
const leastSentence = 0.1;
/**
 * A command with less is not passed on: a number that is in doubt can be put right, a run that was ended cannot. Talk
 * passes for one more easily while it is not known how loud the caller is.
 */
const leastCommand = { caller: 0.45, anyone: 0.7 };
/** A word with less, within so many seconds before a call, is a part of its beginning. */
const surelyWordP = 0.5;
const leadS = 0.6;
/** A weak word before "six" is none in so many cases: too few for "six" to be plain (common practice, no source). */
const noneShare = 0.4;
/** Beside what the onset finder states, beginnings vary by so much from voice to voice, s. */
const voicesS = 0.018;
/** Sentences together with less were hardly heard, and of two digits the first perhaps not at all: u of that, s. */
const hardlyHeard = 0.25;
const hardlyUS = 0.24;
/** A sentence with so much of the probability of the best may be what was said. */
const otherStartShare = 0.2;
/** A sentence with less of the probability of the best does not bring in another beginning. */
const mayBeMeantShare = 0.02;
/** The longest silence between two words of a number ("three", "six"), s. */
const betweenWordsS = 0.3;
/** A word that was missed may begin with a sound so long that is not loud, s. */
const weakFirstS = 0.08;
/** The words of a call are no more below all of it, dB: common practice, no source. */
const lineLevelDb = 5;
/** The loud parts of a call lie within so much of its loudest 20 ms; they are so much louder than all of it, dB. */
const loudPartsDb = 12;
const overMeanDb = 2;
/** Words before which the ear may have missed one. */
const digits: ReadonlySet<string> = new Set('one two three four five six seven eight nine zero oh point'.split(' '));
/** Windows so much quieter than the caller are not made louder for the net, dB. */
const floorDb = 6;
/** A sound of the onset finder that begins and ends so near a sentence is that sentence, s. */
const sameBeginningS = 0.06;
/** What the ear puts the beginning of a word by varies by so much beside what the word itself makes, s: by voice. */
const leastSpreadS = 0.025;
/** Loudness and the ear are far apart at so many standard deviations; it is uncertain by this share of it then. */
const farApart = 1.8;
const apartShare = 0.6;
const sameEndS = 0.25;
/** The onset finder ends a sound so long after it (`hangS` in onset.ts, and what is later in coming), s. */
const finderWaitS = 0.44;
/** A voice without words is a call if it is no longer than this, s. */
const longestUnknownS = 2.5;
/** How loud the room is beside the caller is told from so much sound, s: more than one sentence of the caller's own. */
const roomS = 6;
/** The sound beside the calls is known from so much before one, s: talk has pauses, and a background without it. */
const backgroundS = 4;
/** Power under which a step holds no sound at all: less than the last bit of 16. */
const digitalSilence = 1e-10;
/** So much of the time it is quieter than that. */
const roomShare = 0.75;

export function makeFollower(shipped: Net, sampleRate: number): Follower {
  let net = shipped;
  const resampler = makeStreamResampler(sampleRate);
  const sentences = grammar(net.labels);
  const numbers = grammar(net.labels, 'numbers');
  const powers = makeStepPowers();
  const finder = makeOnsetFinder(RATE);
  const averaged = makeAveraged(net.labels.length);
  const caller = makeCallerLevel();
  const ring = new Float32Array(keptS * RATE);
  let written = 0;
  let nextWindow = windowFrames;
  /** Words before this frame are settled. */
  let settled = firstFrame;
  let busy = false;
  let hearingS: number | null = null;
  /** End of the last sentence, and where its last word begins, s. */
  let lastEndS = 0;
  let lastWordS = 0;
  let ownUntilS = Number.NEGATIVE_INFINITY;
  /** Sounds of the onset finder in which no word has been found yet. */
  let sounds: FoundUtterance[] = [];
  /** Since when the onset finder has been in a sound, s; null: it is in none. */
  let soundingS: number | null = null;
  /** Sounds of the onset finder of the last seconds. */
  let heardSounds: FoundUtterance[] = [];
  /** Where there were sentences: the caller's, and those set aside. */
  let taken: { readonly fromS: number; readonly toS: number; readonly byCaller: boolean }[] = [];
  /** The net relates what is quieter to this level. */
  let leastLevel = 0;
  const windows: { readonly endFrame: number; readonly level: number }[] = [];
  let background: Background | null = null;
  let backgroundPower = 0;
  let othersDb: number | null = null;

  const cut = (from: number, to: number): Float32Array<ArrayBuffer> => {
    const out = new Float32Array(Math.max(0, to - from));
    for (let index = 0; index < out.length; index++) {
      const at = from + index;
      if (at >= 0 && at < written && at >= written - ring.length) out[index] = ring[at % ring.length] ?? 0;
    }
    return out;
  };

  const frames = makeKeptFrames(cut);

  /** In the sound since the last window there is nothing that the caller could have said. */
  const isQuiet = (endFrame: number): boolean => {
    const callerDb = caller.db();
    if (busy || soundingS !== null || callerDb === null) return false;
    const to = Math.min(powers.steps(), Math.round((endFrame * frameS) / stepS));
    let loudest = 0;
    for (let step = to - Math.round((restFrames * frameS) / stepS) - 5; step + 5 <= to; step += 2)
      loudest = Math.max(loudest, powers.meanPower(step, step + 5));
    return loudest < 10 ** ((callerDb - nothingBelowDb) / 10);
  };

  const hearWindow = (endFrame: number): void => {
    const first = endFrame - windowFrames;
    const sound = cut(first * frameSamples, endFrame * frameSamples);
    const live = withoutDeadSilence(sound, RATE);
    const seen =
      live === sound
        ? featuresOf(frames.between((first * frameSamples) / HOP, framesIn(sound.length)), leastLevel)
        : features(live, leastLevel);
    windows.push({ endFrame, level: seen.level });
    if (windows.length > 40) windows.shift();
    averaged.add(posteriors(net, seen), first, first <= 0 ? firstFrame : first + edgeFrames);
  };

  /** End of the sound of a word, s: the last time it is near its own level, over what sounded before the call. */
  const endOf = (spike: Spike, untilS: number): number => {
    const at = Math.round((spike.frame * frameS) / stepS);
    const to = Math.min(powers.steps(), Math.round(Math.min(untilS, spike.frame * frameS + longestWordS) / stepS));
    let peak = 0;
    for (let step = at - 10; step < to - 4; step++) peak = Math.max(peak, powers.meanPower(step, step + 5));
    const least = Math.max(peak / 100, Math.min(2 * backgroundPower, peak / 4));
    let last = at;
    for (let step = at; step + 5 <= to; step++) {
      if (powers.meanPower(step, step + 5) > least) last = step + 5;
      else if ((step - last) * stepS > withinWordS) break;
    }
    return last * stepS;
  };

  const inCall = (step: number): boolean =>
    taken.some(({ fromS, toS, byCaller }) => byCaller && step * stepS > fromS - 0.1 && step * stepS < toS + 0.15);

  /** What sounds before a call, beside calls; where there is too little of it, what was there before. */
  const lookBefore = (step: number): void => {
    const to = step - Math.round(0.16 / stepS);
    // A room that begins out of digital silence (a gate, a microphone that opens) is known from there on.
    let from = Math.max(0, to - Math.round(backgroundS / stepS));
    if (to > from && powers.power(to - 1) > digitalSilence)
      for (let at = to - 1; at >= from; at--) if (powers.power(at) <= digitalSilence) from = at + 1;
    const every = to - from > Math.round(0.4 / stepS) ? 3 : 1;
    const steps: number[] = [];
    for (let at = from; at < to; at += every) if (!inCall(at)) steps.push(at);
    const known = backgroundOf(powers, steps);
    if (!known) return;
    background = known;
    const all = steps.map((at) => powers.power(at)).sort((a, b) => a - b);
    backgroundPower = all[Math.floor(0.8 * all.length)] ?? 0;
  };

  /** "one thirty three" for 133. */
  const isOneBeforeTens = (before: number, label: number): boolean =>
    net.labels[before] === 'one' && /(ty|teen)$/.test(net.labels[label] ?? '');

  const waitAfter = (sentence: readonly Spike[], endS: number, nowS: number): number => {
    // An "er" that sounds like a word, or like none that the ear knows: the call may follow.
    const [word, more] = sentence;
    if (word && !more && word.label === otherSpeech) return strayClosingS;
    if (word && !more && beliefIn(word) < weakBelief) return openClosingS;
    const open = openness(sentence, sentences);
    // The ear knows a word only once it has heard some of what follows: "two" and the beginning of "four".
    if (open === 'may go on' && word && goesOn(startOf(word), endS, nowS)) return openClosingS;
    if (word && !more && isDigit(word)) return nextDigitS;
    return { closed: closingS, 'may go on': mayGoOnS, 'lacks words': openClosingS }[open];
  };

  /** A voice about as loud as that of a sentence sounds after it. */
  const goesOn = (fromS: number, endS: number, nowS: number): boolean => {
    const least = 10 ** ((levelBetween(Math.round(fromS / stepS), endS) - lineLevelDb) / 10);
    const now = Math.min(powers.steps(), Math.round(nowS / stepS));
    for (let step = Math.round(endS / stepS) + 10; step + 10 <= now; step++)
      if (powers.meanPower(step, step + 10) > least) return true;
    return false;
  };

  const levelBetween = (fromStep: number, endS: number): number =>
    10 * Math.log10(powers.meanPower(fromStep, Math.max(fromStep + 1, Math.round(endS / stepS))) + 1e-12);

  /** How loud a voice is, dB: by its loud parts, so that a lone "four" is as loud as the "four" of "three … four". */
  const voiceLevel = (fromStep: number, endS: number): number => {
    const to = Math.max(fromStep + 5, Math.round(endS / stepS));
    const parts = Array.from({ length: Math.floor((to - fromStep) / 5) }, (_, k) =>
      powers.meanPower(fromStep + 5 * k, fromStep + 5 * k + 5),
    );
    const least = Math.max(...parts) * 10 ** (-loudPartsDb / 10);
    const loud = parts.filter((power) => power >= least);
    return 10 * Math.log10(loud.reduce((sum, power) => sum + power, 0) / loud.length + 1e-12) - overMeanDb;
  };

  /** A command needs so much: what others say is often like one, and the caller's level tells them apart. */
  const leastOfCommand = (): number => (caller.db() === null ? leastCommand.anyone : leastCommand.caller);

  const found = (
    { onsetS, endS, uOnsetS, voice }: Pick<FoundCall, 'onsetS' | 'endS' | 'uOnsetS' | 'voice'>,
    belowDb: number,
    answer: OwnAnswer,
    least: number,
  ): FoundCall => {
    const from = Math.max(0, Math.round((onsetS - beforeS) * RATE));
    const samples = cut(from, Math.min(written, Math.round((endS + afterS) * RATE)));
    const clipped = samples.some((sample) => Math.abs(sample) >= 0.999);
    const isNumber = (text: string): boolean => isSentence(text.replace(/^at /, ''), numbers, net.labels);
    const best = answer.best.filter(({ text, p }) => p >= least || isNumber(text));
    return {
      onsetS,
      endS,
      uOnsetS,
      answer: { ...answer, best },
      voice,
      nearness: belowDb > softBelowDb ? nearness(belowDb) : null,
      clipped,
      samples,
      onsetIndex: Math.round(onsetS * RATE) - from,
    };
  };

  /** Where the ear puts the first sound of a word, s. */
  const startOf = ({ middle, label }: Spike): number => middle * frameS - intoWord(net.labels[label] ?? '').medianS;

  /**
   * What a sentence says, decoded from its first word on.
   * @param words without those at its beginning that are probably none
   * @returns the first of them, the sentences that may have been said, and whether a word before them may be one of theirs
   */
  const decodeSentence = (sentence: readonly Spike[], words: readonly Spike[], toFrame: number) => {
    const first = words.find(({ label }) => label !== otherSpeech) ?? words[0];
    if (!first) return null;
    const decodeFrom = (word: Spike, notBefore: number): Decoded => {
      const fromFrame = Math.max(notBefore, Math.floor(startOf(word) / frameS) - 5);
      const posteriors = averaged.between(fromFrame, toFrame);
      return decode(posteriors, sentences, net.labels, (toFrame - fromFrame) * FRAME_MS);
    };
    const before = sentence[sentence.indexOf(first) - 1];
    const leads = words.length < sentence.length && before;
    const decoded = decodeFrom(first, leads ? before.frame + 2 : settled);
    const said = saidBy(decoded, words);
    // An "er" before "six", or the first digit of two: nobody can tell.
    const lost = before && isDigit(first) ? saidBy(decodeFrom(before, settled), sentence) : null;
    return { first, decoded, lost: lost !== null, all: lost ? eitherOf(said, lost) : said };
  };

  /** A digit that may as well be something else, or the second of two. */
  const isHardlyHeard = (said: readonly Said[]): boolean =>
    digits.has(said[0]?.text.split(' ')[0] ?? '') && said.reduce((sum, { p }) => sum + p, 0) < hardlyHeard;

  /** @param lead how many words at its beginning are probably none */
  const hearSentence = (
    sentence: readonly Spike[],
    lead: number,
    nextFrame: number | null,
    endS: number,
  ): FoundCall | null => {
    const toFrame = nextFrame === null ? Math.ceil(endS / frameS) + 4 : nextFrame - 1;
    const words = sentence.slice(lead);
    const heard = decodeSentence(sentence, words, toFrame);
    if (!heard) return null;
    const { first, decoded, lost, all } = heard;
    const meant = likeliestStart(all) ?? first;
    const uOfWordsS = isHardlyHeard(all) ? hardlyUS : 0;
    const { onsetS, uS: placedUS } = placed(meant, endS);
    const ownUS = Math.hypot(placedUS, uOfWordsS);
    const leastP = leastOfCommand();
    const levelDb = voiceLevel(Math.round(onsetS / stepS), endS);
    const belowDb = caller.below(levelDb);
    learnCaller(decoded, levelDb, toFrame, endS);
    const isCaller = belowDb <= backgroundBelowDb;
    const own = { start: meant, onsetS, uS: ownUS };
    const best = softer(withBegins(all, own, endS, uOfWordsS), belowDb);
    const ours = best.reduce((sum, { p }) => sum + p, 0);
    // One word that the ear hardly believes in, right before a call: an "er", a cough.
    const leads = nextFrame !== null && words.length === 1 && ours < surelyWordP && nextFrame * frameS - endS < leadS;
    if (isCaller && !leads && ours < leastSentence) return null;
    taken.push({ fromS: onsetS, toS: endS, byCaller: isCaller });
    if (!isCaller || leads) return null;
    const cutOut = nextFrame === null && meant === first && !lost ? cutByLoudness(meant, endS) : undefined;
    const alone = cutOut && answerTo(cutOut);
    // Heard by itself it is the same words, or the cut holds more than them.
    if (cutOut && alone && alone.best[0]?.text === best[0]?.text) {
      // By its own words first: a soft call that is sure in itself is a call.
      const call = unlessNoise(agreed(soundAs(cutOut, belowDb, alone, leastP), words, own, uOfWordsS));
      return call && { ...call, answer: { ...call.answer, best: softer(call.answer.best, belowDb) } };
    }
    const answer = { best, speech: 1 - decoded.silence, other: Math.max(0, 1 - ours - decoded.silence) };
    const uOnsetS = Math.hypot(ownUS, otherStartS(all, meant) / otherBeginningU);
    return unlessNoise(found({ onsetS, endS, uOnsetS, voice: maybeVoice(onsetS, endS) }, belowDb, answer, leastP));
  };

  /** A sentence that was heard alike in the stream and cut out by its loudness: both place it. */
  const agreed = (sound: FoundCall, words: readonly Spike[], own: Placed, uOfWordsS: number): FoundCall => {
    const call = bothSay(sound, own.onsetS, own.uS);
    const said = saidBy(call.answer, words);
    const best = withBegins(said, { ...own, onsetS: call.onsetS, uS: call.uOnsetS }, call.endS, uOfWordsS);
    const uOnsetS = Math.hypot(call.uOnsetS, otherStartS(said, own.start) / otherBeginningU);
    return { ...call, uOnsetS, answer: { ...call.answer, best } };
  };

  /** The first sound of a word, s, and its standard uncertainty. */
  const placed = (word: Spike, endS: number): { readonly onsetS: number; readonly uS: number } => {
    const atS = startOf(word);
    const { spreadS } = intoWord(net.labels[word.label] ?? '');
    const earUS = Math.hypot(spreadS, leastSpreadS);
    const { step, uS } = beginningOf(
      powers,
      atS / stepS,
      earUS,
      // The ends of words are known less well than their beginnings.
      Math.round(Math.min(lastEndS, atS - spreadS) / stepS),
      background ?? silence(powers.bands),
      firstSound(net.labels[word.label] ?? ''),
    );
    const onsetS = step * stepS;
    // Loudness and the ear put it far apart: something else sounds there, and either may be wrong.
    const apartS = Math.abs(onsetS - atS);
    const disputedS = apartS > farApart * earUS ? apartShare * apartS : 0;
    const missedS = loudBefore(step, levelBetween(step, endS), word) / otherBeginningU;
    return { onsetS, uS: Math.hypot(uS, disputedS, missedS) };
  };

  /**
   * Where sentences that may well be meant begin with different words, each gets a beginning of its own.
   * @param own the word with which the call begins, and where it was put
   * @param uOfWordsS standard uncertainty for a word before it that was not heard
   */
  const withBegins = (said: readonly Said[], own: Placed, endS: number, uOfWordsS: number): OwnAnswer['best'] => {
    const least = mayBeMeantShare * (said[0]?.p ?? 0);
    const one = said.every(({ start, p }) => start === undefined || start === own.start || p < least);
    return said.map(({ start = own.start, ...sentence }) => {
      if (one) return sentence;
      const at = start === own.start ? own : placed(start, endS);
      const uS = start === own.start ? own.uS : Math.hypot(at.uS, uOfWordsS);
      return { ...sentence, begins: { laterMs: 1000 * (at.onsetS - own.onsetS), uMs: 1000 * uS } };
    });
  };

  const isDigit = ({ label }: Spike): boolean => digits.has(net.labels[label] ?? '');

  const saidBy = ({ best }: Pick<Decoded, 'best'>, words: readonly Spike[]): Said[] =>
    best.map((one) => ({ ...one, start: firstOf(one.text, words) }));

  /** The word with which a sentence begins. "at thirty one", or an "er" that sounds like "at": the number's. */
  const firstOf = (text: string, words: readonly Spike[]): Spike | undefined => {
    const said = text.replace(/^at /, '').split(' ');
    const number = net.labels.indexOf(said[0] ?? '');
    const shareIn = ({ p, labels }: Spike): number => p * (labels.find(({ label }) => label === number)?.share ?? 0);
    const heard = words.filter((word) => shareIn(word) > 0.1);
    // "nine" of "ninety nine", where the "ninety" was somebody else's: the likelier of the two.
    if (said.length === 1) heard.sort((a, b) => shareIn(b) - shareIn(a));
    // A word that the ear hardly took it for: "three two" for what sounds like "eight two".
    return heard[0] ?? (said.length === words.length ? words[0] : undefined);
  };

  /** The word with which most of the probability begins: what may be said is one sentence of several. */
  const likeliestStart = (said: readonly Said[]): Spike | undefined => {
    const shares = new Map<Spike, number>();
    for (const { start, p } of said) if (start) shares.set(start, (shares.get(start) ?? 0) + p);
    return [...shares].sort((a, b) => b[1] - a[1])[0]?.[0];
  };

  /** How far off another sentence begins that was as well said: "eighty" for "one eighty", where the one is an "er". */
  const otherStartS = (said: readonly Said[], meant: Spike): number => {
    const least = otherStartShare * (said[0]?.p ?? 0);
    const starts = said.flatMap(({ start, p }) => (start && p > least ? [startOf(start)] : []));
    return Math.max(0, ...starts.map((s) => Math.abs(s - startOf(meant))));
  };

  /** How long a voice as loud as the caller's spoke right before a lone "six", s: it may have been "twenty six". */
  const loudBefore = (onset: number, levelDb: number, word: Spike): number => {
    if (!isDigit(word)) return 0;
    // "hundred four", "zero": talk before it took its first word along.
    const follows = taken.at(-1)?.byCaller && Math.abs(onset * stepS - lastEndS) < betweenWordsS;
    if (follows) return onset * stepS - lastWordS;
    const least = 10 ** ((Math.min(levelDb, caller.db() ?? levelDb) - lineLevelDb) / 10);
    const earliest = Math.max(0, Math.round(lastEndS / stepS), onset - Math.round(longestWordS / stepS));
    let from = onset;
    for (let step = onset - 5; step >= earliest && (from - step) * stepS < betweenWordsS; step--)
      if (powers.meanPower(step, step + 10) > least) from = step;
    return from === onset ? 0 : (onset - from) * stepS + weakFirstS;
  };

  /** The onset finder heard a voice there, or is still in a sound; a beep or a hum is none. */
  const maybeVoice = (onsetS: number, endS: number): boolean =>
    (soundingS !== null && soundingS < endS) ||
    heardSounds.some(
      ({ onsetFrame, endFrame, speech }) =>
        speech >= likelySpeech && onsetFrame / RATE < endS && endFrame / RATE > onsetS,
    );

  /** A sentence that is surely one tells how loud the caller is. */
  const learnCaller = ({ best }: Decoded, levelDb: number, toFrame: number, endS: number): void => {
    const [said] = best;
    if (!said || said.p < sureP || endS <= ownUntilS) return;
    // Whoever moved away still says whole numbers; a word of others' talk is often heard by chance.
    if (caller.below(levelDb) > doubtBelowDb && (said.p < verySureP || said.words.length < 2)) return;
    caller.learn(levelDb);
    const level = windows.find(({ endFrame }) => endFrame >= toFrame)?.level;
    const callerDb = caller.db();
    if (level !== undefined && callerDb !== null) leastLevel = level * 10 ** ((callerDb - levelDb - floorDb) / 10);
  };

  /** The sound of the onset finder that is this sentence and nothing else. */
  const cutByLoudness = (first: Spike, endS: number): FoundUtterance | undefined => {
    const { spreadS } = intoWord(net.labels[first.label] ?? '');
    return heardSounds.find(
      ({ onsetFrame, endFrame }) =>
        Math.abs(onsetFrame / RATE - startOf(first)) < Math.max(sameBeginningS, 3 * spreadS) &&
        Math.abs(endFrame / RATE - endS) < sameEndS,
    );
  };

  const answerTo = ({ onsetFrame, endFrame }: FoundUtterance): OwnAnswer =>
    recognise(net, cut(onsetFrame - beforeS * RATE, endFrame + afterS * RATE), RATE);

  const soundAs = (sound: FoundUtterance, belowDb: number, answer: OwnAnswer, least: number): FoundCall => {
    const [onsetS, endS] = [sound.onsetFrame / RATE, sound.endFrame / RATE];
    const uOnsetS = Math.hypot(sound.uOnsetS, voicesS);
    return found({ onsetS, endS, uOnsetS, voice: sound.speech >= likelySpeech }, belowDb, answer, least);
  };

  /** Sentences that are over by now. */
  const settle = (nowFrame: number, over: boolean): FoundCall[] => {
    const spikes = spikesIn(averaged.between(settled, nowFrame), settled);
    const cuts = sentencesOf(spikes, sentences, isOneBeforeTens);
    const out: FoundCall[] = [];
    for (const [index, sentence] of cuts.entries()) {
      const lead = weakLead(sentence, sentences);
      const words = sentence.slice(lead);
      const [first, last] = [words[0], words.at(-1)];
      if (!first || !last) continue;
      const next = cuts[index + 1]?.[0];
      const untilS = next ? startOf(next) : nowFrame * frameS;
      lookBefore(Math.round((first.frame * frameS) / stepS));
      const endS = endOf(last, untilS);
      const sure = next
        ? nowFrame - next.frame >= nextSeenFrames
        : nowFrame * frameS - endS >= waitAfter(words, endS, nowFrame * frameS);
      // Where the loudness began to sound with this sentence it soon ends by itself, and says more exactly when.
      const alone = !next && soundingS !== null && Math.abs(soundingS - startOf(first)) < 0.1;
      if (!over && (!sure || (alone && nowFrame * frameS - endS < finderWaitS))) break;
      const call = hearSentence(sentence, lead, next ? next.frame : null, endS);
      settled = Math.max(settled, next ? next.frame - 2 : Math.ceil(endS / frameS));
      lastEndS = endS;
      lastWordS = startOf(last);
      if (call) out.push(call);
    }
    const waiting = spikes.find(({ frame }) => frame >= settled);
    busy = waiting !== undefined;
    hearingS = waiting ? startOf(waiting) : null;
    if (!busy) settled = Math.max(settled, nowFrame - 20);
    averaged.forgetBefore(settled - 30);
    return out;
  };

  /** Voices in which the net, running along, found no word: heard once by themselves, as any cut-out sound is. */
  const unknownSounds = (over: boolean): FoundCall[] => {
    // A call may follow at once, of which this is a cough or an "er" before.
    const doneS = over ? Number.POSITIVE_INFINITY : settled * frameS - leadS;
    const due = sounds.filter(({ endFrame }) => endFrame / RATE < doneS);
    sounds = sounds.filter(({ endFrame }) => endFrame / RATE >= doneS);
    const out: FoundCall[] = [];
    for (const sound of due) {
      const [fromS, toS] = [sound.onsetFrame / RATE, sound.endFrame / RATE];
      if (taken.some((one) => one.fromS < toS + leadS && one.toS > fromS) || toS - fromS > longestUnknownS) continue;
      const belowDb = caller.below(voiceLevel(Math.round(fromS / stepS), toS));
      if (belowDb > doubtBelowDb) continue;
      const call = unlessNoise(soundAs(sound, belowDb, answerTo(sound), leastOfCommand()));
      // Where the ear does not know the words it cannot say which of the sounds was the first of them.
      const unknown = call && !isSure(call.answer);
      if (call) out.push(unknown ? { ...call, uOnsetS: Math.hypot(call.uOnsetS, (toS - fromS) / 3) } : call);
    }
    taken = taken.filter(({ toS }) => toS > written / RATE - keptS);
    return out;
  };

  const lookAtRoom = (): void => {
    const now = powers.steps();
    const from = Math.max(0, now - Math.round(roomS / stepS));
    if (now * stepS < ownUntilS + roomS) return;
    const others: number[] = [];
    for (let step = from; step < now; step += 5) if (!inCall(step)) others.push(powers.meanPower(step, step + 5));
    if (others.length < 20) return;
    others.sort((a, b) => a - b);
    othersDb = 10 * Math.log10((others[Math.floor(roomShare * others.length)] ?? 0) + 1e-12);
  };

  const step = (over: boolean): FoundCall[] => {
    const out: FoundCall[] = [];
    while (Math.floor(written / frameSamples) >= nextWindow) {
      if (!isQuiet(nextWindow)) hearWindow(nextWindow);
      out.push(...settle(nextWindow, false));
      nextWindow += busy ? busyFrames : restFrames;
      lookAtRoom();
    }
    if (over) {
      const frames = Math.floor(written / frameSamples);
      if (frames > nextWindow - restFrames || frames < windowFrames) hearWindow(Math.max(frames, 1));
      out.push(...settle(frames, true));
    }
    if (soundingS === null || over) out.push(...unknownSounds(over));
    return out.sort((a, b) => a.onsetS - b.onsetS);
  };

  const takeSounds = (events: ReturnType<typeof finder.push>): void => {
    for (const event of events) {
      soundingS = event.kind === 'onset' ? event.onsetFrame / RATE : null;
      if (event.kind !== 'utterance') continue;
      sounds.push(event.utterance);
      heardSounds = [...heardSounds.slice(-20), event.utterance];
    }
  };

  return {
    push(samples, own = false) {
      const sound = resampler.push(samples);
      for (const sample of sound) {
        ring[written % ring.length] = sample;
        written++;
      }
      if (own) ownUntilS = written / RATE + 0.4;
      powers.push(sound);
      takeSounds(finder.push(sound));
      return step(false);
    },
    finish() {
      takeSounds(finder.finish());
      return step(true);
    },
    settledS: () => Math.max(0, settled * frameS),
    hearingS: () => hearingS,
    hearWith(other) {
      net = other;
    },
    room: () => ({ callerDb: caller.db(), othersDb }),
  };
}

/** A word with which a call may begin, the place of its first sound and the standard uncertainty of that, s. */
interface Placed {
  readonly start: Spike;
  readonly onsetS: number;
  readonly uS: number;
}

/** What may have been said, and the word with which it begins. */
interface Said extends Sentence {
  readonly start: Spike | undefined;
}

/** Adds up what was said without a word and with it. */
function eitherOf(without: readonly Said[], withIt: readonly Said[]): Said[] {
  const sums = new Map<string, Said>();
  const add = (one: Said, share: number): void => {
    const p = share * one.p;
    const known = sums.get(one.text);
    sums.set(one.text, { ...one, start: known && known.p > p ? known.start : one.start, p: (known?.p ?? 0) + p });
  };
  for (const one of without) add(one, noneShare);
  for (const one of withIt) add(one, 1 - noneShare);
  return [...sums.values()].sort((a, b) => b.p - a.p);
}

function isSentence(text: string, { next, accepts }: Grammar, labels: readonly string[]): boolean {
  let state = 0;
  for (const word of text.split(' ')) state = state < 0 ? state : (next[state]?.[labels.indexOf(word)] ?? -1);
  return state >= 0 && (accepts[state] ?? false);
}

/**
 * What does not sound like a person needs a sure answer to be a call, or one that is surely one of our sentences: in
 * swirling water the ear may be sure of a number and not of which.
 */
const unlessNoise = (call: FoundCall): FoundCall | null =>
  call.voice || isSure(call.answer) || isSurelyOurs(call.answer) ? call : null;

const isSurelyOurs = ({ speech, best }: OwnAnswer): boolean =>
  speech > 0.8 && best.reduce((sum, { p }) => sum + p, 0) > surelyOursP;

/** Two ways put the beginning of a call; where they differ it lies anywhere between them. */
function bothSay(call: FoundCall, otherS: number, uOtherS: number): FoundCall {
  const weight = uOtherS ** -2 / (uOtherS ** -2 + call.uOnsetS ** -2);
  const laterS = weight * (otherS - call.onsetS);
  return {
    ...call,
    onsetS: call.onsetS + laterS,
    uOnsetS: Math.hypot(Math.min(call.uOnsetS, uOtherS), (otherS - call.onsetS) / 2),
    onsetIndex: call.onsetIndex + Math.round(laterS * RATE),
  };
}

/** What a voice so far below the caller counts for, of 1. */
const nearness = (belowDb: number): number => 10 ** (Math.min(0, doubtBelowDb - belowDb) / 3);

const softer = <One extends { readonly p: number }>(said: readonly One[], belowDb: number): One[] =>
  said.map((one) => ({ ...one, p: nearness(belowDb) * one.p }));

/** What is taken for the background before any is known. */
const silence = (bands: number): Background => ({
  means: new Array<number>(bands).fill(-14),
  spreads: new Array<number>(bands).fill(1),
  bursts: 0,
});
