import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { HeardCall } from '../../src/hearing/pairing.ts';
import { utterance, words } from './heard.ts';
import { makePairing, type PairingOver } from './pairing-over.ts';

const waitMs = 2600;

function pairingWith(wait = waitMs): {
  pairing: PairingOver;
  calls: Map<string, HeardCall>;
  take: (calls: readonly HeardCall[]) => void;
} {
  const calls = new Map<string, HeardCall>();
  const take = (changed: readonly HeardCall[]): void => {
    for (const call of changed) calls.set(call.id, call);
  };
  return {
    pairing: makePairing(() => wait),
    calls,
    take,
  };
}

const textsOf = (call: HeardCall | undefined): string[] =>
  call?.heard.map(({ alternatives }) => alternatives[0]?.text ?? '') ?? [];

describe('words and sound', () => {
  test('words after the end of their sound: one call, timed by the sound, settled by the final answer', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('a', 1000), true, 2150));
    expect(calls.get('a')).toMatchObject({ timing: 'sound', onsetMs: 1000, settled: false, heard: [] });
    take(pairing.heard(words('1:0', 'twenty', 1700, { final: false }), 2200));
    expect(calls.get('a')?.settled).toBe(false);
    take(pairing.heard(words('1:0', '25', 1700), 2600));
    expect(calls.get('a')).toMatchObject({ settled: true, uOnsetMs: 10 });
    expect(textsOf(calls.get('a'))).toEqual(['25']);
    expect(calls.size).toBe(1);
  });

  test('words before the end of their sound is known wait for it', () => {
    const { pairing, calls, take } = pairingWith();
    pairing.sounding(1000);
    take(pairing.heard(words('1:0', '25', 1500), 1600));
    expect(calls.size).toBe(0);
    take(pairing.tick(2000));
    take(pairing.utterance(utterance('a', 1000, 900), true, 2250));
    expect([...calls.keys()]).toEqual(['a']);
    expect(textsOf(calls.get('a'))).toEqual(['25']);
  });

  test('a sound without words is settled without them when the wait is over, and not before', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('a', 1000), true, 2150));
    take(pairing.tick(1800 + waitMs - 1));
    expect(calls.get('a')?.settled).toBe(false);
    expect(pairing.nextMs()).toBe(1800 + waitMs);
    take(pairing.tick(1800 + waitMs));
    expect(calls.get('a')).toMatchObject({ settled: true, heard: [] });
    expect(pairing.nextMs()).toBeNull();
  });

  test('with no ear at all a sound is settled at once', () => {
    const { pairing, calls, take } = pairingWith(0);
    take(pairing.utterance(utterance('a', 1000), true, 2150));
    expect(calls.get('a')).toMatchObject({ settled: true, heard: [] });
  });

  test('words that come after all change a call that was settled without them', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('a', 1000), true, 2150));
    take(pairing.tick(5000));
    take(pairing.heard(words('1:0', '25', 5200), 5200));
    expect(textsOf(calls.get('a'))).toEqual(['25']);
    expect(calls.size).toBe(1);
  });

  test('a sound unlike speech is no call, unless words claim it', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('thud', 1000, 200), false, 1550));
    take(pairing.tick(9000));
    expect(calls.size).toBe(0);
    take(pairing.utterance(utterance('hoarse', 10_000, 700), false, 11_050));
    take(pairing.heard(words('1:0', '27', 10_700), 11_100));
    expect(textsOf(calls.get('hoarse'))).toEqual(['27']);
  });

  test('words without any sound are a call of their own, earlier than the words by the lag and less certain', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.heard(words('1:0', '25', 5000), 5400));
    take(pairing.tick(6500));
    const [call] = [...calls.values()];
    expect(call).toMatchObject({ timing: 'words', endMs: null, utterance: null, settled: true });
    expect(call?.onsetMs).toBe(4300);
    expect(call?.uOnsetMs).toBeGreaterThanOrEqual(300);
  });

  test('the lag of words is learned, shown, and used where there is no sound', () => {
    const { pairing, calls, take } = pairingWith();
    for (let call = 0; call < 8; call++) {
      const onset = 10_000 * (call + 1);
      take(pairing.utterance(utterance(`u${call}`, onset), true, onset + 1150));
      take(pairing.heard(words(`1:${call}`, '25', onset + 1200 + (call % 3) * 20), onset + 1700));
    }
    expect(pairing.lag()).toMatchObject({ pairs: 8 });
    expect(pairing.lag().medianMs).toBeCloseTo(1220, -1);
    take(pairing.heard(words('2:0', '41', 200_000), 200_300));
    take(pairing.tick(202_000));
    const made = [...calls.values()].find(({ timing }) => timing === 'words');
    expect(made?.onsetMs).toBeCloseTo(200_000 - 1220, -1);
    expect(made?.uOnsetMs).toBeLessThan(300);
  });

  test('two calls in quick succession, words for both late: each gets its own', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('a', 1000, 700), true, 2050));
    take(pairing.utterance(utterance('b', 2200, 700), true, 3250));
    take(pairing.heard(words('1:0', '25', 1900), 3300));
    take(pairing.heard(words('1:1', '27', 3100), 3600));
    expect(textsOf(calls.get('a'))).toEqual(['25']);
    expect(textsOf(calls.get('b'))).toEqual(['27']);
  });

  test('the first of two calls has no words: the words of the second stay with the second', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('a', 1000, 700), true, 2050));
    take(pairing.utterance(utterance('b', 3200, 700), true, 4250));
    take(pairing.heard(words('1:0', '27', 3900), 4400));
    expect(textsOf(calls.get('a'))).toEqual([]);
    expect(textsOf(calls.get('b'))).toEqual(['27']);
    take(pairing.tick(4000));
    expect(calls.get('a')?.settled).toBe(false);
    take(pairing.tick(1700 + waitMs + 1));
    expect(calls.get('a')?.settled).toBe(true);
  });

  test('two ears about one sound: one call with the words of both', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('a', 1000), true, 2150));
    take(pairing.heard(words('a', 'twenty five', 2250, { ear: 'own', utterance: 'a' }), 2250));
    take(pairing.heard(words('1:0', '25', 1800), 2700));
    expect(textsOf(calls.get('a')).sort()).toEqual(['25', 'twenty five']);
    expect(calls.size).toBe(1);
  });

  test('words taken back leave the call without them', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.utterance(utterance('a', 1000), true, 2150));
    take(pairing.heard(words('1:0', 'six', 1800, { final: false }), 2200));
    expect(textsOf(calls.get('a'))).toEqual(['six']);
    take(pairing.heard(words('1:0', '', 1800, { alternatives: [] }), 2400));
    expect(textsOf(calls.get('a'))).toEqual([]);
    take(pairing.tick(20_000));
    expect(calls.get('a')).toMatchObject({ settled: true, heard: [] });
  });

  test('words taken back before they found a sound never become a call', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.heard(words('1:0', 'six', 1800, { final: false }), 1800));
    take(pairing.heard(words('1:0', '', 1800, { alternatives: [] }), 2000));
    take(pairing.tick(20_000));
    expect(calls.size).toBe(0);
  });

  test('speech that an ear noticed and made nothing of is a call without words', () => {
    const { pairing, calls, take } = pairingWith();
    take(pairing.unheard(9000, 9000));
    const [call] = [...calls.values()];
    expect(call).toMatchObject({ timing: 'words', heard: [], settled: true });
    expect(call?.uOnsetMs).toBeGreaterThanOrEqual(1000);
  });
});

/**
 * A run of calls; each is heard as sound, as words, as both; words late by a lag of its
 * own, sound known 0.35 s after its end.
 */
const runWith = (sound: fc.Arbitrary<boolean>, shortestGapMs: number) =>
  fc.array(
    fc.record({
      gap: fc.integer({ min: shortestGapMs, max: 9000 }),
      length: fc.integer({ min: 250, max: 1100 }),
      lag: fc.integer({ min: 450, max: 1300 }),
      final: fc.integer({ min: 100, max: 900 }),
      sound,
      words: fc.boolean(),
    }),
    { minLength: 1, maxLength: 14 },
  );

test.each([
  { name: 'with a microphone', sound: fc.constant(true), gapMs: 2500 },
  { name: 'with sound now and then', sound: fc.boolean(), gapMs: 1500 },
])(
  'in any run $name: each utterance is one call, each phrase is in one call, everything is settled in the end',
  ({ name, sound, gapMs }) => {
    fc.assert(
      fc.property(runWith(sound, gapMs), (said) => {
        const { pairing, calls, take } = pairingWith();
        const events: { at: number; act: (now: number) => void }[] = [];
        let onset = 2000;
        for (const [index, one] of said.entries()) {
          onset += one.gap;
          const at = onset;
          if (one.sound) {
            events.push({ at: at + 80, act: () => pairing.sounding(at) });
            events.push({
              at: at + one.length + 350,
              act: (now) => take(pairing.utterance(utterance(`u${index}`, at, one.length), true, now)),
            });
          }
          if (one.words) {
            const first = at + one.lag;
            events.push({
              at: first,
              act: (now) => take(pairing.heard(words(`1:${index}`, 'x', first, { final: false }), now)),
            });
            events.push({
              at: first + one.final,
              act: (now) => take(pairing.heard(words(`1:${index}`, `call ${index}`, first), now)),
            });
          }
        }
        events.sort((a, b) => a.at - b.at);
        let now = 0;
        for (const { at, act } of events) {
          for (let due = pairing.nextMs(); due !== null && due <= at && due > now; due = pairing.nextMs()) {
            now = due;
            take(pairing.tick(now));
          }
          now = at;
          act(now);
        }
        take(pairing.tick(now + 20_000));
        take(pairing.flush(now + 20_001));
        const all = [...calls.values()];
        expect(all.every(({ settled }) => settled)).toBe(true);
        for (const [index, one] of said.entries()) {
          if (one.sound) expect(all.filter(({ utterance: sound }) => sound?.id === `u${index}`)).toHaveLength(1);
          const withWords = all.filter((call) => textsOf(call).includes(`call ${index}`));
          expect(withWords).toHaveLength(one.words ? 1 : 0);
          // Where calls are no closer than 2.5 s, words go to the sound that they are of.
          if (name === 'with a microphone' && one.words) expect(withWords[0]?.id).toBe(`u${index}`);
        }
      }),
      { numRuns: 300 },
    );
  },
);
