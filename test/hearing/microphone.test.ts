import { afterEach, expect, test, vi } from 'vitest';
import type { TroubleKind } from '../../src/hearing/ear.ts';
import { makeMicrophone } from '../../src/hearing/microphone.ts';
import { sentenceOf } from '../../src/hearing/trouble.ts';

afterEach(() => vi.unstubAllGlobals());

// A page that came unencrypted has no media devices (W3C, Media Capture and Streams: only in a secure context).
test.each<readonly [boolean, TroubleKind, RegExp]>([
  [false, 'microphone-insecure', /https/],
  [true, 'microphone-refused', /(site settings|Einstellungen der Seite)/],
])('without a way to a microphone (secure: %s) the advice is one that helps', async (secure, kind, advice) => {
  vi.stubGlobal('navigator', {});
  vi.stubGlobal('isSecureContext', secure);
  const told: string[] = [];
  const microphone = makeMicrophone(
    { live() {}, utterance() {}, level() {}, trouble: (one: TroubleKind) => told.push(one), recovered() {} } as never,
    () => 'a',
  );
  expect(await microphone.open()).toBe(false);
  microphone.close();
  expect(told).toEqual([kind]);
  for (const language of ['en', 'de'] as const) expect(sentenceOf({ kind }, language).advice).toMatch(advice);
});

// Web Audio: createMediaStreamSource and the constructors throw, e.g. where the rates of context and device differ.
test.each<readonly [string, object]>([
  ['source of the stream', { createMediaStreamSource: refuse }],
  ['worklet node', { node: refuse }],
  ['sound system', { context: refuse }],
])('a %s that cannot be made leaves no microphone open and is told', async (_, broken) => {
  const tracks: { readyState: string }[] = [];
  vi.stubGlobal('navigator', {
    mediaDevices: {
      getUserMedia: async () => {
        const track = { label: 'a', readyState: 'live', stop: () => (track.readyState = 'ended') };
        tracks.push(track);
        return { active: true, getTracks: () => [track], getAudioTracks: () => [track] };
      },
    },
  });
  const parts = { context() {}, node() {}, createMediaStreamSource: () => ({ connect() {} }), ...broken };
  vi.stubGlobal(
    'AudioContext',
    class {
      audioWorklet = { addModule: async () => {} };
      state = 'running';
      createMediaStreamSource = parts.createMediaStreamSource;
      constructor() {
        parts.context();
      }
      resume = async () => {};
      close = async () => {};
    },
  );
  vi.stubGlobal(
    'AudioWorkletNode',
    class {
      port = { postMessage() {} };
      constructor() {
        parts.node();
      }
      connect() {}
      disconnect() {}
    },
  );
  const told: TroubleKind[] = [];
  const microphone = makeMicrophone(
    { live() {}, trouble: (kind: TroubleKind) => told.push(kind), recovered() {} } as never,
    () => 'a',
  );
  expect(await microphone.open()).toBe(false);
  expect(await microphone.open()).toBe(false);
  expect(tracks.filter(({ readyState }) => readyState === 'live')).toEqual([]);
  microphone.close();
  expect(told).toEqual(['microphone-lost']);
});

function refuse(): never {
  throw new DOMException('not supported', 'NotSupportedError');
}
