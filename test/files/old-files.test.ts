import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { readLink } from '../../src/files/link.ts';
import { notebookJsonSchema, schemaFile } from '../../src/files/notebook-schema.ts';
import { EventBody } from '../../src/log/event.ts';
import { notebookFromJson } from '../../src/log/file.ts';
import { created, reading, stamped, startRun } from '../log/events.ts';

/** What these forms held when they were first written. They must be read for as long as the product lives. */
const notebook = {
  id: '0f3c9a52-1d7e-4b8a-9c64-2a51b7e0d913',
  events: stamped(created, startRun('r1', '1'), ...reading('c1', 30, '5'), ...reading('c2', 61.2, '7.0'), {
    kind: 'corrected',
    reading: 'c2#0',
    value: '7.5',
    by: 'voice',
  }),
};

test('a link of the first version is read as it was meant', () => {
  const link =
    '#/open/n1/02QYuJ2YTQ6DIBCF79JumaRQEblHd10p2qSbLkzvn76BQpHSVDUR_8jE4Mw373mVsCe3s7O9ViRHM1EzdD1Z1zakei0HM51GK7mFPgY6CAOoABIFXRDt9xDfy-A8bv_oIwyOnWD2iEAewIHZw7zx9MEj5o_w9GHiYBZY4_mztf7rmROKY30xVctoV2HU8_PTST3Bw3rFNVvaySdAVPObvKp-wmW-o4BLFyqTFZnTadJBjqVcGLgbYyiyCplAqmv5s5OySK4Yl2_VUzU5t5rYCjLrS9KubYDbNYnGbtioZyr7LQriFagd_sQs4ufmMF9Pp47J9iOy9pFf';
  expect(readLink(link)).toEqual({ ok: true, value: { kind: 'notebook', notebook } });
});

test('a link of the second version, which only trial versions wrote, is refused with what to do', () => {
  const link =
    '#/open/n2/BftSWfIGUWyUyGPvXCY1zfBpaGFC_pbGbmf8wUoAd_1z39Oy3AATonxS6C2uiXVePLDmrXiX1DWgQytm-vAb_PB_KFSq5cgx3VDq0BOOv0jR-5eWQhjnZ2euZEl0JqGi4dRyZHGcxB5fsKhee0oiaRJhUFMPmu3wWzeFTp-avAL89g_nlqqQqy4McgkwhfDe-TOd8UYNILsiREparPAPA0CZUA';
  expect(readLink(link)).toMatchObject({
    ok: false,
    sentence:
      'This link was made by a trial version of Meniscall. Open it there, and share the notebook as a file or as a new link.',
  });
});

test('a file of schema 1 is read as it was meant, with its check and without', () => {
  const events = JSON.stringify(notebook.events);
  const head = '{"format":"meniscall-notebook","schema":1,"id":"0f3c9a52-1d7e-4b8a-9c64-2a51b7e0d913"';
  for (const check of [',"check":"0a07dbd6"', ''])
    expect(notebookFromJson(`${head}${check},"events":${events}}`)).toEqual({ ok: true, value: notebook });
  expect(notebookFromJson(`${head},"check":"0a07dbd7","events":${events}}`)).toMatchObject({ ok: false });
});

test('the published JSON Schema is the one that reads the files (npm run schema writes it anew)', () => {
  const published: unknown = JSON.parse(readFileSync(new URL(`../../public/${schemaFile}`, import.meta.url), 'utf8'));
  expect(published).toEqual(JSON.parse(JSON.stringify(notebookJsonSchema())));
});

test('the published JSON Schema names every kind of event', () => {
  const text = readFileSync(new URL(`../../public/${schemaFile}`, import.meta.url), 'utf8');
  for (const option of EventBody.def.options) {
    const [kind] = [...(option.def.shape.kind.def.values ?? [])];
    expect(text).toContain(`"const": "${kind}"`);
  }
});
