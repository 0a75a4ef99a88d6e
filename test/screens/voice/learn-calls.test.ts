import { expect, test } from 'vitest';
import { learnVoice } from '../../../src/hearing/ear/adapt.ts';
import { hearSamples, shippedNet } from '../../../src/hearing/ear/hear-samples.ts';
import { learningRule } from '../../../src/hearing/ear/learning-rule.ts';
import type { OwnEar } from '../../../src/hearing/ear/own-ear.ts';
import { type KeptVoice, keptCall } from '../../../src/hearing/voice-store.ts';
import { gainSentences } from '../../../src/screens/voice/gain.ts';
import { freshCalls, learnCalls } from '../../../src/screens/voice/learn-calls.ts';
import { makeSpeech } from '../../browser/speech-sound.ts';

/** The shipped ear without its worker. */
const ear: OwnEar = {
  name: 'own',
  load: async () => {},
  follow: async () => ({ calls: [], settledS: 0, hearingS: null, room: { callerDb: null, othersDb: null } }),
  hear: async ({ samples, sampleRate }) => hearSamples(samples, sampleRate),
  learn: async (calls, progress, now) => learnVoice(shippedNet(), calls, 'everything', progress, now),
  useVoice: async () => false,
  dispose() {},
};

async function said(text: string) {
  const { samples, sampleRate } = await makeSpeech([{ text, atS: 0.25, voice: 'slt' }], { tailS: 0.2 });
  return keptCall({ text, samples, rate: sampleRate }, text);
}

test('sounds of lessons are fetched once; one whose words changed is fetched again, one whose sound is gone is left out', async () => {
  const clips = new Map(['a', 'b'].map((call) => [call, new Blob([Uint8Array.of(1, 2, 3)])] as const));
  const lesson = (call: string, text: string) => ({ call, text, run: 'r', how: 'stayed' }) as const;
  const kept = [{ text: 'fifty', clip: Uint8Array.of(0), call: 'a' }];
  const clipOf = async (call: string) => clips.get(call);
  expect(await freshCalls([lesson('a', 'fifty'), lesson('gone', 'six')], kept, clipOf)).toEqual([]);
  const fresh = await freshCalls([lesson('a', 'fifteen'), lesson('b', 'six')], kept, clipOf);
  expect(fresh.map(({ call, text }) => [call, text])).toEqual([
    ['a', 'fifteen'],
    ['b', 'six'],
  ]);
});

test('the first voice of a caller takes what came out; its name and switch stay with the next ones', async () => {
  const parts: number[] = [];
  const sounds = [await said('five'), await said('nine')];
  const first = await learnCalls(ear, null, [], sounds, (part) => parts.push(part));
  expect(first.voice).toMatchObject({ version: 1, name: '', wanted: true, learnt: { calls: 2 } });
  expect(first.sounds).toEqual(sounds);
  expect(parts.at(-1)).toBe(1);
  const named = { ...first.voice, name: 'left bench', wanted: false };
  const second = await learnCalls(ear, named, sounds, [await said('six')], () => {});
  expect(second.voice).toMatchObject({ name: 'left bench', wanted: false, learnt: { calls: 3 } });
});

test('the voice in use stays where the new one hears fresh calls worse; the calls are kept for the next time', async () => {
  const tally = (right: number) => ({ right, of: 4, p: 0.9 });
  const base = {
    weights: '0',
    rule: learningRule,
    head: Float32Array.of(1),
    headBias: Float32Array.of(1),
    calls: 4,
    helps: true,
  };
  const learnt = { ...base, before: tally(2), after: tally(4) };
  const inUse: KeptVoice = { version: 1, name: 'left bench', learntWallMs: 5, learnt, wanted: true };
  const five = await said('five');
  const worse = { learn: async () => ({ ...learnt, fresh: { now: tally(4), next: tally(3) } }) };
  const kept = await learnCalls(worse, inUse, [], [five], () => {});
  expect(kept).toEqual({ voice: inUse, sounds: [five] });
  const asGood = { learn: async () => ({ ...learnt, fresh: { now: tally(3), next: tally(3) } }) };
  expect((await learnCalls(asGood, inUse, [], [five], () => {})).voice).not.toEqual(inUse);
});

test('the gain is given as it is, a loss too', () => {
  const tally = (right: number, p: number) => ({ right, of: 40, p });
  const said = (before: ReturnType<typeof tally>, after: ReturnType<typeof tally>, helps = true, wanted = true) =>
    gainSentences({ before, after, helps }, wanted, 'en');
  expect(said(tally(36, 0.8), tally(39, 0.9))).toBe(
    'Of 40 words held back, 36 were right before and 39 after. The recogniser in this page hears with it.',
  );
  expect(said(tally(37, 0.8), tally(35, 0.9))).toContain('37 were right before and 35 after');
  expect(said(tally(39, 0.8), tally(39, 0.91))).toContain('80 % before and 91 % after');
  expect(said(tally(39, 0.8), tally(39, 0.8), false)).toContain('no sure gain');
  expect(said(tally(36, 0.8), tally(39, 0.9), true, false)).toContain('switched off');
  expect(gainSentences({ before: tally(36, 0.8), after: tally(39, 0.9), helps: true }, true, 'de')).toBe(
    'Von 40 Wörtern zur Probe waren vorher 36 richtig, nachher 39. Die Spracherkennung dieser Seite hört mit dieser Stimme.',
  );
});
