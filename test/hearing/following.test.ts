import { expect, test } from 'vitest';
import type { EarCall, FollowingEar, Utterance } from '../../src/hearing/ear.ts';
import { makeFollowing } from '../../src/hearing/following.ts';
import { makeFakeClock } from './fake-clock.ts';

/** A following whose ear finds one call in the first stretch of sound, and the calls that it passes on. */
async function followingOne(found: Pick<EarCall, 'uOnsetS' | 'answer'>) {
  const calls: { readonly utterance: Utterance; readonly call: EarCall }[] = [];
  const ear: FollowingEar = {
    name: 'own',
    load: async () => undefined,
    follow: async ({ samples, sampleRate }) => ({
      calls: [
        {
          ...{ id: 'a', onsetS: 0.25, endS: 0.75, voice: true, nearness: null, clipped: false, onsetIndex: 250 },
          ...{ samples, sampleRate },
          ...found,
        },
      ],
      settledS: 1,
      hearingS: null,
      room: { callerDb: null, othersDb: null },
    }),
    dispose: () => undefined,
  };
  const nothing = (): void => undefined;
  const following = makeFollowing(makeFakeClock(), async () => ear, {
    call: (utterance, call) => calls.push({ utterance, call }),
    ...{ hearing: nothing, room: nothing, released: nothing, trouble: nothing, recovered: nothing, changed: nothing },
  });
  await following.open();
  return { following, calls };
}

test.for([
  [0, 10, 12],
  [24, 26, 26.83],
])(
  'an unsteady clock of the sound (u %i ms) makes the moments less certain',
  async ([uStartMs = 0, ofCall, ofBegin]) => {
    const begins = { laterMs: 40, uMs: 12 };
    const { following, calls } = await followingOne({
      uOnsetS: 0.01,
      answer: {
        best: [
          { text: 'four', p: 0.9 },
          { text: 'thirty four', p: 0.05, begins },
        ],
        speech: 1,
      },
    });
    following.sound({ samples: new Float32Array(1000), sampleRate: 1000, startMs: 5000, uStartMs }, false);
    await Promise.resolve();
    expect(calls).toHaveLength(1);
    expect(calls[0]?.utterance.onsetMs).toBe(5250);
    expect(calls[0]?.utterance.uOnsetMs).toBeCloseTo(ofCall ?? 0, 2);
    const [plain, other] = calls[0]?.call.answer.best ?? [];
    expect(plain).toEqual({ text: 'four', p: 0.9 });
    expect(other?.begins?.laterMs).toBe(40);
    expect(other?.begins?.uMs).toBeCloseTo(ofBegin ?? 0, 2);
  },
);
