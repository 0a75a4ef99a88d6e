/** What must hold of understanding whatever is said: laws of probability, units, and words that change nothing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { candidates, classOf } from '../../src/language/candidates.ts';
import { type Frame, firstValue, nextValue } from '../../src/language/course.ts';
import { judge } from '../../src/language/expectation.ts';
import { leavesCurve } from '../../src/language/off-curve.ts';
import { type RunCall, rejudge } from '../../src/language/rejudge.ts';
import { type Point, predictFrom } from '../../src/language/trend.ts';
import { understand } from '../../src/language/understand.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';
import type { Words } from '../../src/language/words.ts';
import { the } from '../the.ts';

const languages = [en, de] as const;

/** The likeliest meaning: numbers, with a star where it must be asked about, or another kind. */
function read(text: string, words: Words): string {
  const [best] = candidates(text, words);
  if (!best) return '';
  if (best.kind !== 'reading') return best.kind;
  return `${best.values.join(' ')}${best.ask ? '*' : ''}`;
}

describe.each(languages)('numbers among words ($language)', (words) => {
  const said = (n: number): string => the(words.numbers.ones[n]?.[0]);

  test('each word for millilitres after a number leaves it as it was', () => {
    const sure = words.units.filter(({ unit, unsure }) => unit === 'mL' && !unsure);
    for (const unit of ['cm³', ...sure.flatMap(({ words: names }) => names)])
      for (const number of ['12', '42', said(12)])
        expect(read(`${number} ${unit}`, words), `${number} ${unit}`).toBe(read(number, words));
  });

  test('a hesitation before a number, or two, leaves it as it was', () => {
    const plain = words.fillers.filter(
      (filler) => /^[a-zäöü]{2,}$/.test(filler) && !words.numbers.and.includes(filler),
    );
    expect(plain.length).toBeGreaterThan(3);
    for (const filler of plain) {
      expect(read(`${filler} 42`, words), filler).toBe('42');
      expect(read(`${filler} ${plain[0]} 42`, words), filler).toBe('42');
    }
  });

  test('"about" and its like keep the number and are remarked on; a full stop that was spoken is nothing', () => {
    for (const phrase of words.qualifiers) {
      const [best] = candidates(`${phrase} 42`, words);
      expect(best?.kind === 'reading' && [best.values, best.reasons], phrase).toEqual([['42'], ['qualifier']]);
    }
    for (const stop of words.spokenStops) expect(read(`42 ${stop}`, words), stop).toBe('42');
  });

  test('a time of day is no reading', () => {
    for (const phrase of words.clock.before) expect(classOf(candidates(`${phrase} 10`, words)), phrase).toBe('R');
    for (const phrase of words.clock.after) expect(classOf(candidates(`10 ${phrase}`, words)), phrase).toBe('R');
  });

  test('several numbers of one breath are all there, whatever stands between them', () => {
    const signs = ['; ', ...words.between.map((word) => ` ${word} `)];
    for (const sign of signs)
      for (const numbers of [
        ['25', '27'],
        ['25', '27', '29'],
      ]) {
        const [best] = candidates(numbers.join(sign), words);
        expect(best?.kind === 'reading' && best.values, numbers.join(sign)).toEqual(numbers);
      }
    expect(read('25, 27', words)).toMatch(/^25 27/);
  });

  test('from so many numbers on it is no reading, and no number is read out of talk', () => {
    const many = (count: number): string => Array.from({ length: count }, (_, i) => `${20 + i}`).join(' ');
    expect(classOf(candidates(many(40), words))).toBe('R');
    expect(classOf(candidates(`${many(30)} ml`, words))).toBe('R');
  });

  test('a number with thousands grouped as the language writes them is that number', () => {
    const sign = words.decimalSign === '.' ? ',' : '.';
    for (const [text, value] of [
      [`1${sign}250${words.decimalSign}5`, '1250.5'],
      [`12${sign}345${words.decimalSign}5`, '12345.5'],
    ] as const)
      expect(
        candidates(text, words).some((one) => one.kind === 'reading' && one.values.join() === value),
        text,
      ).toBe(true);
  });

  test('figures and capitals, dots and spaces at the ends change nothing', () => {
    for (const text of [said(12), '42', '17.5'])
      for (const other of [` ${text} `, `${text}.`, text.toUpperCase(), `${text}!`])
        expect(read(other, words), other).toBe(read(text, words));
  });
});

describe('probabilities of the next value', () => {
  const glasses: Frame[] = [
    { stepMl: 2, startMl: null, capacityMl: 50, divisionMl: 1 },
    { stepMl: 5, startMl: 10, capacityMl: 100, divisionMl: 1 },
    { stepMl: null, startMl: null, capacityMl: 50, divisionMl: 0.5 },
    { stepMl: 2, startMl: null, anchorMl: 10, baselineMl: 9, capacityMl: 50, divisionMl: 1 },
  ];
  const graduations = ({ capacityMl, divisionMl }: Frame): number[] =>
    Array.from({ length: Math.round(capacityMl / divisionMl) + 1 }, (_, i) => i * divisionMl);

  test.each(glasses)('over all graduations they come to one or a little less (%j)', (frame) => {
    const all = graduations(frame);
    const sum = (of: (value: number) => number): number => all.reduce((total, value) => total + of(value), 0);
    expect(sum((value) => firstValue(value, frame))).toBeLessThan(1.08);
    expect(sum((value) => firstValue(value, frame))).toBeGreaterThan(0.25);
    for (const last of [10, 12, 24]) {
      const total = sum((value) => nextValue(value, last, 1, frame, null));
      expect(total, `after ${last}`).toBeLessThan(1.1);
      expect(total, `after ${last}`).toBeGreaterThan(0.3);
    }
  });

  test('beyond the glass and below zero nothing is read; two per cent over its end the eye may', () => {
    for (const frame of glasses) {
      for (const value of [-frame.divisionMl, frame.capacityMl * 1.03]) {
        expect(firstValue(value, frame)).toBeLessThan(1e-6);
        expect(nextValue(value, 20, 1, frame, null)).toBeLessThan(1e-6);
      }
      expect(firstValue(frame.capacityMl * 1.02, frame)).toBeGreaterThan(1e-6);
    }
  });

  test('the mark that is due is likelier than any other, and a mark passed over likelier than one gone back', () => {
    const frame = the(glasses[0]);
    const p = (value: number): number => nextValue(value, 20, 1, frame, null);
    for (const value of graduations(frame)) if (value !== 22) expect(p(value), `${value}`).toBeLessThan(p(22));
    expect(p(24)).toBeGreaterThan(p(18));
    expect(p(26)).toBeGreaterThan(p(16));
    expect(p(21)).toBeGreaterThan(p(20.5));
  });
});

describe('the trend of a run', () => {
  const points = fc
    .array(fc.tuple(fc.double({ min: 5, max: 40, noNaN: true }), fc.double({ min: 0.5, max: 4, noNaN: true })), {
      minLength: 3,
      maxLength: 9,
    })
    .map((gaps) => {
      let at: Point = { timeS: 0, volumeMl: 10 };
      return gaps.map(([s, ml]) => (at = { timeS: at.timeS + s, volumeMl: at.volumeMl + ml }));
    });

  test('units and the zero of time do not matter, and what is foreseen scales with the glass', () => {
    fc.assert(
      fc.property(points, fc.double({ min: 0, max: 60, noNaN: true }), (run, ahead) => {
        const at = the(run.at(-1)).timeS + ahead;
        const plain = the(predictFrom(run, at) ?? undefined);
        const other = the(
          predictFrom(
            run.map(({ timeS, volumeMl }) => ({ timeS: timeS / 60 + 7, volumeMl: volumeMl * 1000 })),
            at / 60 + 7,
          ) ?? undefined,
        );
        expect(other.volumeMl / 1000).toBeCloseTo(plain.volumeMl, 6);
        expect(Math.abs(other.uMl / 1000 - plain.uMl)).toBeLessThan(2e-6);
      }),
    );
  });

  test('a steady run is foreseen on its line, the less surely the further ahead', () => {
    const run = [0, 1, 2, 3, 4].map((i) => ({ timeS: 20 * i, volumeMl: 10 + 2 * i }));
    const [now, soon, late] = [80, 100, 200].map((timeS) => the(predictFrom(run, timeS) ?? undefined));
    expect([the(now).volumeMl, the(soon).volumeMl, the(late).volumeMl]).toEqual([18, 20, 30]);
    // 15 % of a step; beside it a fifth of what comes until then.
    expect(the(now).uMl).toBeCloseTo(0.3, 5);
    expect(the(soon).uMl).toBeCloseTo(Math.hypot(0.3, 0.4), 5);
    expect(the(late).uMl).toBeCloseTo(Math.hypot(0.3, 2.4), 5);
    expect(predictFrom(run.slice(0, 2), 40)).toBeNull();
    expect(
      predictFrom(
        [1, 1, 1].map((volumeMl) => ({ timeS: 5, volumeMl })),
        40,
      ),
    ).toBeNull();
  });
});

const frame = { stepMl: 2, startMl: null, capacityMl: 100, divisionMl: 1 };
const contextAfter = (earlier: readonly string[]) => {
  const run = earlier.map((value, k) => ({ timeS: 20 * k, volumeMl: Number(value) }));
  return {
    frame,
    earlier: earlier.map((value, k) => ({ timeS: 20 * k, value, settled: false })),
    prediction: predictFrom(run, 20 * earlier.length),
    runOpen: true,
    paused: false,
    question: null,
  };
};

test('a judgement does not hang on the order of what was heard', () => {
  const numbers = ['11', '13', '15', '50', '16', '25', '62'];
  fc.assert(
    fc.property(fc.subarray(numbers, { minLength: 2, maxLength: 3 }), (texts) => {
      const judged = (all: readonly string[]) => {
        const { outcome, meaning, ask } = judge(
          understand(
            all.map((text) => ({ text, p: 0.9 / (texts.indexOf(text) + 1), ear: 'own' })),
            en,
          ),
          contextAfter(['11', '13']),
          en,
        );
        const value = meaning?.kind === 'reading' ? meaning.values.map((one) => Number(one.value)) : meaning;
        return { outcome, value, asked: ask?.choices.map(Number) };
      };
      expect(judged([...texts].reverse())).toEqual(judged(texts));
    }),
    { numRuns: 60 },
  );
});

/** A call as a clear ear heard it and the log has it. */
const called = (i: number, text: string, doubtful = false): RunCall => ({
  id: String(i),
  timeS: 20 * i,
  understood: understand([{ text, p: 0.9, ear: 'own' }], en),
  settled: null,
  marked: false,
  current: { values: [text], doubtful },
});

test('a run that goes on as it began is left as it is; a doubt in it is lifted, and stays lifted', () => {
  const run = ['12', '14', '16', '18', '20', '22', '24'];
  expect(
    rejudge(
      run.map((text, i) => called(i, text)),
      frame,
      en,
    ),
  ).toEqual([]);
  const doubted = run.map((text, i) => called(i, text, i === 3));
  const changes = rejudge(doubted, frame, en);
  expect(changes.map(({ id, judgement: { outcome, meaning } }) => [id, outcome, meaning])).toEqual([
    ['3', 'taken', { kind: 'reading', values: [{ value: '18' }] }],
  ]);
  expect(rejudge([called(0, '12')], frame, en)).toEqual([]);
});

test('what a person settled is never judged again, and the calls beside it go by it', () => {
  const run = ['12', '14', '60', '18', '20'].map((text, i) => called(i, text));
  const settled = run.map((call, i) => (i === 2 ? { ...call, settled: '60' } : call));
  expect(rejudge(settled, frame, en).some(({ id }) => id === '2')).toBe(false);
  const changed = rejudge(run, frame, en).find(({ id }) => id === '2');
  expect(changed?.judgement.meaning).not.toEqual({ kind: 'reading', values: [{ value: '14' }] });
});

test('a shift of all times, and water that stood higher from the start, leave the curve as it was', () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -0.3, max: 0.3, noNaN: true }), { minLength: 7, maxLength: 7 }),
      fc.double({ min: -6, max: 6, noNaN: true }),
      (noise, off) => {
        const times = noise.map((n, i) => 20 * i + n);
        const levels = times.map((_, i) => 20 + 2 * i);
        const calls = (shift: number) =>
          times.map((timeS) => ({ timeS: timeS + shift, settled: null, current: { doubtful: false } }));
        const value = the(levels[3]) + off;
        const plain = leavesCurve(calls(0), levels, 3)(value);
        expect(leavesCurve(calls(5000), levels, 3)(value)).toBe(plain);
        expect(
          leavesCurve(
            calls(0),
            levels.map((ml) => ml + 30),
            3,
          )(value + 30),
        ).toBe(plain);
        // A quarter second at 0.1 mL/s, four times: less than half a millilitre is the caller's own scatter.
        if (Math.abs(off) < 0.05) expect(plain).toBe(false);
        if (Math.abs(off) > 2) expect(plain).toBe(true);
      },
    ),
  );
  const calls = [0, 20, 40, 60].map((timeS) => ({ timeS, settled: null, current: { doubtful: false } }));
  // Of the two latest calls nothing can be told, nor of one that is not there.
  for (const i of [2, 3, 4]) expect(leavesCurve(calls, [20, 22, 24, 26], i)(90)).toBe(false);
});
