import 'fake-indexeddb/auto';
import { set } from 'idb-keyval';
import { expect, test } from 'vitest';
import { defaultPreferences, loadPreferences, savePreferences } from '../../src/bench/preferences.ts';
import { dieAtNextTransaction } from '../log/dying-connection.ts';

test('nothing leaves the device unless somebody allowed it', () => {
  expect(defaultPreferences.browserEar).toBe('not-asked');
  expect(defaultPreferences.ownEar).toBe(true);
});

test('what was chosen is there the next time', async () => {
  expect(await loadPreferences()).toEqual(defaultPreferences);
  expect(await savePreferences({ ...defaultPreferences, clips: false, readBack: 'always' })).toBe(true);
  expect(await loadPreferences()).toMatchObject({ clips: false, readBack: 'always' });
});

test('one damaged setting falls back alone', async () => {
  await set('meniscall-preferences', { ...defaultPreferences, cueVolume: 'loud', clips: false });
  expect(await loadPreferences()).toMatchObject({ cueVolume: defaultPreferences.cueVolume, clips: false });
  await set('meniscall-preferences', 'nonsense');
  expect(await loadPreferences()).toEqual(defaultPreferences);
});

test.each([true, false])(
  'a connection that the browser closes in silence holds nothing up (stored: %s)',
  async (stored) => {
    dieAtNextTransaction({ stored });
    expect(await savePreferences({ ...defaultPreferences, silent: true, clips: stored })).toBe(true);
    dieAtNextTransaction({ stored });
    expect(await loadPreferences()).toMatchObject({ silent: true, clips: stored });
  },
);
