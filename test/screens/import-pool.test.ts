import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { refusals } from '../../src/log/refusal.ts';
import type { ClassSource, ImportOrder, ImportResult } from '../../src/screens/class/import.worker.ts';
import { type Reader, readAll } from '../../src/screens/class/import-pool.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

const sources = (count: number): ClassSource[] =>
  Array.from({ length: count }, (_, index) => ({ index, kind: 'device', id: `n${index}` }));

/** A reader that takes 10 ms a source, never ends with those that hang, and dies at those that kill. */
function fakeReader(
  hangs: ReadonlySet<number>,
  kills: ReadonlySet<number>,
  alive: { now: number; most: number },
): Reader {
  let over = false;
  let queue: Promise<void> = Promise.resolve();
  alive.now++;
  alive.most = Math.max(alive.most, alive.now);
  const reader: Reader = {
    onmessage: null,
    onerror: null,
    terminate() {
      if (!over) alive.now--;
      over = true;
    },
    postMessage(order: ImportOrder) {
      if ('known' in order) return;
      queue = queue.then(async () => {
        await new Promise((resolve) => setTimeout(resolve, 10));
        if (over) return;
        if (hangs.has(order.index)) await new Promise(() => {});
        if (kills.has(order.index)) return reader.onerror?.call(new Worker(''), new ErrorEvent('error'));
        const data: ImportResult = { index: order.index, sum: null, kind: 'read', entries: [] };
        reader.onmessage?.call(new Worker(''), new MessageEvent('message', { data }));
      });
    },
  };
  return reader;
}
vi.stubGlobal('Worker', class {});
vi.stubGlobal('ErrorEvent', Event);

async function read(count: number, { hangs = [], kills = [] }: { hangs?: number[]; kills?: number[] }) {
  const results: ImportResult[] = [];
  const alive = { now: 0, most: 0 };
  let worked: boolean | null = null;
  readAll({
    sources: sources(count),
    known: new Set(),
    look: 'results',
    readers: 2,
    makeReader: () => fakeReader(new Set(hangs), new Set(kills), alive),
    onResult: (result) => results.push(result),
    onEnd: (said) => {
      worked = said;
    },
  });
  await vi.advanceTimersByTimeAsync(600_000);
  const refused = results.flatMap((one) => (one.kind === 'refused' ? [[one.name, one.sentences]] : []));
  return { worked, refused, indices: results.map(({ index }) => index).sort((a, b) => a - b), alive };
}

test('every source is answered once, by two readers that are then gone', async () => {
  const { worked, indices, refused, alive } = await read(25, {});
  expect({ worked, refused }).toEqual({ worked: true, refused: [] });
  expect(indices).toEqual(Array.from({ length: 25 }, (_, i) => i));
  expect(alive).toEqual({ now: 0, most: 2 });
});

test('a file that takes too long, and one at which the reader dies, are refused by themselves; the rest is read', async () => {
  const { worked, indices, refused } = await read(25, { hangs: [3, 4], kills: [11] });
  expect(worked).toBe(true);
  expect(indices).toEqual(Array.from({ length: 25 }, (_, i) => i));
  expect(refused.sort()).toEqual([
    ['n11', refusals.readerFailed],
    ['n3', refusals.fileTookTooLong],
    ['n4', refusals.fileTookTooLong],
  ]);
});

test('readers that die at everything are given up', async () => {
  const { worked, alive } = await read(25, { kills: Array.from({ length: 25 }, (_, i) => i) });
  expect(worked).toBe(false);
  expect(alive.now).toBe(0);
});
