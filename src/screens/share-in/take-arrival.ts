import type { Arrival } from '../../files/arrival.ts';
import type { HandOut } from '../../files/hand-out.ts';
import type { PageLanguage } from '../../language/page-language.ts';
import type { EventBody } from '../../log/event.ts';
import type { Checked } from '../../log/file.ts';
import type { Desk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { pageLanguage } from '../texts.ts';
import { texts } from './texts.ts';

/** What came of something that was brought in: a sentence for the person, and where to go on. */
export interface Brought {
  readonly ok: boolean;
  readonly sentence: string;
}

/** Reads a file; the code for it is loaded when it is wanted. */
export async function readFileArrival(file: Blob): Promise<Checked<Arrival>> {
  const { largestFile, readArrival } = await import('../../files/arrival.ts');
  if (file.size > largestFile)
    return { ok: false, sentence: 'This file is too large for a notebook.', cause: `${file.size} bytes` };
  try {
    return readArrival(new Uint8Array(await file.arrayBuffer()));
  } catch (error) {
    return { ok: false, sentence: 'The browser could not read this file.', cause: String(error) };
  }
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

/** Keeps what came in and opens it. A run sheet starts a new notebook with the plan filled in. */
export async function takeArrival(desk: Desk, arrival: Arrival): Promise<Brought> {
  if (arrival.kind === 'plan') return beginWith(desk, arrival.handOut, { group: '', members: '' });
  const { takeIn } = await import('../../files/take-in.ts');
  try {
    const taken = await takeIn(desk.store, arrival);
    await desk.refresh();
    await desk.open(taken.id);
    if (desk.state()) location.hash = hrefOf((desk.state()?.runs.length ?? 0) > 0 ? 'report' : 'run-sheet');
    return { ok: true, sentence: taken.sentence };
  } catch {
    await desk.keep(arrival.notebook);
    const open = desk.journal()?.id === arrival.notebook.id;
    if (open) location.hash = hrefOf('report');
    return {
      ok: open,
      sentence: `The browser did not store it: there is no room left, or it keeps no data here.${open ? ' It is open in this page only.' : ''}`,
    };
  }
}

/** The text of a file that holds columns of times and volumes; null for any other. */
export async function columnsIn(file: Blob, language: PageLanguage): Promise<string | null> {
  if (file.size > 5_000_000) return null;
  const { pastedReadings } = await import('../../files/pasted-readings.ts');
  const text = await file.text().catch(() => '');
  if (/^\s*[{[]|^PK|\0/.test(text) || /open(\/|%2f)/i.test(text)) return null;
  return pastedReadings(text, language).ok ? text : null;
}
