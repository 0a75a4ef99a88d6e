import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { type CameraTrouble, makeCamera } from '../../src/screens/class/camera.ts';
import type { CodeReader } from '../../src/screens/class/code-reader.ts';
import { the } from '../the.ts';

class FakeTrack extends EventTarget {
  stopped = false;
  stop(): void {
    this.stopped = true;
  }
}

/** Cameras that were opened; each opening waits until the test lets it through. */
let opened: { track: FakeTrack; give: () => void; refuse: (name: string) => void }[] = [];

beforeEach(() => {
  vi.useFakeTimers();
  opened = [];
  vi.stubGlobal('document', { hidden: false });
  vi.stubGlobal('navigator', {
    mediaDevices: {
      getUserMedia: () =>
        new Promise((resolve, reject) => {
          const track = new FakeTrack();
          opened.push({
            track,
            give: () => resolve({ getTracks: () => [track] }),
            refuse: (name) => reject(new DOMException('no', name)),
          });
        }),
    },
  });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** A reader whose answers the test gives. */
class FakeReader implements CodeReader {
  readonly asked: ((text: string | null) => void)[] = [];
  closings = 0;
  get closed(): boolean {
    return this.closings > 0;
  }
  read(): Promise<string | null> {
    return new Promise((resolve) => this.asked.push(resolve));
  }
  close(): void {
    this.closings++;
  }
}

function scene() {
  const readers: FakeReader[] = [];
  const texts: string[] = [];
  const troubles: CameraTrouble[] = [];
  let ready = 0;
  /** Lets the next readers come. */
  const waiting: (() => void)[] = [];
  let held = false;
  const camera = makeCamera({
    onText: async (text) => void texts.push(text),
    onReady: () => void ready++,
    onTrouble: (trouble) => void troubles.push(trouble),
    makeReader: () =>
      new Promise((resolve) => {
        const come = (): void => {
          const reader = new FakeReader();
          readers.push(reader);
          resolve(reader);
        };
        if (held) waiting.push(come);
        else come();
      }),
  });
  const video = { play: async () => {}, srcObject: null } as unknown as HTMLVideoElement;
  const hold = (): void => {
    held = true;
  };
  const letCome = (): void => {
    for (const come of waiting.splice(0)) come();
  };
  return { camera, video, readers, texts, troubles, ready: () => ready, hold, letCome };
}

const tick = (ms = 0): Promise<unknown> => vi.advanceTimersByTimeAsync(ms);

test('one code after the other is looked for, each question after the answer to the one before', async () => {
  const { camera, video, readers, texts, ready } = scene();
  void camera.start(video);
  the(opened[0]).give();
  await tick();
  expect(ready()).toBe(1);
  const reader = the(readers[0]);
  for (const text of ['one', null, 'two']) {
    expect(reader.asked).toHaveLength(1);
    the(reader.asked.pop())(text);
    await tick(100);
  }
  expect(texts).toEqual(['one', 'two']);
});

test('a reader that does not answer is never asked a second time: another takes its place, and its late answer counts for nothing', async () => {
  const { camera, video, readers, texts } = scene();
  void camera.start(video);
  the(opened[0]).give();
  await tick();
  const silent = the(readers[0]);
  the(silent.asked.pop())(null);
  await tick(100);
  await tick(6000);
  expect(readers).toHaveLength(2);
  const next = the(readers[1]);
  expect([silent.asked.length, silent.closed]).toEqual([1, true]);
  the(silent.asked[0])('late');
  await tick(100);
  the(next.asked[0])('in time');
  await tick(100);
  expect(texts).toEqual(['in time']);
  expect(the(opened[0]).track.stopped).toBe(false);
  camera.stop();
  // It was let go of with its canvas when it was replaced.
  expect(readers.map(({ closings }) => closings)).toEqual([1, 1]);
});

test('a reader that is slow to load has half a minute for its first answer', async () => {
  const { camera, video, readers, texts } = scene();
  void camera.start(video);
  the(opened[0]).give();
  await tick();
  await tick(25_000);
  expect(readers).toHaveLength(1);
  the(the(readers[0]).asked[0])('late, but here');
  await tick(100);
  expect(texts).toEqual(['late, but here']);
  camera.stop();
  void camera.start(video);
  the(opened[1]).give();
  await tick();
  await tick(31_000);
  expect(readers).toHaveLength(3);
});

test('a camera that is started again while the first start waits for its reader has one picture and one reader', async () => {
  const { camera, video, readers, texts, ready, hold, letCome } = scene();
  hold();
  void camera.start(video);
  the(opened[0]).give();
  await tick();
  the(opened[0]).track.dispatchEvent(new Event('ended'));
  void camera.start(video);
  the(opened[1]).give();
  await tick();
  letCome();
  await tick();
  expect(ready()).toBe(1);
  expect(readers.map(({ closed }) => closed)).toEqual([true, false]);
  expect(readers.map(({ asked }) => asked.length)).toEqual([0, 1]);
  expect(opened.map(({ track }) => track.stopped)).toEqual([true, false]);
  the(the(readers[1]).asked[0])('code');
  await tick(100);
  expect(texts).toEqual(['code']);
});

test('a camera that the browser gives after the scan was closed is switched off at once', async () => {
  const { camera, video, readers, troubles } = scene();
  void camera.start(video);
  camera.stop();
  the(opened[0]).give();
  await tick();
  expect(the(opened[0]).track.stopped).toBe(true);
  expect([readers, troubles]).toEqual([[], []]);
});

test('an answer that comes after the end is not taken', async () => {
  const { camera, video, readers, texts, troubles } = scene();
  void camera.start(video);
  the(opened[0]).give();
  await tick();
  camera.stop();
  the(the(readers[0]).asked[0])('late');
  await tick(10_000);
  expect(texts).toEqual([]);
  expect(readers).toHaveLength(1);
  expect([the(readers[0]).closed, the(opened[0]).track.stopped]).toEqual([true, true]);
  the(opened[0]).track.dispatchEvent(new Event('ended'));
  expect(troubles).toEqual([]);
});

test.each([
  ['NotAllowedError', 'denied'],
  ['NotReadableError', 'busy'],
  ['NotFoundError', 'none'],
])('%s of the browser is trouble of the kind %s', async (name, trouble) => {
  const { camera, video, troubles } = scene();
  void camera.start(video);
  the(opened[0]).refuse(name);
  await tick();
  expect(troubles).toEqual([trouble]);
});
