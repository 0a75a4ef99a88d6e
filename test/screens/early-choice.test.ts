import 'fake-indexeddb/auto';
import { expect, test, vi } from 'vitest';
import { defaultPreferences, loadPreferences, savePreferences } from '../../src/bench/preferences.ts';

test('a choice made before it is known what is kept stays, and keeps the rest', async () => {
  await savePreferences({ ...defaultPreferences, silent: true, pageLanguage: 'en' });
  vi.stubGlobal('document', { documentElement: { lang: '', dataset: {} } });
  vi.stubGlobal('navigator', { languages: ['en'] });
  const { loaded, prefer, preferences } = await import('../../src/screens/preferences/device.ts');
  prefer({ theme: 'dark' });
  expect(preferences().theme).toBe('dark');
  await loaded;
  expect(preferences()).toMatchObject({ theme: 'dark', silent: true });
  await vi.waitFor(async () => expect(await loadPreferences()).toMatchObject({ theme: 'dark', silent: true }));
  vi.unstubAllGlobals();
});
