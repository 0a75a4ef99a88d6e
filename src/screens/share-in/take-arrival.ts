import type { Door } from '../../files/door.ts';
import type { HandOut } from '../../files/hand-out.ts';
import type { EventBody } from '../../log/event.ts';
import type { NotebookState } from '../../log/state.ts';
import type { Desk } from '../desk.tsx';
import { hrefOf, type Screen } from '../route.ts';
import { pageLanguage } from '../texts.ts';
import { texts } from './texts.ts';

/** What came of something that was brought in: a sentence for the person, and where to go on. */
export interface Brought {
  readonly ok: boolean;
  readonly sentence: string;
}

/** A new notebook by a hand-out, open at the Bench: all that is left to do there is to listen. */
export async function beginWith(
  desk: Desk,
  { title, plan, setup, groups, questions }: HandOut,
  who: { readonly group: string; readonly members: string },
): Promise<Brought> {
  const t = texts[pageLanguage()];
  if (!(await desk.create(title))) return { ok: false, sentence: t.notMade };
  const bodies: EventBody[] = [{ kind: 'planned', plan }];
  if (setup) bodies.push({ kind: 'set-up', setup });
  if (groups || questions)
    bodies.push({ kind: 'class-planned', classPlan: { groups: [...(groups ?? [])], questions: questions ?? '' } });
  if (who.group !== '') bodies.push({ kind: 'grouped', group: who.group.slice(0, 80) });
  if (who.members !== '') bodies.push({ kind: 'members-named', members: who.members.slice(0, 400) });
  await desk.record(...bodies);
  location.hash = hrefOf('bench');
  return { ok: true, sentence: t.begun };
}

/** Where a notebook that came in is looked at. The report of a very large one takes seconds: its readings come first. */
function screenFor(state: NotebookState | null): Screen {
  if (!state || state.runs.length === 0) return 'run-sheet';
  // A single entry may bring two thousand readings.
  const readings = state.runs.reduce((sum, run) => sum + run.readings.length, 0);
  return state.events > 20_000 || readings > 8000 ? 'readings' : 'report';
}

/** Keeps the notebook that waits at the door, and opens it. */
export async function keepArrived(desk: Desk, door: Door): Promise<Brought> {
  const language = pageLanguage();
  const t = texts[language];
  const kept = await door.keep(language);
  if (!kept.ok) return { ok: false, sentence: kept.sentences[language] };
  if (kept.value) {
    const { id, sentence } = kept.value;
    await desk.refresh();
    await desk.open(id);
    if (desk.journal()?.id === id) {
      location.hash = hrefOf(screenFor(desk.state()));
      return { ok: true, sentence };
    }
    // Another window has it, or the open notebook could not give way; both are said by the desk.
    if (desk.notebooks().some((notebook) => notebook.id === id)) return { ok: true, sentence };
  }
  // This page cannot store it, or not read what was stored: it opens in the page alone.
  const content = await door.content();
  if (!content.ok) return { ok: false, sentence: content.sentences[language] };
  await desk.keep(content.value);
  const open = desk.journal()?.id === content.value.id;
  if (open) location.hash = hrefOf('report');
  return { ok: open, sentence: open ? `${t.notStored} ${t.inThisPage}` : t.notStored };
}
