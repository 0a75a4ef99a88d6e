import { beforeEach, expect, test, vi } from 'vitest';

let fetched: () => Promise<object>;
let tries = 0;
beforeEach(() => {
  vi.resetModules();
  vi.useFakeTimers();
  tries = 0;
  vi.doMock('virtual:german', () => {
    tries += 1;
    return fetched();
  });
});

test('whoever asks while the German texts are on their way is answered once they are here', async () => {
  let arrive = (): void => {};
  fetched = () =>
    new Promise((resolve) => {
      arrive = () => resolve({});
    });
  const { loadGerman, germanIsHere } = await import('../../src/screens/german.ts');
  const seen: boolean[] = [];
  for (let i = 0; i < 2; i++) void loadGerman().then(() => seen.push(germanIsHere()));
  await vi.waitFor(() => expect(tries).toBe(1));
  expect(seen).toEqual([]);
  arrive();
  await vi.waitFor(() => expect(seen).toEqual([true, true]));
});

test('texts that could not be fetched are asked for again', async () => {
  fetched = async () => {
    if (tries < 3) throw new TypeError('Failed to fetch dynamically imported module');
    return {};
  };
  const { loadGerman, germanIsHere } = await import('../../src/screens/german.ts');
  const loaded = loadGerman();
  await vi.waitFor(() => expect(tries).toBe(1));
  expect(germanIsHere()).toBe(false);
  await vi.advanceTimersByTimeAsync(10_000);
  await loaded;
  expect(germanIsHere()).toBe(true);
});

test('a fetch that stalls holds up nobody who needs an answer', async () => {
  fetched = () => new Promise(() => {});
  const { germanSoon } = await import('../../src/screens/german.ts');
  let waited = 0;
  void germanSoon().then(() => waited++);
  await vi.advanceTimersByTimeAsync(2900);
  expect(waited).toBe(0);
  await vi.advanceTimersByTimeAsync(200);
  expect(waited).toBe(1);
  // Nor twice: a later call waits no more.
  await germanSoon();
});
