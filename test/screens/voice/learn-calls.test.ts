import { expect, test } from 'vitest';
import { learnVoice } from '../../../src/hearing/ear/adapt.ts';
import { hearSamples, shippedNet } from '../../../src/hearing/ear/hear-samples.ts';
import type { OwnEar } from '../../../src/hearing/ear/own-ear.ts';
import { keptCall } from '../../../src/hearing/voice-store.ts';
import { gainSentence, useSentence } from '../../../src/screens/voice/gain.ts';
import { callsToLearn, learnCalls } from '../../../src/screens/voice/learn-calls.ts';
import { makeSpeech } from '../../browser/speech-sound.ts';

/** The shipped ear without its worker. */
const ear: OwnEar = {
  name: 'own',
  load: async () => {},
  follow: async () => ({ calls: [], settledS: 0, hearingS: null, room: { callerDb: null, othersDb: null } }),
  hear: async ({ samples, sampleRate }) => hearSamples(samples, sampleRate),
  learn: async (calls, progress) => learnVoice(shippedNet(), calls, 'everything', progress),
  useVoice: async () => false,
  dispose() {},
};

async function said(text: string) {
  const { samples, sampleRate } = await makeSpeech([{ text, atS: 0.25, voice: 'slt' }], { tailS: 0.2 });
  return keptCall({ text, samples, rate: sampleRate }, text);
}

test('calls put right are learnt from under the words that were said; the others are counted', async () => {
  const clips = new Map(
    await Promise.all(
      ['two five', 'sixteen'].map(
        async (text) => [text, new Blob([Uint8Array.from((await said(text)).clip)])] as const,
      ),
    ),
  );
  const { calls, leftOut } = await callsToLearn(
    ear,
    [
      { call: 'two five', value: '25' },
      // Said "sixteen", and the person put 40 in its place: that is not how 40 sounds.
      { call: 'sixteen', value: '40' },
      { call: 'its sound is gone', value: '12' },
    ],
    async (call) => clips.get(call),
  );
  expect(calls.map(({ text, call }) => [text, call])).toEqual([['two five', 'two five']]);
  expect(leftOut).toBe(2);
});

test('what is learnt carries the name and the agreement, and is used only where it helps', async () => {
  const parts: number[] = [];
  const before = { name: 'left bench', fromCorrections: true };
  const voice = await learnCalls(ear, [await said('five'), await said('nine')], before, (part) => parts.push(part));
  expect(voice).toMatchObject({ ...before, version: 1, wanted: true, learnt: { calls: 2 } });
  expect(parts.at(-1)).toBe(1);
});

test('the gain is given as it is, a loss too', () => {
  const tally = (right: number, p: number) => ({ right, of: 40, p });
  expect(gainSentence({ before: tally(36, 0.8), after: tally(39, 0.9) })).toBe(
    'Of 40 words held back, 36 were right before and 39 after.',
  );
  expect(gainSentence({ before: tally(37, 0.8), after: tally(35, 0.9) })).toContain(
    '37 were right before and 35 after',
  );
  expect(gainSentence({ before: tally(39, 0.8), after: tally(39, 0.91) })).toContain('80 % before and 91 % after');
  expect(useSentence({ helps: false }, true)).toContain('no gain');
  expect(useSentence({ helps: true }, false)).toContain('switched off');
});
