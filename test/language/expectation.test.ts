import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { candidates, classOf } from '../../src/language/candidates.ts';
import { confusability, partners } from '../../src/language/confusability.ts';
import { isEcho } from '../../src/language/echo.ts';
import { type Context, type Judgement, judge, propose } from '../../src/language/expectation.ts';
import { type RunCall, rejudge } from '../../src/language/rejudge.ts';
import { type Saying, sentence, spellOut } from '../../src/language/spoken.ts';
import { predictFrom } from '../../src/language/trend.ts';
import { continues, understand } from '../../src/language/understand.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';
import type { Meaning } from '../../src/log/meaning.ts';
import { the } from '../the.ts';

const frame = { stepMl: 2, startMl: null, capacityMl: 100, divisionMl: 1 };

function context(earlier: readonly string[], more: Partial<Context> = {}): Context {
  return {
    frame,
    earlier: earlier.map((value, k) => ({ timeS: 20 * k, value, settled: false })),
    prediction: predictFrom(
      earlier.map((value, k) => ({ timeS: 20 * k, volumeMl: Number(value) })),
      20 * earlier.length,
    ),
    runOpen: true,
    paused: false,
    question: null,
    ...more,
  };
}

const heard = (...texts: string[]) =>
  understand(
    texts.map((text) => ({ text, p: null, ear: 'browser' })),
    en,
  );
const hear = (texts: readonly string[], where: Context): Judgement => judge(heard(...texts), where, en);
const values = (meaning: Meaning | null) =>
  meaning?.kind === 'reading' ? meaning.values.map(({ value }) => value) : null;

describe('one call', () => {
  test('the mark that was due is taken', () => {
    expect(hear(['27'], context(['23', '25']))).toMatchObject({ outcome: 'taken' });
    expect(hear(['Twenty-seven.'], context(['25'])).outcome).toBe('taken');
  });

  test('fifty where fifteen was due is doubtful: best guess fifteen, fifty kept, and asked digit by digit', () => {
    const judgement = hear(['50'], context(['11', '13']));
    expect(judgement.outcome).toBe('doubtful');
    expect(values(judgement.meaning)).toEqual(['15']);
    expect(judgement.rivals.map(({ meaning }) => values(meaning))).toContainEqual(['50']);
    expect(judgement.ask).toEqual({ question: 'one five or five zero?', choices: ['15', '50'] });
  });

  test('the right value among the alternatives is found', () => {
    const judgement = hear(['50', '15'], context(['11', '13']));
    expect(judgement.outcome).toBe('taken');
    expect(values(judgement.meaning)).toEqual(['15']);
  });

  test('a clear value off the trend is not corrected to it', () => {
    const judgement = hear(['33'], context(['21', '23', '25']));
    expect(values(judgement.meaning)).toEqual(['33']);
    expect(judgement.reason).toContain('33');
  });

  test.each([0.9, 0, 1, null])(
    'a clear value that a surge can have reached is taken, on a mark or not; beyond that it is doubted, never replaced (confidence %s)',
    (p) => {
      const steady = ['14', '16', '18', '20', '22'];
      for (const said of ['23', '25', '25.0', '24.5', '25.5', '26', '27', '28', '31', '63']) {
        const understood = understand([{ text: said, p, ear: 'browser' }], en);
        const judgement = judge(understood, context(steady), en);
        expect(judgement.outcome, said).toBe(Number(said) > 33 ? 'doubtful' : 'taken');
        expect(values(judgement.meaning), said).toEqual([said]);
        expect(
          judgement.rivals.map(({ meaning }) => Number(values(meaning)?.[0])),
          said,
        ).toContain(24);
      }
    },
  );

  test('a first call is taken at any volume the cylinder shows, with a baseline before it or without', () => {
    for (const said of ['63', '41', '8', '31.5', '0.5', '59.2'])
      for (const baselineMl of [undefined, Math.floor(Number(said)) - 1]) {
        const frame = { stepMl: 2, startMl: null, capacityMl: 100, divisionMl: 1 };
        const judgement = judge(
          heard(said),
          context([], { frame: baselineMl === undefined ? frame : { ...frame, baselineMl } }),
          en,
        );
        expect([said, judgement.outcome, values(judgement.meaning)]).toEqual([said, 'taken', [said]]);
      }
  });

  test('one millilitre further, called when the water was there, is believed more than the mark', () => {
    const at = (timeS: number) => {
      const earlier = ['14', '16', '18', '20', '22'].map((value, k) => ({ timeS: 20 * k, value, settled: false }));
      const points = earlier.map(({ timeS: t, value }) => ({ timeS: t, volumeMl: Number(value) }));
      return judge(heard('25'), context([], { earlier, prediction: predictFrom(points, timeS) }), en).p;
    };
    expect(at(110)).toBeGreaterThan(0.5);
    expect(at(100)).toBeLessThan(0.3);
  });

  test('two ears that agree off the trend are believed', () => {
    const both = understand(
      [
        { text: '33', p: null, ear: 'browser' },
        { text: 'thirty three', p: 0.9, ear: 'own' },
      ],
      en,
    );
    expect(judge(both, context(['21', '23', '25']), en)).toMatchObject({ outcome: 'taken' });
  });

  test('a second ear that disagrees lowers the belief', () => {
    const one = judge(heard('27'), context([]), en).p;
    const two = judge(
      understand(
        [
          { text: '27', p: null, ear: 'browser' },
          { text: '37', p: 0.9, ear: 'own' },
        ],
        en,
      ),
      context([]),
      en,
    ).p;
    expect(two).toBeLessThan(one);
  });

  test('probabilities of the ear of our own are believed as they are, also a single one; those of one meaning are summed', () => {
    const own = (...best: [string, number][]) =>
      judge(
        understand(
          best.map(([text, p]) => ({ text, p, ear: 'own' })),
          en,
        ),
        context([]),
        en,
      );
    expect(own(['twenty seven', 0.95]).outcome).toBe('taken');
    expect(own(['twenty seven', 0.45]).outcome).not.toBe('taken');
    const split = own(['two seven', 0.4], ['thirty seven', 0.45], ['twenty seven', 0.1], ['27', 0.03]);
    expect(values(split.meaning)).toEqual(['27']);
  });

  test('what the ear of our own holds for something else is no sure reading, though it would be the mark that is due', () => {
    const own = (p: number) =>
      judge(understand([{ text: 'twenty four', p, ear: 'own' }], en), context(['18', '20', '22']), en).outcome;
    expect(own(0.9)).toBe('taken');
    expect(own(0.2)).toBe('doubtful');
    expect(own(0.05)).not.toBe('taken');
  });

  describe('a bare command that sounds like a number', () => {
    const own = (where: Context, ...best: [string, number][]): Judgement =>
      judge(
        understand(
          best.map(([text, p]) => ({ text, p, ear: 'own' })),
          en,
        ),
        where,
        en,
      );
    const meant = (judgement: Judgement) => judgement.rivals.map(({ meaning }) => values(meaning)?.[0] ?? meaning);
    const due: Record<string, (value: string) => Context> = {
      'the next mark': (value) => context([String(Number(value) - 4), String(Number(value) - 2)]),
      'the first reading of a run': () => context([]),
    };
    // As the ear of the page heard synthetic voices in noise: the command first, what was said behind it.
    const sounds: [string, string, number, string, number][] = [
      ['38', 'spill', 0.36, 'three eight', 0.3],
      ['28', 'spill', 0.4125, 'two eight', 0.37],
      ['2', 'spill', 0.3479, 'two', 0.2044],
      ['3', 'leak', 0.3, 'three', 0.26],
      ['9', 'no', 0.34, 'nine', 0.25],
    ];

    test('loses where it was not clear and the number is the next mark', () => {
      for (const [value, command, p, number, pNumber] of sounds) {
        const judgement = own(the(due['the next mark'])(value), [command, p], [number, pNumber]);
        expect(judgement.outcome, command).toBe('doubtful');
        expect(values(judgement.meaning), command).toEqual([value]);
        // The ear held the command for likelier: it stays beside the number.
        expect(judgement.rivals[0]?.meaning.kind, command).not.toBe('reading');
      }
    });

    test('is not acted upon where the number may be the first of a run, and the number is the first one kept', () => {
      for (const [value, command, p, number, pNumber] of sounds) {
        const { outcome, meaning, rivals } = own(context([]), [command, p], [number, pNumber]);
        expect(outcome, command).toMatch(/doubtful|unresolved/);
        const numbers = [meaning, ...rivals.map((rival) => rival.meaning)].flatMap((one) => values(one) ?? []);
        expect(numbers[0], command).toBe(value);
      }
    });

    test('a mark or two further on it is not acted upon, and the number is kept beside it', () => {
      const judgement = own(context(['28', '30', '32']), ['spill', 0.45], ['three eight', 0.35]);
      expect(judgement.outcome).toBe('unresolved');
      expect(meant(judgement)).toContain('38');
    });

    test.each(['no', 'disregard', 'leak', 'spill', 'mark', 'end run'])(
      'a clear “%s” is carried out, whatever was due, and the number is kept beside it',
      (command) => {
        for (const [p, pNumber] of [
          [0.5, 0.08],
          [0.7, 0.1],
          [0.95, 0.02],
        ] as const)
          for (const name of Object.keys(due)) {
            const judgement = own(the(due[name])('38'), [command, p], ['thirty eight', pNumber]);
            expect(judgement.outcome, `${p} ${name}`).toBe('command');
            expect(meant(judgement)[0], `${p} ${name}`).toBe('38');
          }
      },
    );

    test('likelier by itself, but not by much, it waits beside the number that is due', () => {
      // As the ear of the page hears "thirty" of a voice in noise.
      for (const [p, pNumber] of [
        [0.544, 0.374],
        [0.727, 0.159],
      ] as const) {
        const judgement = own(the(due['the next mark'])('30'), ['swirling', p], ['thirty', pNumber]);
        expect(judgement.outcome).toBe('doubtful');
        expect(values(judgement.meaning)).toEqual(['30']);
        expect(judgement.rivals[0]?.meaning).toMatchObject({ kind: 'happening' });
      }
    });

    test('with no number beside it, an unclear one is carried out as before', () => {
      for (const command of ['no', 'disregard', 'leak'])
        expect(own(context(['34', '36']), [command, 0.4]).outcome, command).toBe('command');
    });

    test('what a browser wrote for it is no clear command where the number that was due stands behind it', () => {
      const judgement = hear(['spell', '38'], context(['34', '36']));
      expect(judgement.outcome).toBe('doubtful');
      expect(values(judgement.meaning)).toEqual(['38']);
      expect(hear(['spill', '38'], context(['34', '36'])).outcome).toBe('command');
    });
  });

  test('two ears: agreement raises, disagreement lowers, whichever answered first', () => {
    const own = { text: 'twenty five', p: 0.8, ear: 'own' };
    const same = { text: '25', p: 0.9, ear: 'browser' };
    const other = { text: '35', p: 0.9, ear: 'browser' };
    const at = context([]);
    const p = (...list: (typeof own)[]) => judge(understand(list, en), at, en);
    const beliefIn = (value: string, judgement: Judgement) =>
      values(judgement.meaning)?.[0] === value
        ? judgement.p
        : (judgement.rivals.find((rival) => values(rival.meaning)?.[0] === value)?.p ?? 0);
    expect(beliefIn('25', p(own, same))).toBeGreaterThan(beliefIn('25', p(own)));
    expect(beliefIn('25', p(own, other))).toBeLessThan(beliefIn('25', p(own)));
    expect(p(own, other)).toMatchObject({ outcome: 'doubtful' });
    for (const [a, b] of [
      [own, same],
      [own, other],
    ] as const) {
      expect(values(p(a, b).meaning)).toEqual(values(p(b, a).meaning));
      expect(p(a, b).p).toBeCloseTo(p(b, a).p, 9);
    }
  });

  test('two readings written as one number are split where the marks say so', () => {
    expect(values(hear(['2527'], context(['21', '23'])).meaning)).toEqual(['25', '27']);
    expect(values(hear(['25.27'], context(['21', '23'], { sounds: 2 })).meaning)).toEqual(['25', '27']);
    expect(values(hear(['25 27'], context(['21', '23'])).meaning)).toEqual(['25', '27']);
  });

  test('a reading beyond the cylinder is never taken', () => {
    expect(hear(['325'], context(['23', '25'])).outcome).not.toBe('taken');
  });

  test('formats that engines invent are not taken on their own', () => {
    const wide = { ...frame, stepMl: 2, capacityMl: 250 };
    const judgement = hear(['1:30'], context(['126', '128'], { frame: wide }));
    expect(judgement.outcome).toBe('doubtful');
    expect(values(judgement.meaning)).toEqual(['130']);
  });

  test('decimals stay as they were said', () => {
    expect(values(hear(['27.0'], context(['23.0', '25.0'])).meaning)).toEqual(['27.0']);
  });

  test('standing by, nothing is taken, and what was heard is kept as a rival', () => {
    const judgement = hear(['27'], context(['25'], { paused: true }));
    expect(judgement).toMatchObject({ outcome: 'not-a-reading', meaning: null });
    expect(values(the(judgement.rivals[0]).meaning)).toEqual(['27']);
  });

  test('a bare number answers the question that was just asked', () => {
    const judgement = hear(['15'], context(['13', '15'], { question: { choices: ['15', '50'] } }));
    expect(judgement).toMatchObject({ outcome: 'command', meaning: { kind: 'settle', value: '15' } });
    expect(hear(['17'], context(['13', '15'], { question: { choices: ['15', '50'] } })).outcome).toBe('taken');
  });

  test('words that are no number leave an unresolved call, talk does not', () => {
    expect(hear(['twenty vibes'], context(['25'])).outcome).toBe('unresolved');
    expect(hear(['we should have taken the larger flask'], context(['25'])).outcome).toBe('not-a-reading');
  });

  test('a value without millilitres is not taken', () => {
    expect(hear(['27 grams'], context(['25'])).outcome).toBe('doubtful');
  });

  test('start run without a number takes the next label', () => {
    expect(hear(['start run'], context([], { runOpen: false, nextRun: '2' }))).toMatchObject({
      outcome: 'command',
      meaning: { kind: 'start-run', run: '2' },
    });
    expect(hear(['start run'], context([], { runOpen: false })).outcome).toBe('unresolved');
  });

  test('a call without words is proposed the next mark', () => {
    expect(values(the(propose(context(['23', '25']))[0]).meaning)).toEqual(['27']);
  });

  test('an unresolved call in between has used up its mark', () => {
    const where = context(['25']);
    const judgement = hear(['29'], {
      ...where,
      earlier: [...where.earlier, { timeS: 20, value: null, settled: false }],
    });
    expect(judgement.outcome).toBe('taken');
  });

  test('whatever is heard: beliefs are probabilities, and a decision always comes with its reason', () => {
    const text = fc.oneof(
      fc.integer({ min: 0, max: 2000 }).map(String),
      fc.string({ maxLength: 30 }),
      fc.constantFrom('twenty five', '1:30', '2527', 'mark', 'correction 25', '25 point', '', 'to', '$2.50'),
    );
    fc.assert(
      fc.property(
        fc.array(text, { minLength: 1, maxLength: 5 }),
        fc.array(fc.integer({ min: 0, max: 99 }), { maxLength: 5 }),
        (texts, before) => {
          const judgement = hear(texts, context(before.map(String)));
          const all = [judgement.p, ...judgement.rivals.map(({ p }) => p)];
          expect(all.every((p) => p >= 0 && p <= 1 + 1e-9)).toBe(true);
          expect(judgement.reason).not.toBe('');
          if (judgement.outcome === 'taken' || judgement.outcome === 'doubtful')
            expect(judgement.meaning?.kind).toBe('reading');
          if (judgement.outcome === 'unresolved' || judgement.outcome === 'not-a-reading')
            expect(judgement.meaning).toBeNull();
        },
      ),
    );
  });
});

describe('judging again', () => {
  const call = (k: number, texts: readonly string[], more: Partial<RunCall> = {}): RunCall => {
    const understood = texts.length > 0 ? heard(...texts) : null;
    const first = understood?.candidates[0]?.candidate;
    return {
      id: String(k),
      timeS: 20 * k,
      understood,
      settled: null,
      marked: false,
      current: first?.kind === 'reading' ? { values: first.values, doubtful: false } : null,
      ...more,
    };
  };

  test('a misheard start shows when the next marks come', () => {
    const calls = [call(0, ['50']), call(1, ['17']), call(2, ['19'])];
    const changes = rejudge(calls, frame, en);
    expect(changes.map(({ id }) => id)).toEqual(['0']);
    expect(values(the(changes[0]).judgement.meaning)).toEqual(['15']);
    expect(the(changes[0]).judgement.reason).toContain('50');
  });

  test('a clear value between the marks stays as it was said, in doubt, whatever the readings around it', () => {
    const said = ['14', '16', '18', '20', '22', '25', '26', '28', '30'];
    const calls = said.map((value, k) => call(k, [value], { current: { values: [value], doubtful: value === '25' } }));
    expect(rejudge(calls, frame, en)).toEqual([]);
    // One that the readings around it rule out is changed, in doubt; where nothing heard is possible, it is confirmed.
    const high = said.map((value, k) =>
      call(k, [value === '25' ? '80' : value], {
        current: { values: [value === '25' ? '80' : value], doubtful: value === '25' },
      }),
    );
    expect(
      rejudge(high, frame, en).map(({ id, judgement }) => [id, judgement.outcome, values(judgement.meaning)]),
    ).toEqual([['5', 'doubtful', ['24']]]);
  });

  test('what a person settled is never touched', () => {
    const calls = [call(0, ['50'], { settled: '50' }), call(1, ['17']), call(2, ['19'])];
    expect(rejudge(calls, frame, en).some(({ id }) => id === '0')).toBe(false);
  });

  test('a true surge stays', () => {
    const said = ['21', '23', '25', '33', '35', '37'];
    expect(
      rejudge(
        said.map((value, k) => call(k, [value])),
        frame,
        en,
      ),
    ).toEqual([]);
  });

  test('a true spill stays', () => {
    const said = ['21', '23', '25', '21', '23', '25'];
    expect(
      rejudge(
        said.map((value, k) => call(k, [value])),
        frame,
        en,
      ),
    ).toEqual([]);
  });

  test('a doubt is lifted by the marks around it', () => {
    const calls = ['11', '13', '15', '17', '19'].map((value, k) =>
      call(k, [value], value === '15' ? { current: { values: ['15'], doubtful: true } } : {}),
    );
    expect(rejudge(calls, frame, en)).toMatchObject([{ id: '2', judgement: { outcome: 'taken' } }]);
  });

  test('a run without trouble is never changed, and judging twice changes nothing more', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 40 }),
        fc.array(fc.integer({ min: 0, max: 12 }), { maxLength: 3 }),
        (start, wrong) => {
          const calls = Array.from({ length: 11 }, (_, k) =>
            call(k, [String(wrong.includes(k) ? 97 - k : start + 2 * k)]),
          );
          const changes = rejudge(calls, frame, en);
          if (wrong.length === 0) expect(changes).toEqual([]);
          const after = calls.map((one) => {
            const change = changes.find(({ id }) => id === one.id);
            if (!change) return one;
            return {
              ...one,
              current: {
                values: the(values(change.judgement.meaning)),
                doubtful: change.judgement.outcome === 'doubtful',
              },
            };
          });
          const again = rejudge(after, frame, en);
          for (const { judgement } of again) expect(values(judgement.meaning)).not.toBeNull();
          expect(again.length).toBeLessThanOrEqual(changes.length);
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe('what is said aloud', () => {
  const sayings: readonly Saying[] = ['15', '50', '25.0', '7', '100'].flatMap((value): Saying[] => [
    { kind: 'logged', value, doubtful: false },
    { kind: 'logged', value, doubtful: true },
    { kind: 'corrected', value },
    { kind: 'struck', value },
    { kind: 'latest', value, time: '2:05' },
    { kind: 'choice', choices: [value, '13'] },
    { kind: 'heard-fits', heard: value, fits: '13' },
    { kind: 'calling-every', stepMl: value },
    { kind: 'unresolved' },
  ]);

  test.each([en, de])('nothing said in $name is a reading or a procedure word when it is heard again', (words) => {
    for (const saying of sayings) {
      const said = sentence(saying, words);
      expect(classOf(candidates(said, words)), said).toBe('R');
      expect(isEcho(said, said, 300, words), said).toBe(true);
    }
  });

  test('digits are said apart where -teen and -ty are at stake', () => {
    expect(spellOut('15', en)).toBe('one five');
    expect(spellOut('50', en)).toBe('five zero');
    expect(spellOut('25', en)).toBe('twenty five');
    expect(spellOut('25.0', en, true, true)).toBe('two five point zero millilitres');
  });

  test('the own voice is told apart from a call by its words and the time since', () => {
    expect(isEcho('logged 25', 'logged two five', 700, en)).toBe(true);
    expect(isEcho('25', 'logged two five', 700, en)).toBe(true);
    expect(isEcho('25', 'logged two five', 2500, en)).toBe(false);
    // Who answers what the tool asked for says its own words again.
    const question = 'say yes to keep 8 or the right volume';
    expect([-200, 300].map((sinceMs) => isEcho('yes', question, sinceMs, en))).toEqual([true, false]);
    expect([300, 1200].map((sinceMs) => isEcho('done', 'then say done', sinceMs, en))).toEqual([true, false]);
    expect([-200, 300].map((sinceMs) => isEcho('8', question, sinceMs, en))).toEqual([true, false]);
    const start = 'call start run 1 and pour the last solution in';
    expect([-200, 300].map((sinceMs) => isEcho('start run one', start, sinceMs, en))).toEqual([true, false]);
    expect(isEcho('27', 'logged two five', 700, en)).toBe(false);
    expect(isEcho('disregard', 'logged two five', 700, en)).toBe(false);
  });
});

test('"25" and "point 5" within a second and a half are one number', () => {
  expect(continues('25', 'point 5', 900, en)).toBe('25.5');
  expect(continues('25', ' .5', 900, en)).toBe('25.5');
  expect(continues('25', 'point oh five', 900, en)).toBe('25.05');
  expect(continues('25', 'point 5', 1600, en)).toBeNull();
  expect(continues('25', '27', 900, en)).toBeNull();
  expect(continues('25.0', 'point 5', 900, en)).toBeNull();
  expect(continues('25', 'Komma 5', 900, de)).toBe('25.5');
});

test('"twenty" and within a second and a half "five" are one number', () => {
  expect(continues('twenty', 'five', 900, en)).toBe('25');
  expect(continues('20', '5', 900, en)).toBe('25');
  expect(continues('twenty five point', 'five', 900, en)).toBe('25.5');
  expect(continues('twenty', 'five', 1600, en)).toBeNull();
  expect(continues('twenty', 'twenty five', 900, en)).toBeNull();
  expect(continues('twenty', 'fifteen', 900, en)).toBeNull();
  expect(continues('twenty one', 'five', 900, en)).toBeNull();
  expect(continues('10', '2', 900, en)).toBeNull();
  expect(continues('disregard', 'five', 900, en)).toBeNull();
  expect(continues('fünf', 'und zwanzig', 900, de)).toBe('25');
  expect(continues('fünf', 'zwanzig', 900, de)).toBeNull();
});

describe('mishearing', () => {
  test.each(['13 30', '14 40', '15 50', '16 60', '17 70', '18 80', '19 90', '25 29', '35 39', '2 3', '7 11'])(
    '%s are partners, both ways',
    (pair) => {
      const [a, b] = pair.split(' ') as [string, string];
      expect(partners(a, en).map(({ value }) => value)).toContain(b);
      expect(partners(b, en).map(({ value }) => value)).toContain(a);
      expect(confusability(a, b, en).share).toBeGreaterThan(10 * confusability('26', '84', en).share);
    },
  );

  test('every partner has a reason and a share of at most 1', () => {
    for (let value = 0; value <= 120; value++)
      for (const { share, why } of partners(String(value), de)) {
        expect(share).toBeGreaterThan(0);
        expect(share).toBeLessThanOrEqual(1);
        expect(why).not.toBe('');
      }
  });
});

test('the trend withstands one wrong value and waits for three', () => {
  const points = [0, 1, 2, 3, 4, 5].map((k) => ({ timeS: 20 * k, volumeMl: 25 + 2 * k }));
  expect(predictFrom(points.slice(0, 2), 60)).toBeNull();
  expect(predictFrom(points, 120)?.volumeMl).toBeCloseTo(37, 6);
  const wrong = points.map((point, k) => (k === 3 ? { ...point, volumeMl: 90 } : point));
  expect(Math.abs(the(predictFrom(wrong, 120)).volumeMl - 37)).toBeLessThan(1);
});
