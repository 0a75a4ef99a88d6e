import { nth } from '../numerics/nth.ts';
import type { Json } from './columns.ts';

/**
 * Moments of an event told from what is known already, so that only small differences are written: a call's end from
 * the moment it was recorded, its onset from its end, the lag of words from both, the moment of what was said from
 * the call that said it. Differences are whole tenths of a millisecond, in which the notebook counts; a notebook with
 * finer moments is written as it is (`relate` gives null).
 */
type Body = { readonly [key: string]: Json };

const tenths = (ms: number): number => Math.round(ms * 10);
const exact = (ms: unknown): ms is number => typeof ms === 'number' && tenths(ms) / 10 === ms && Math.abs(ms) < 1e13;
const isNumber = (value: unknown): value is number => typeof value === 'number';

/** Bodies with differences in place of moments. */
export function relate(atMs: readonly number[], bodies: readonly Body[]): Body[] | null {
  const onsets = new Map<Json, number>();
  if (!atMs.every(exact)) return null;
  const related: Body[] = [];
  for (const [i, body] of bodies.entries()) {
    const at = tenths(nth(atMs, i));
    for (const key of ['onsetMs', 'endMs', 'timeMs', 'lagMs']) {
      const value = body[key];
      if (value !== undefined && value !== null && !exact(value)) return null;
    }
    const next = { ...body };
    if (body.kind === 'called' && isNumber(body.onsetMs)) {
      const onset = tenths(body.onsetMs);
      onsets.set(body.call ?? null, onset);
      const end = isNumber(body.endMs) ? tenths(body.endMs) : null;
      next.onsetMs = (end ?? at) - onset;
      if (end !== null) next.endMs = at - end;
    }
    if (body.kind === 'heard' && isNumber(body.lagMs)) next.lagMs = tenths(body.lagMs) - expectedLag(at, onsets, body);
    if (isNumber(body.timeMs)) next.timeMs = tenths(body.timeMs) - lastOnset(at, onsets, body);
    related.push(next);
  }
  return related;
}

/** The inverse of `relate`. */
export function unrelate(atMs: readonly number[], bodies: readonly Json[]): Json[] {
  const onsets = new Map<Json, number>();
  return bodies.map((body, i) => {
    if (typeof body !== 'object' || body === null || Array.isArray(body)) return body;
    const given = body as Body;
    const at = tenths(atMs[i] ?? 0);
    const changed: [string, Json][] = [];
    if (given.kind === 'called' && isNumber(given.onsetMs)) {
      const end = isNumber(given.endMs) ? at - given.endMs : null;
      const onset = (end ?? at) - given.onsetMs;
      onsets.set(given.call ?? null, onset);
      changed.push(['onsetMs', onset / 10]);
      if (end !== null) changed.push(['endMs', end / 10]);
    }
    if (given.kind === 'heard' && isNumber(given.lagMs))
      changed.push(['lagMs', (given.lagMs + expectedLag(at, onsets, given)) / 10]);
    if (isNumber(given.timeMs)) changed.push(['timeMs', (given.timeMs + lastOnset(at, onsets, given)) / 10]);
    return Object.fromEntries([...Object.entries(given), ...changed]);
  });
}

/** Words are recorded as soon as they come: the lag is the time since the onset, in whole ms. */
function expectedLag(at: number, onsets: ReadonlyMap<Json, number>, body: Body): number {
  return Math.round((at - (onsets.get(body.call ?? null) ?? at)) / 10) * 10;
}

/** The onset of the call that is named, else of the latest one, else the moment of recording. */
function lastOnset(at: number, onsets: ReadonlyMap<Json, number>, body: Body): number {
  if (body.call !== undefined) return onsets.get(body.call) ?? at;
  let latest = at;
  for (const onset of onsets.values()) latest = onset;
  return latest;
}
