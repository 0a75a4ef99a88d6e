import { nth } from '../numerics/nth.ts';
import { checksumOf } from './checksum.ts';
import { type NotebookEvent, schemaVersion } from './event.ts';
import type { Notebook } from './state.ts';

/** JSON text of a notebook, one event a line so that two files can be compared by eye. */
export function notebookToJson(notebook: Notebook): string {
  const events = notebook.events.map((event) => `  ${JSON.stringify(event)}`).join(',\n');
  return `{\n "format": "meniscall-notebook",\n "schema": ${schemaVersion},\n "id": ${JSON.stringify(
    notebook.id,
  )},\n "check": "${checksumOf([notebook.id, notebook.events])}",\n "events": [\n${events}\n ]\n}\n`;
}

/**
 * What is left of a notebook with damaged entries, as a whole log that opens anywhere: numbered anew, and begun if its
 * beginning is gone. Any other notebook comes back as it is.
 */
export function withoutHoles(notebook: Notebook): Notebook {
  const { id, events } = notebook;
  const first = events[0];
  if (!first || orderFault(events) === null) return notebook;
  const begun: NotebookEvent[] =
    first.body.kind === 'created'
      ? []
      : [
          {
            ...first,
            id: `${id.slice(0, 8)}-0`,
            body: { kind: 'created', title: '', seed: 1, invented: false, app: '' },
          },
        ];
  return { id, events: [...begun, ...events].map((event, index) => ({ ...event, seq: index + 1 })) };
}

/** What is wrong with the order of events, or null: numbered from 1 without holes, ids unique, time never back. */
export function orderFault(events: readonly NotebookEvent[]): string | null {
  const ids = new Set<string>();
  let lastMs = 0;
  for (let i = 0; i < events.length; i++) {
    const event = nth(events, i);
    if (event.seq !== i + 1) return `event ${i + 1} has number ${event.seq}`;
    if (ids.has(event.id)) return `event id ${event.id} twice`;
    if (event.atMs < lastMs) return `event ${event.seq} is earlier than the one before it`;
    ids.add(event.id);
    lastMs = event.atMs;
  }
  if (events[0]?.body.kind !== 'created') return 'the first event is not the creation';
  return null;
}
