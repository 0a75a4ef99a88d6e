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
