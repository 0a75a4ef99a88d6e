import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { makeAsking } from '../../../src/screens/voice/asking.ts';

vi.mock('../../../src/screens/preferences/device.ts', () => ({ preferences: () => ({ pageLanguage: 'en' }) }));
vi.stubGlobal('navigator', { languages: ['en'] });
beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

function asking(outcome: 'said' | 'failed' = 'said', aloud = true) {
  const spoken: string[] = [];
  const shown: string[] = [];
  const state = { word: 'twelve' as string | null, paused: false };
  const made = makeAsking({
    speaker: {
      async say(word) {
        spoken.push(word);
        return outcome;
      },
      cancel() {},
    },
    aloud,
    word: () => state.word,
    paused: () => state.paused,
    show: (sentence) => shown.push(sentence),
  });
  return { ...made, state, spoken, shown };
}

test('a word that nobody says is asked for twice more, then it waits', async () => {
  const { ask, spoken, shown } = asking();
  await ask();
  expect(spoken).toEqual(['twelve']);
  for (let waits = 0; waits < 5; waits++) await vi.advanceTimersByTimeAsync(12_000);
  expect(spoken).toEqual(['twelve', 'twelve', 'twelve']);
  const last = shown.at(-1);
  await vi.advanceTimersByTimeAsync(60_000);
  expect(shown.at(-1)).toBe(last);
});

test('another word begins the count anew, the same once more does not', async () => {
  const { ask, answered, askSoon, spoken, state } = asking();
  await ask();
  await vi.advanceTimersByTimeAsync(24_000);
  expect(spoken).toHaveLength(3);
  answered(false);
  askSoon('');
  await vi.advanceTimersByTimeAsync(400 + 30_000);
  expect(spoken).toHaveLength(4);
  answered(true);
  state.word = 'thirteen';
  askSoon('');
  await vi.advanceTimersByTimeAsync(400 + 60_000);
  expect(spoken.slice(4)).toEqual(['thirteen', 'thirteen', 'thirteen']);
});

test('without a voice the screen asks alone; in a pause, and when all is said, nobody is asked', async () => {
  const mute = asking('failed');
  await mute.ask();
  await mute.ask();
  expect(mute.spoken).toEqual(['twelve']);
  expect(mute.shown.at(-1)).toBe(mute.shown.at(-2));
  const { ask, stop, state, spoken, shown } = asking();
  state.paused = true;
  await ask();
  await vi.advanceTimersByTimeAsync(60_000);
  expect(spoken).toHaveLength(1);
  state.word = null;
  const before = shown.length;
  await ask();
  expect(shown).toHaveLength(before);
  state.word = 'ten';
  state.paused = false;
  await ask();
  stop();
  await vi.advanceTimersByTimeAsync(60_000);
  expect(spoken).toEqual(['twelve', 'ten']);
});
