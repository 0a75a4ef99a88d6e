import { writeFileSync } from 'node:fs';
import { notebookJsonSchema, schemaFile } from '../files/notebook-schema.ts';

/** `npm run schema`: writes the JSON Schema of the notebook file to `public/`, from where it is published with the app. */
writeFileSync(
  new URL(`../../public/${schemaFile}`, import.meta.url),
  `${JSON.stringify(notebookJsonSchema(), null, 1)}\n`,
);
