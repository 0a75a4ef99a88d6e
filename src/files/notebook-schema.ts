import { z } from 'zod/mini';
import { schemaVersion } from '../log/event.ts';
import { NotebookFile } from '../log/file.ts';

/** Where the schema is published, beside the app. */
export const schemaFile = 'notebook.schema.json';

/**
 * The notebook file as JSON Schema (draft 2020-12), made from the very schema that reads it. What no schema can say is
 * said in its description.
 */
export function notebookJsonSchema(): object {
  return {
    ...z.toJSONSchema(NotebookFile, { target: 'draft-2020-12', io: 'input' }),
    title: `Meniscall notebook, schema ${schemaVersion}`,
    description:
      'What happened, in order. Besides this schema: events are numbered (seq) from 1 without holes, their ids are ' +
      'unique, atMs never falls, and the first event is "created". "check" may be left out; when it is there it is ' +
      'the CRC-32 (as in ZIP and PNG, eight hexadecimal digits) of the UTF-8 bytes of the JSON text of [id, events] ' +
      'without spaces, the keys of every object in order of their UTF-16 code units.',
  };
}
