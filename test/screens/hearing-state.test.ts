import { expect, test } from 'vitest';
import type { ListeningState } from '../../src/hearing/listening-step.ts';
import { hearingOf } from '../../src/screens/bench/hearing-state.ts';
import { texts } from '../../src/screens/bench/texts.ts';

const hearing = (ears: ListeningState['ears']): ListeningState => ({
  phase: 'open',
  hearsSound: true,
  hearsWords: true,
  ears,
  sinceMs: 0,
  room: 'quiet',
  hushed: false,
  browserEar: 'off',
  ownEar: 'ready',
  ownEarLoaded: 1,
  troubles: [],
  microphone: 'page',
  lag: { medianMs: 700, spreadMs: 300, pairs: 0 },
});

test('a caller in another language learns that the ear of the page knows English words only', () => {
  expect(hearingOf(hearing(['own']), false, { kind: 'none' }, 'en-GB').text).toBe('Listening, on this device only');
  expect(hearingOf(hearing(['own']), false, { kind: 'none' }, 'de-DE').text).toBe(
    'Listening, on this device only, English words only',
  );
  expect(hearingOf(hearing(['browser']), false, { kind: 'none' }, 'de-DE').text).not.toMatch(/English/);
});

test('how loud the room is beside the caller is said in the language of the page, not while the tool itself speaks', () => {
  const room = (state: Partial<ListeningState>, t?: typeof texts.en) =>
    hearingOf({ ...hearing(['own']), ...state }, false, { kind: 'none' }, 'en-GB', t).room;
  expect(room({})).toBeNull();
  expect(room({ room: 'loud' })).toEqual({ text: 'It is loud around you; still hearing you.', tooLoud: false });
  expect(room({ room: 'too loud' }, texts.de)).toEqual({
    text: 'Zu laut, um dich zu hören: Komm bitte näher.',
    tooLoud: true,
  });
  expect(room({ room: 'too loud', hushed: true })).toBeNull();
});
