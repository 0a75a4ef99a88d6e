import { expect, test } from 'vitest';
import type { ListeningState } from '../../src/hearing/listening.ts';
import { hearingOf } from '../../src/screens/bench/hearing-state.ts';

const hearing = (ears: ListeningState['ears']): ListeningState => ({
  phase: 'open',
  hearsSound: true,
  hearsWords: true,
  ears,
  sinceMs: 0,
  hushed: false,
  browserEar: 'off',
  ownEar: 'ready',
  ownEarLoaded: 1,
  troubles: [],
  microphone: 'page',
  lag: { medianMs: 700, spreadMs: 300, pairs: 0 },
});

test('a caller in another language learns that the ear of the page knows English words only', () => {
  expect(hearingOf(hearing(['own']), false, { kind: 'none' }, 'en-GB').text).toBe('Hears words: on this device');
  expect(hearingOf(hearing(['own']), false, { kind: 'none' }, 'de-DE').text).toBe(
    'Hears words: on this device, English words only',
  );
  expect(hearingOf(hearing(['browser']), false, { kind: 'none' }, 'de-DE').text).not.toMatch(/English/);
});
