import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import type { Look } from '../../src/screens/class/import.worker.ts';

afterEach(() => {
  vi.unstubAllGlobals();
});

/** A worker that names a file at once and has its result a while later. */
class SlowReader {
  onmessage: ((event: { data: unknown }) => void) | null = null;
  onerror: unknown = null;
  private look: Look = 'names';
  private over = false;

  postMessage(message: { known: unknown; look: Look } | { index: number }): void {
    if ('known' in message) {
      this.look = message.look;
      return;
    }
    const { index } = message;
    const group = `g${index}`;
    const entries = [{ id: `id${index}`, name: group, title: '', group, members: '' }];
    const data =
      this.look === 'names'
        ? { index, sum: null, kind: 'named', name: group }
        : { index, sum: null, kind: 'read', entries };
    setTimeout(() => !this.over && this.onmessage?.({ data }), this.look === 'names' ? 1 : 60);
  }

  terminate(): void {
    this.over = true;
  }
}

test('a class that is emptied while an import goes on stays empty', async () => {
  vi.stubGlobal('Worker', SlowReader);
  vi.stubGlobal('navigator', { hardwareConcurrency: 1 });
  const { classList } = await import('../../src/screens/class/class-list.ts');
  const files = Array.from({ length: 12 }, (_, i) => ({ name: `f${i}`, blob: new Blob(['x']) }));
  const brought = classList.bring({ kind: 'files', files });
  await vi.waitFor(() => expect(classList.entries().length).toBeGreaterThan(0), { timeout: 5000 });
  classList.clear();
  await brought;
  expect(classList.entries()).toEqual([]);
});
