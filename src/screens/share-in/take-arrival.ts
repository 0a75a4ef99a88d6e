import type { Arrival } from '../../files/arrival.ts';
import type { Checked } from '../../log/file.ts';
import type { Desk } from '../desk.tsx';
import { hrefOf } from '../route.ts';

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

/** Keeps what came in and opens it. A run sheet starts a new notebook with the plan filled in. */
export async function takeArrival(desk: Desk, arrival: Arrival): Promise<Brought> {
  if (arrival.kind === 'plan') {
    const { title, plan, setup } = arrival.handOut;
    if (!(await desk.create(title))) return { ok: false, sentence: 'The notebook could not be made.' };
    await desk.record({ kind: 'planned', plan }, ...(setup ? [{ kind: 'set-up' as const, setup }] : []));
    location.hash = hrefOf('run-sheet');
    return { ok: true, sentence: 'A new notebook begins with this run sheet.' };
  }
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
