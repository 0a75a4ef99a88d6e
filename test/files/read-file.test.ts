import { expect, test } from 'vitest';
import { readFile } from '../../src/files/read-file.ts';
import { refusals } from '../../src/log/refusal.ts';

/** A file on a disk, which may change after it was chosen. */
function fileOf(size: number, arrayBuffer: () => Promise<ArrayBuffer>, start = '{"'): Blob {
  const file = Object.assign(new Blob([]), { slice: () => new Blob([start]), arrayBuffer });
  return Object.defineProperty(file, 'size', { value: size });
}

const failing = (name: string) => (): Promise<ArrayBuffer> => Promise.reject(new DOMException('no', name));

test('a file that is whole comes back whole', async () => {
  expect(await readFile(new Blob(['{"a":1}']))).toEqual({ ok: true, value: new TextEncoder().encode('{"a":1}') });
});

test.each([
  ['is empty', new Blob([]), refusals.fileEmpty],
  ['was changed', fileOf(7, failing('NotReadableError')), refusals.fileChanged],
  ['was deleted', fileOf(7, failing('NotFoundError')), refusals.fileChanged],
  ['was deleted, and has the size 0 then', fileOf(0, failing('NotFoundError')), refusals.fileChanged],
  ['became shorter', fileOf(7, () => Promise.resolve(new ArrayBuffer(3))), refusals.fileChanged],
  ['may not be read', fileOf(7, failing('SecurityError')), refusals.fileUnread],
])('a file that %s is refused with its own sentence', async (_, file, sentences) => {
  expect(await readFile(file)).toMatchObject({ ok: false, sentences });
});

test.each(['{"', 'PK'])('a file of 2 GB is refused before any of it is in memory: %s', async (start) => {
  let read = false;
  const file = fileOf(
    2 ** 31,
    () => {
      read = true;
      return Promise.resolve(new ArrayBuffer(0));
    },
    start,
  );
  expect(await readFile(file)).toMatchObject({ ok: false, sentences: refusals.fileTooLarge });
  expect(read).toBe(false);
});
