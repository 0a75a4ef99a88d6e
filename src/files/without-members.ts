import type { NotebookEvent } from '../log/event.ts';

/** The events of a notebook without the names of people: what a link carries unless more is wished. */
export const withoutMembers = (events: readonly NotebookEvent[]): readonly NotebookEvent[] =>
  events.map((event) =>
    event.body.kind === 'members-named' ? { ...event, body: { ...event.body, members: '' } } : event,
  );
