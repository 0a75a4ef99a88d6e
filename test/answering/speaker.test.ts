import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bestVoice, makeSpeaker, partsOf, type Synthesis } from '../../src/answering/speaker.ts';
import { makeFakeClock } from '../hearing/fake-clock.ts';

/** Speech synthesis as browsers have it: says what it is given, tells the end, or (`mute`) never does. */
function makeVoiceBox(way: 'speaks' | 'mute' | 'fails' = 'speaks') {
  const clock = makeFakeClock();
  const said: string[] = [];
  let cancels = 0;
  let current: SpeechSynthesisUtterance | null = null;
  const synthesis: Synthesis = {
    speak(utterance) {
      said.push(utterance.text);
      current = utterance;
      if (way === 'mute') return;
      clock.after(utterance.text.length * 60, () => {
        if (current !== utterance) return;
        current = null;
        const event = {} as SpeechSynthesisEvent & SpeechSynthesisErrorEvent;
        if (way === 'fails') utterance.onerror?.call(utterance, event);
        else utterance.onend?.call(utterance, event);
      });
    },
    cancel() {
      cancels++;
      current = null;
    },
    getVoices: () => [],
  };
  return {
    clock,
    said,
    synthesis,
    cancels: () => cancels,
    makeUtterance: (text: string) =>
      ({ text, volume: 1, lang: '', voice: null, onend: null, onerror: null }) as unknown as SpeechSynthesisUtterance,
  };
}

function makeListener() {
  const order: string[] = [];
  return {
    order,
    hush: async (spoken: string): Promise<() => void> => {
      order.push(`hush ${spoken}`);
      return () => order.push('release');
    },
  };
}

describe('speaking', () => {
  test('the ears are hushed first and released when it is over', async () => {
    const box = makeVoiceBox();
    const listening = makeListener();
    const speaker = makeSpeaker({ ...box, listening });
    const done = speaker.say('logged two five');
    await box.clock.advance(0);
    expect(box.said).toEqual(['logged two five']);
    expect(listening.order).toEqual(['hush logged two five']);
    await box.clock.advance(5000);
    expect(await done).toBe('said');
    expect(listening.order).toEqual(['hush logged two five', 'release']);
  });

  test('an end that is never told: given up, the ears released all the same', async () => {
    const box = makeVoiceBox('mute');
    const listening = makeListener();
    const done = makeSpeaker({ ...box, listening }).say('logged two five');
    await box.clock.advance(2000 + 90 * 15 + 10);
    expect(await done).toBe('failed');
    expect(listening.order.at(-1)).toBe('release');
  });

  test('an error of the voice is a failure, not an exception', async () => {
    const box = makeVoiceBox('fails');
    const listening = makeListener();
    const done = makeSpeaker({ ...box, listening }).say('logged');
    await box.clock.advance(5000);
    expect(await done).toBe('failed');
    expect(listening.order.at(-1)).toBe('release');
  });

  test('a later text cuts an earlier one short; both release what they hushed', async () => {
    const box = makeVoiceBox();
    const listening = makeListener();
    const speaker = makeSpeaker({ ...box, listening });
    const first = speaker.say('the first, which is long');
    await box.clock.advance(200);
    const second = speaker.say('second');
    await box.clock.advance(5000);
    expect(await first).toBe('cut-short');
    expect(await second).toBe('said');
    expect(listening.order.filter((what) => what === 'release')).toHaveLength(2);
  });

  test('silent: nothing is said and the ears are not touched', async () => {
    const box = makeVoiceBox();
    const listening = makeListener();
    const speaker = makeSpeaker({ ...box, listening, silent: true });
    expect(await speaker.say('logged')).toBe('silent');
    expect(box.said).toEqual([]);
    expect(listening.order).toEqual([]);
  });

  test('no speech in the browser: a failure at once', async () => {
    const speaker = makeSpeaker({ synthesis: null });
    expect(await speaker.say('logged')).toBe('failed');
    expect(speaker.available()).toBe(false);
    speaker.prime();
    speaker.dispose();
  });

  test('silence in the middle cuts it short', async () => {
    const box = makeVoiceBox();
    const listening = makeListener();
    const speaker = makeSpeaker({ ...box, listening });
    const done = speaker.say('a text of some length');
    await box.clock.advance(100);
    speaker.setSilent(true);
    await box.clock.advance(0);
    expect(await done).toBe('cut-short');
    expect(listening.order.at(-1)).toBe('release');
    expect(box.cancels()).toBeGreaterThan(0);
  });
});

test('a long text is said in parts that lose nothing and are short enough for voices that stop', () => {
  fc.assert(
    fc.property(
      fc.array(fc.constantFrom('poured', 'five', 'of', 'iodide,', 'then', 'wait.', 'x'.repeat(130)), { maxLength: 60 }),
      (list) => {
        const text = list.join(' ');
        const parts = partsOf(text);
        for (const part of parts) expect(part.length).toBeLessThanOrEqual(110);
        expect(parts.join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''));
      },
    ),
  );
  expect(partsOf('')).toEqual([]);
});

test('a voice on the device comes before one of the network, the exact language before a relative', () => {
  const voice = (lang: string, localService: boolean, isDefault = false): SpeechSynthesisVoice =>
    ({ lang, localService, default: isDefault, name: `${lang} ${localService}`, voiceURI: '' }) as SpeechSynthesisVoice;
  const voices = [voice('de-DE', true, true), voice('en-US', false, true), voice('en-GB', true), voice('en_US', true)];
  expect(bestVoice(voices, 'en-US')?.lang).toBe('en_US');
  expect(bestVoice(voices.slice(0, 3), 'en-US')?.lang).toBe('en-GB');
  expect(bestVoice(voices.slice(0, 2), 'en-US')?.lang).toBe('en-US');
  expect(bestVoice(voices.slice(0, 1), 'en-US')).toBeNull();
});
