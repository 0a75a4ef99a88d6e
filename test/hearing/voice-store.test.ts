import 'fake-indexeddb/auto';
import { clear, get, keys, set } from 'idb-keyval';
import { beforeEach, expect, test } from 'vitest';
import { learningRule } from '../../src/hearing/ear/learning-rule.ts';
import {
  changeCaller,
  deleteVoice,
  type KeptVoice,
  keepVoice,
  keptCall,
  knownCall,
  loadOthers,
  loadSounds,
  loadVoice,
  mostAlike,
  mostCalls,
  withFresh,
} from '../../src/hearing/voice-store.ts';
import { dieAtNextTransaction } from '../log/dying-connection.ts';

const tally = { right: 36, of: 40, p: 0.9 };
const voice: KeptVoice = {
  version: 1,
  name: 'the left bench',
  learntWallMs: 5,
  learnt: {
    weights: '0011aabb',
    rule: learningRule,
    head: Float32Array.of(1, 2),
    headBias: Float32Array.of(3),
    calls: 40,
    before: tally,
    after: { ...tally, right: 39 },
    helps: true,
  },
  wanted: true,
};
const call = keptCall({ text: 'five', samples: Float32Array.of(0, 0.5, -0.5), rate: 16_000 });

beforeEach(() => clear());

test('no voice is known before one is learnt', async () => {
  expect(await loadVoice()).toBeNull();
  expect(await loadSounds()).toEqual([]);
});

test('a voice and its sounds come back as they were kept, the sounds to the accuracy of a clip', async () => {
  await keepVoice(voice, [call]);
  expect(await loadVoice()).toEqual(voice);
  const [back] = await loadSounds();
  expect(back && knownCall(back)).toMatchObject({ text: 'five', rate: 16_000 });
  expect(back && knownCall(back).samples[1]).toBeCloseTo(0.5, 3);
});

test('a changed name or switch leaves the sounds alone', async () => {
  await keepVoice(voice, [call]);
  await keepVoice({ ...voice, wanted: false, name: '' });
  expect(await loadVoice()).toMatchObject({ wanted: false, name: '' });
  expect(await loadSounds()).toHaveLength(1);
});

test('a voice learnt by an older rule is not used, of the caller or of others; its sounds stay to learn it again', async () => {
  const { rule: _, ...unnumbered } = voice.learnt ?? {};
  await set('meniscall-voice', { ...voice, learnt: unnumbered });
  await set('meniscall-voice-sounds', [call]);
  await set('meniscall-voice-others', [
    { voice: { ...voice, learnt: { ...voice.learnt, rule: learningRule - 1 } }, sounds: [call] },
  ]);
  expect(await loadVoice()).toEqual({ ...voice, learnt: null });
  expect(await loadOthers()).toEqual([{ ...voice, learnt: null }]);
  expect(await loadSounds()).toHaveLength(1);
});

test('deleting takes the voice and its sounds, and nothing else', async () => {
  await set('something else', 1);
  await keepVoice(voice, [call]);
  await deleteVoice();
  expect(await keys()).toEqual(['something else']);
  expect(await get('something else')).toBe(1);
});

test('a voice that is damaged is none; a damaged sound is left out alone', async () => {
  await keepVoice({ ...voice, name: 'x'.repeat(400) }, [call]);
  expect(await loadVoice()).toBeNull();
  await set('meniscall-voice-sounds', [call, { text: 3 }, 'noise']);
  expect(await loadSounds()).toEqual([call]);
});

test('two people who call in turn keep their voices apart; deleting one leaves the other', async () => {
  await keepVoice(voice, [call]);
  expect(await changeCaller(null)).toEqual({ voice: null, others: [voice] });
  expect(await loadSounds()).toEqual([]);
  const second = { ...voice, name: 'second' };
  await keepVoice(second, [call, call]);
  expect(await changeCaller(0)).toEqual({ voice, others: [second] });
  expect(await loadSounds()).toHaveLength(1);
  await deleteVoice();
  expect(await loadOthers()).toEqual([second]);
  expect((await changeCaller(0)).voice).toEqual(second);
  expect(await loadSounds()).toHaveLength(2);
  expect(await loadOthers()).toEqual([]);
});

test.each([true, false])(
  'a connection that the browser closes in silence holds no voice up (stored: %s)',
  async (stored) => {
    dieAtNextTransaction({ stored });
    await keepVoice(voice, [call]);
    dieAtNextTransaction({ stored });
    expect(await loadVoice()).toEqual(voice);
    dieAtNextTransaction({ stored });
    await changeCaller(null);
    expect(await loadOthers()).toEqual([voice]);
    dieAtNextTransaction({ stored });
    await deleteVoice();
    expect(await loadVoice()).toBeNull();
  },
);

const from = (work: string, text = 'five') => ({ ...call, call: work, text });

test('a call put right later takes its new words; of the same words the newest are kept', () => {
  expect(withFresh([from('a'), from('b', 'six')], [from('a', 'nine')]).map(({ text }) => text)).toEqual([
    'six',
    'nine',
  ]);
  const many = Array.from({ length: mostAlike + 3 }, (_, i) => from(`c${i}`));
  expect(withFresh(many, []).map((one) => one.call)).toEqual(many.slice(3).map((one) => one.call));
});

test('words that were said to be learnt outlive calls from work', () => {
  const saidWords = Array.from({ length: 40 }, (_, i) => from('', `word ${i}`));
  const work = Array.from({ length: mostCalls }, (_, i) => from(`c${i}`, `call ${i}`));
  const left = withFresh(saidWords, work);
  expect(left).toHaveLength(mostCalls);
  expect(left.filter((one) => one.call === '')).toHaveLength(40);
  expect(left.at(-1)).toBe(work.at(-1));
});
