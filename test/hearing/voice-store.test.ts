import 'fake-indexeddb/auto';
import { get, keys, set } from 'idb-keyval';
import { beforeEach, expect, test } from 'vitest';
import {
  deleteVoice,
  type KeptVoice,
  keepVoice,
  keptCall,
  knownCall,
  loadSounds,
  loadVoice,
} from '../../src/hearing/voice-store.ts';

const tally = { right: 36, of: 40, p: 0.9 };
const voice: KeptVoice = {
  version: 1,
  name: 'the left bench',
  learntWallMs: 5,
  learnt: {
    weights: '0011aabb',
    head: Float32Array.of(1, 2),
    headBias: Float32Array.of(3),
    calls: 40,
    before: tally,
    after: { ...tally, right: 39 },
    helps: true,
  },
  wanted: true,
  fromCorrections: false,
};
const call = keptCall({ text: 'five', samples: Float32Array.of(0, 0.5, -0.5), rate: 16_000 });

beforeEach(deleteVoice);

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
