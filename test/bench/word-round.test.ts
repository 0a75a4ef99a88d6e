import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type Answer,
  afterSound,
  afterWish,
  beginRound,
  callsOf,
  type Round,
  twentyWords,
  type Wish,
  wishes,
  wordOf,
  wordsToSay,
} from '../../src/bench/word-round.ts';
import { grammar } from '../../src/hearing/ear/grammar.ts';
import { shippedNet } from '../../src/hearing/ear/hear-samples.ts';

const sound = { samples: new Float32Array(4), rate: 16_000 };
const heard = (text: string, p = 0.95): Answer => [{ text, p }];
const after = (round: Round, ...answers: Answer[]): Round =>
  answers.reduce((now, answer) => afterSound(now, sound, answer).round, round);

test('the twenty words are of the list or digits of it; each -teen that is asked for has its -ty, and like never follows like', () => {
  expect(twentyWords).toHaveLength(20);
  for (const text of twentyWords) expect(wordsToSay).toContain(text);
  const teens = twentyWords.filter((text) => text.endsWith('teen'));
  const tens: Record<string, string> = { thirteen: 'thirty', fourteen: 'forty', fifteen: 'fifty', sixteen: 'sixty' };
  for (const teen of teens) expect(twentyWords).toContain(tens[teen] ?? teen.replace('teen', 'ty'));
  for (const [i, text] of twentyWords.entries())
    expect(twentyWords[i + 1]?.slice(0, 3) === text.slice(0, 3), `${text} ${twentyWords[i + 1]}`).toBe(false);
});

test('every word of the list is a sentence of the ear, none is there twice, forty or so fit in two minutes', () => {
  const { labels } = shippedNet();
  const sentences = grammar(labels);
  for (const text of wordsToSay) {
    const state = text
      .split(' ')
      .reduce((at, word) => (at < 0 ? at : (sentences.next[at]?.[labels.indexOf(word)] ?? -1)), 0);
    expect(sentences.accepts[state], text).toBe(true);
  }
  expect(new Set(wordsToSay).size).toBe(wordsToSay.length);
  expect(wordsToSay.length).toBeGreaterThanOrEqual(38);
  expect(wordsToSay.length).toBeLessThanOrEqual(42);
});

test('every -teen and -ty and every digit is among the words, and no word asked for is a wish', () => {
  const all = wordsToSay.join(' ').split(' ');
  for (const stem of ['thir', 'four', 'fif', 'six', 'seven', 'eigh', 'nine']) {
    expect(all).toContain(`${stem}teen`);
    expect(all).toContain(stem === 'four' ? 'forty' : `${stem}ty`);
  }
  for (const digit of 'one two three four five six seven eight nine'.split(' ')) expect(all).toContain(digit);
  for (const wish of Object.keys(wishes)) expect(wordsToSay).not.toContain(wish);
});

test('one word after the other, each with its call, until all are said', () => {
  const round = after(beginRound(['five', 'mark']), heard('five'), heard('mark'));
  expect(round.ended).toBe(true);
  expect(wordOf(round)).toBeNull();
  expect(callsOf(round).map(({ text }) => text)).toEqual(['five', 'mark']);
});

test('a word that the ear does not know for sure is kept: such words are what it has to learn', () => {
  const { round, step } = afterSound(beginRound(['fifteen', 'mark']), sound, heard('fifty', 0.6));
  expect(step).toBe('kept');
  expect(callsOf(round)).toMatchObject([{ text: 'fifteen' }]);
});

test('a word surely heard as another is asked for once more; a slip of the tongue goes', () => {
  const first = afterSound(beginRound(['fifteen', 'mark']), sound, heard('fifty'));
  expect(first.step).toBe('once-more');
  expect(wordOf(first.round)).toBe('fifteen');
  expect(callsOf(first.round)).toEqual([]);
  const second = afterSound(first.round, sound, heard('fifteen'));
  expect(second.step).toBe('kept');
  expect(callsOf(second.round)).toHaveLength(1);
});

test('a word surely heard as another twice is how this voice says it: both calls are kept', () => {
  const round = after(beginRound(['fifteen', 'mark']), heard('fifty'), heard('fifty'));
  expect(callsOf(round)).toHaveLength(2);
  expect(callsOf(round).every(({ text }) => text === 'fifteen')).toBe(true);
  expect(wordOf(round)).toBe('mark');
});

test('a sound in which the ear finds no words at all is asked for once more', () => {
  const round = beginRound(['five', 'six']);
  expect(afterSound(round, sound, []).step).toBe('once-more');
  expect(wordOf(after(round, [], heard('five')))).toBe('six');
  expect(callsOf(after(round, [], heard('five')))).toHaveLength(1);
  expect(callsOf(after(round, [], []))).toHaveLength(2);
});

test('by voice: leave out, back, stand by, go ahead, stop', () => {
  const round = beginRound(['five', 'six', 'seven']);
  expect(wordOf(after(round, heard('next step')))).toBe('six');
  expect(wordOf(after(round, heard('five'), heard('previous step')))).toBe('five');
  expect(callsOf(after(round, heard('five'), heard('previous step')))).toEqual([]);
  const resting = after(round, heard('stand by'));
  expect(resting.paused).toBe(true);
  // While it stands by, talk in the room is not the word.
  expect(after(resting, heard('five'))).toEqual(resting);
  expect(after(resting, heard('next step'))).toEqual(resting);
  expect(after(resting, heard('go ahead')).paused).toBe(false);
  expect(after(round, heard('five'), heard('end run')).ended).toBe(true);
});

test('an unsure wish is taken for the word asked for', () => {
  expect(afterSound(beginRound(['five', 'six']), sound, heard('stand by', 0.6)).step).toBe('kept');
});

test('whatever is said and pressed, calls stand under words of the list and the round stays within it', () => {
  const event = fc.oneof(
    fc.record({
      text: fc.constantFrom('five', 'six', 'seven', ...Object.keys(wishes)),
      p: fc.double({ min: 0, max: 1, noNaN: true }),
    }),
    fc.constantFrom<Wish>('skipped', 'back', 'repeat', 'paused', 'going-on'),
  );
  fc.assert(
    fc.property(fc.array(event), (events) => {
      let round = beginRound(['five', 'six', 'seven']);
      for (const one of events) {
        round =
          typeof one === 'string' ? afterWish(round, one) : afterSound(round, sound, heard(one.text, one.p)).round;
        expect(round.at).toBeGreaterThanOrEqual(0);
        expect(round.at).toBeLessThanOrEqual(3);
        expect(round.ended || wordOf(round) !== null).toBe(true);
        round.kept.forEach((calls, index) => {
          expect(calls.length).toBeLessThanOrEqual(2);
          for (const call of calls) expect(call.text).toBe(round.words[index]);
        });
      }
    }),
  );
});
