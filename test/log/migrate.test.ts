import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readLink } from '../../src/files/link.ts';
import { checksumOf } from '../../src/log/checksum.ts';
import { schemaVersion } from '../../src/log/event.ts';
import { notebookFromJson } from '../../src/log/file.ts';
import { migrate } from '../../src/log/migrate.ts';
import { refusals } from '../../src/log/refusal.ts';
import type { Notebook } from '../../src/log/state.ts';
import { anyEvents, created, stamped } from './events.ts';
import { downgraded, olderMigrations } from './older-schemas.ts';

/** A file as a program of an earlier schema would have written it, with its own sum. */
function fileOf(raw: { schema: number; id: string; events: readonly unknown[] }): string {
  return JSON.stringify({ format: 'meniscall-notebook', ...raw, check: checksumOf([raw.id, raw.events]) });
}

test.each([1, 2])('any notebook of a schema %d steps back comes through its migrations unchanged', (steps) => {
  fc.assert(
    fc.property(anyEvents, (events) => {
      const notebook: Notebook = { id: 'nb', events };
      const old = downgraded(notebook, schemaVersion - steps);
      expect(migrate(old, olderMigrations)).toMatchObject({ schema: schemaVersion });
      expect(notebookFromJson(fileOf(old), olderMigrations)).toEqual({ ok: true, value: notebook });
    }),
  );
});

test('an old file that was changed is refused by the sum it was written with', () => {
  const text = fileOf(downgraded({ id: 'nb', events: stamped(created, { kind: 'paused' }) }, schemaVersion - 1));
  expect(notebookFromJson(text.replace('"paused"', '"resumed"'), olderMigrations)).toMatchObject({
    ok: false,
    sentence: expect.stringMatching(/changed after it was written/),
  });
});

test('a schema that no step starts from is refused, and so is what a step cannot read', () => {
  const old = downgraded({ id: 'nb', events: stamped(created) }, schemaVersion - 1);
  for (const [raw, migrations] of [
    [old, undefined],
    [{ ...old, schema: -7 }, olderMigrations],
    [{ ...old, schema: 0.5 }, olderMigrations],
    [{ ...old, events: [null] }, olderMigrations],
    [{ ...old, events: { a: 1 } as never }, olderMigrations],
  ] as const)
    expect(notebookFromJson(JSON.stringify({ format: 'meniscall-notebook', ...raw }), migrations)).toMatchObject({
      ok: false,
      sentence: expect.stringMatching(/^This notebook file is damaged and was not opened: .+\.$/),
    });
});

test('a newer schema is said to be one, in a file and in a link', () => {
  const raw = { format: 'meniscall-notebook', schema: schemaVersion + 1, id: 'nb', events: ['anything'] };
  expect(notebookFromJson(JSON.stringify(raw))).toMatchObject({ ok: false, sentence: refusals.newer.en });
  // A packed notebook of schema 2 without events, in the first form of the link.
  const link = '#/open/n1/ye0lNos20lGqABpRoQuyODoWRMBLDmB7F5OMBQA';
  expect(readLink(link)).toMatchObject({ ok: false, sentence: refusals.newer.en });
});
