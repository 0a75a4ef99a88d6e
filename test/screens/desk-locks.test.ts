import 'fake-indexeddb/auto';
import { createRoot } from 'solid-js';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { makeNotebookStore, type NotebookStore } from '../../src/log/store.ts';
import { createDesk, type Desk } from '../../src/screens/desk.tsx';
import { created, stamped } from '../log/events.ts';
import { the } from '../the.ts';

// Code that is imported asks for the browser's language, and notes it on the page, before any test begins.
vi.hoisted(() => {
  vi.stubGlobal('navigator', { languages: ['en'] });
  vi.stubGlobal('document', { documentElement: { dataset: {} } });
});

/** A wish for a lock, in the order in which they came. */
interface Wish {
  readonly id: string;
  /** The browser grants it; it is held for as long as the answer's promise is open. */
  grant(): void;
  held: boolean;
}

let wishes: Wish[] = [];
let atOnce = true;
const disposers: (() => void)[] = [];
let stores = 0;

beforeEach(() => {
  wishes = [];
  atOnce = true;
  vi.stubGlobal('addEventListener', () => {});
  vi.stubGlobal('removeEventListener', () => {});
  vi.stubGlobal('navigator', {
    languages: ['en'],
    locks: {
      request: (name: string, _options: object, callback: (lock: object) => Promise<void> | undefined) =>
        new Promise<void>((resolve) => {
          const wish: Wish = {
            id: name.replace('meniscall-notebook-', ''),
            held: false,
            grant() {
              const until = callback({});
              wish.held = until !== undefined;
              void Promise.resolve(until).then(() => {
                wish.held = false;
                resolve();
              });
            },
          };
          wishes.push(wish);
          if (atOnce) queueMicrotask(wish.grant);
        }),
    },
  });
});
afterEach(() => {
  // The globals stay: the desk's code reads the browser's language whenever it comes.
  for (const dispose of disposers.splice(0)) dispose();
});

/** A desk over a store that has the notebooks "a" and "b"; neither is open. */
async function desk(change: (store: NotebookStore) => NotebookStore = (store) => store): Promise<Desk> {
  const store = makeNotebookStore(`desk-${++stores}`);
  const made = createRoot((dispose) => {
    disposers.push(dispose);
    return createDesk(change(store));
  });
  await vi.waitFor(() => expect(made.opening()).toBe(false), { timeout: 50_000 });
  for (const id of ['a', 'b']) await store.adopt(id, stamped(created));
  await made.refresh();
  expect(made.journal()).toBeNull();
  return made;
}

const heldOf = (id: string): boolean => wishes.some((wish) => wish.id === id && wish.held);

test('a wish for a notebook that is granted late takes nobody’s place, and its lock is let go of', async () => {
  const made = await desk();
  atOnce = false;
  const first = made.open('a');
  await vi.waitFor(() => expect(wishes.at(-1)?.id).toBe('a'));
  const second = made.open('b');
  await vi.waitFor(() => expect(wishes.at(-1)?.id).toBe('b'));
  the(wishes.find(({ id }) => id === 'b')).grant();
  await second;
  expect(made.journal()?.id).toBe('b');
  the(wishes.find(({ id }) => id === 'a')).grant();
  await first;
  expect(made.journal()?.id).toBe('b');
  expect([heldOf('a'), heldOf('b')]).toEqual([false, true]);
  expect(made.elsewhere()).toBeNull();
});

test('a notebook that was given up keeps its lock for as long as its opening may still write, and is not shown', async () => {
  let answer = (): void => {};
  const silent = new Promise<void>((resolve) => {
    answer = resolve;
  });
  const writes: { id: string; held: boolean }[] = [];
  const made = await desk((store) => ({
    ...store,
    load: async (id) => {
      if (id === 'a') await silent;
      return store.load(id);
    },
    append: async (id, events, after) => {
      writes.push({ id, held: heldOf(id) });
      await store.append(id, events, after);
    },
  }));
  const first = made.open('a');
  await vi.waitFor(() => expect(heldOf('a')).toBe(true));
  made.goWithout();
  expect(heldOf('a')).toBe(true);
  await made.open('b');
  expect(made.journal()?.id).toBe('b');
  answer();
  await first;
  expect(made.journal()?.id).toBe('b');
  expect(writes).toContainEqual({ id: 'a', held: true });
  expect(writes.filter(({ held }) => !held)).toEqual([]);
  expect([heldOf('a'), heldOf('b')]).toEqual([false, true]);
});
