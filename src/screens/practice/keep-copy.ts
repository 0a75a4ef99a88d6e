import { newId } from '../../log/new-id.ts';
import { copyOfExample } from '../../rehearsal/demo.ts';
import type { Desk } from '../desk.tsx';
import { pageLanguage } from '../texts.ts';
import { texts } from './texts.ts';

/** Keeps the open example as a notebook of one's own, and opens that. */
export async function keepCopy(desk: Desk): Promise<void> {
  const journal = desk.journal();
  if (!journal) return;
  const t = texts[pageLanguage()];
  await desk.keep(copyOfExample({ events: journal.events() }, newId(), t.copyTitle));
  desk.announce(t.copied);
}
