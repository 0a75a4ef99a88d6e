import type { Decimal, Meaning } from '../log/meaning.ts';
import { median } from '../numerics/median.ts';
import { entry, last, nth } from '../numerics/nth.ts';
import { clearKey } from './clear.ts';
import { confusability, partners } from './confusability.ts';
import { type Frame, firstValue, nextValue } from './course.ts';
import { channel, type Judgement, type Rival, rivalQuestion } from './expectation.ts';
import { leavesCurve } from './off-curve.ts';
import { keyOf, type Understood } from './understand.ts';
import type { Words } from './words.ts';

/** A call of a run that was, or could have been, a reading. Commands, talk and struck readings are left out. */
export interface RunCall {
  readonly id: string;
  readonly timeS: number;
  /** What the ears made of it; null for a sound without words. */
  readonly understood: Understood | null;
  /** Given or confirmed by a person: never touched, and taken as certain for the others. */
  readonly settled: Decimal | null;
  /** A "mark": whatever mark was due. */
  readonly marked: boolean;
  /** As the log has it now; null: unresolved. */
  readonly current: { readonly values: readonly Decimal[]; readonly doubtful: boolean } | null;
}

export interface ChangeOfMind {
  readonly id: string;
  readonly judgement: Judgement;
}

/** A state of one call in the chain. */
interface State {
  readonly key: string;
  readonly values: readonly number[];
  /** Probability of what was heard, up to a factor. */
  readonly emission: number;
  readonly heard: boolean;
}

/** Only so many latest calls are judged again: what lies further back is not changed by one more call. */
const lookBack = 16;
/** Belief from which another value replaces the one in the log, and from which a doubt is lifted. */
const changeFrom = 0.9;
const confirmFrom = 0.985;
/** A value no ear wrote needs more. */
const confirmUnheardFrom = 0.997;
/** What the heard number may have been instead must sound at least so much like it. */
const alikeFrom = 0.008;
/** The first of a run may be off the curve because the flow was not steady yet: then much more. */
const firstAlikeFrom = 0.05;
/** How often the first reading lies off the marks that the later ones agree on (reasoned). */
const startsOffMarks = 0.05;
/** Belief below which a taken value becomes doubtful. */
const doubtBelow = 0.6;

/**
 * Judges the calls of a run again, each given all others (sum over all courses of the run, forward and
 * backward), and returns where that changes the log: another value, a doubt lifted or raised. The first calls have no
 * expectation when they are judged; a misheard start shows two marks later.
 *
 * @param calls by time
 * Cost: about 5 ms for eleven calls; later calls than the last 16 only.
 */
export function rejudge(calls: readonly RunCall[], frame: Frame, words: Words): ChangeOfMind[] {
  const used = calls
    .slice(-lookBack)
    .filter((call) => call.settled !== null || call.marked || call.understood !== null);
  if (used.length < 2) return [];
  const first = calls.length <= lookBack;
  const states = statesOf(used, frame, words, clearValues(used));
  const silent = used.map((call, i) => silentBetween(calls, i === 0 ? null : nth(used, i - 1), call));
  let best = used.map((call) => Number(call.settled ?? call.current?.values.at(-1) ?? Number.NaN));
  let marginals: number[][] = [];
  for (let pass = 0; pass < 2; pass++) {
    const rates = ratesOf(used, best);
    marginals = forwardBackward(used, states, frame, rates, silent, first);
    best = marginals.map((shares, i) => last(likeliest(nth(states, i), shares).values));
  }
  const levels = used.map(({ current }) => Number(current?.values.at(-1) ?? Number.NaN));
  return used.flatMap((call, i): ChangeOfMind[] => {
    if (call.settled !== null) return [];
    const between = {
      after: i === 0 ? Number.NEGATIVE_INFINITY : nth(best, i - 1),
      before:
        i + 1 === used.length
          ? Number.POSITIVE_INFINITY
          : nth(likeliest(nth(states, i + 1), nth(marginals, i + 1)).values, 0),
    };
    const highest = { highest: Math.max(Number.NEGATIVE_INFINITY, ...best.slice(0, i)) };
    const judgement = changed(
      call,
      nth(states, i),
      nth(marginals, i),
      { ...between, ...highest, alike: i === 0 ? firstAlikeFrom : alikeFrom, isAlone: leavesCurve(used, levels, i) },
      words,
    );
    // The latest call was judged just now by all that is known; only later ones can lift a doubt about it.
    if (i === used.length - 1 && call.current?.doubtful && judgement?.outcome === 'taken') return [];
    return judgement ? [{ id: call.id, judgement }] : [];
  });
}

/** What is known of a call beside those around it. */
interface Around {
  /** The volumes before and after. */
  readonly after: number;
  readonly before: number;
  /** The highest volume of all before: readings never fall. */
  readonly highest: number;
  /** How much another number must sound like the heard one to be meant instead. */
  readonly alike: number;
  /** A value would leave the curve of its neighbours for this one moment. */
  isAlone(value: number): boolean;
}

/** A call with the likeliest of its states, and what stands in the log. */
interface Weighed {
  readonly call: RunCall;
  readonly states: readonly State[];
  readonly shares: readonly number[];
  readonly best: State;
  readonly p: number;
  /** Key of the values in the log; null: unresolved. */
  readonly now: string | null;
  /** Its state, and its share. */
  readonly current: State | null;
  readonly share: number;
  readonly sure: boolean;
  /** It is less than a reading before it. */
  readonly falls: boolean;
  /** What stands in the log leaves the curve of its neighbours for this one moment. */
  readonly alone: boolean;
  possible(state: State): boolean;
  judgement(
    outcome: 'taken' | 'doubtful',
    reason: string,
    of?: { readonly key: string; readonly p: number },
  ): Judgement;
}

function weighed(
  call: RunCall,
  states: readonly State[],
  shares: readonly number[],
  around: Around,
  words: Words,
): Weighed | null {
  const at = argmax(shares);
  const best = states[at];
  const p = shares[at];
  if (best === undefined || p === undefined) return null;
  const now = call.current?.values.join(' ') ?? null;
  const place = states.findIndex((state) => state.key === now);
  const rivals = rivalsOf(states, shares, best.key);
  const falls = (best.values[0] ?? Number.NaN) < around.highest;
  return {
    call,
    states,
    shares,
    best,
    p,
    now,
    current: states[place] ?? null,
    share: shares[place] ?? 0,
    sure:
      p >= (best.heard || call.marked ? confirmFrom : confirmUnheardFrom) &&
      !around.isAlone(Number(best.key)) &&
      !falls,
    falls,
    alone: now !== null && around.isAlone(Number(now)),
    possible: ({ heard, values }) =>
      heard && (values[0] ?? Number.NaN) > around.after && (values.at(-1) ?? Number.NaN) < around.before,
    judgement(outcome, reason, of = { key: best.key, p }) {
      const meaning = reading(of.key, call.marked);
      const ask = outcome === 'doubtful' ? rivalQuestion(meaning, rivals, words) : {};
      return { outcome, meaning, rivals, p: of.p, reason, ...ask };
    },
  };
}

function rivalsOf(states: readonly State[], shares: readonly number[], taken: string): Rival[] {
  return states
    .map((state, k) => ({ state, p: shares[k] ?? 0 }))
    .filter(({ state, p }) => state.key !== taken && p > 0.002)
    .sort((a, b) => b.p - a.p)
    .slice(0, 6)
    .map(({ state, p }) => ({
      meaning: reading(state.key, false),
      p,
      why: state.heard ? 'heard' : 'goes with the other readings',
    }));
}

const listed = (key: string): string => key.replaceAll(' ', ', ');

function changed(
  call: RunCall,
  states: readonly State[],
  shares: readonly number[],
  around: Around,
  words: Words,
): Judgement | null {
  const one = weighed(call, states, shares, around, words);
  if (one === null) return null;
  const { now, current } = one;
  // Heard clearly and alone, and the water can have stood there: marks alone bring no doubt.
  const clear = !call.current?.doubtful && call.understood !== null && clearKey(call.understood) === now;
  if (now !== null && clear && current && one.possible(current)) return offTheCurve(one, now, around, words);
  return now === one.best.key ? sameValue(one) : otherValue(one);
}

/** A clear value that leaves the curve for a moment, where another one that sounds like it would not. */
function offTheCurve(one: Weighed, now: string, around: Around, words: Words): Judgement | null {
  if (!around.isAlone(Number(now))) return null;
  const fits = one.states
    .map((state, k) => ({ state, share: one.shares[k] ?? 0 }))
    .filter(({ state }) => state !== one.current && state.values.length === 1 && !around.isAlone(Number(state.key)))
    .filter(({ state }) => state.heard || confusability(state.key, now, words).share >= around.alike)
    .sort((a, b) => b.share - a.share)[0];
  if (!fits) return null;
  const reason = `${now} leaves the curve of the readings around it, and only for a moment: ${fits.state.key} would fit`;
  return one.judgement('doubtful', reason, { key: now, p: one.share });
}

/** The readings around it speak for the value that stands in the log. */
function sameValue({ call, best, p, sure, alone, states, possible, judgement }: Weighed): Judgement | null {
  // What no ear heard is confirmed only where nothing that was heard can be.
  if (call.current?.doubtful)
    return sure && (best.heard || call.marked || !states.some(possible))
      ? judgement('taken', `${listed(best.key)} is confirmed by the readings around it`)
      : null;
  return p < doubtBelow || alone
    ? judgement('doubtful', `${listed(best.key)} hardly goes with the readings around it`)
    : null;
}

/** The readings around it speak for another value. */
function otherValue({
  call,
  best,
  p,
  now,
  current,
  share,
  sure,
  falls,
  possible,
  judgement,
}: Weighed): Judgement | null {
  const doubted = call.current?.doubtful === true;
  const shown = listed(best.key);
  // Numbers in the talk of a room may go with each other and not with the run: the water never falls.
  if (now === null)
    return p < changeFrom || falls
      ? null
      : judgement(sure && best.heard ? 'taken' : 'doubtful', `${shown} goes with the readings around it`);
  const hardly = `${listed(now)} hardly goes with the readings around it`;
  // What was heard and is possible stays, in doubt, beside a better guess that nobody heard.
  if (!best.heard && current && possible(current))
    return doubted || share >= doubtBelow
      ? null
      : judgement('doubtful', `${hardly}: ${shown} would`, { key: current.key, p: share });
  if (p < changeFrom) {
    if (share >= doubtBelow || (doubted && (p < 0.5 || p < 3 * share))) return null;
    return p >= 0.6 || doubted
      ? judgement('doubtful', `${hardly}: ${shown} would`)
      : judgement('doubtful', hardly, { key: now, p: share });
  }
  const reason = `${listed(now)} does not go with the readings around it: ${shown} does`;
  return judgement(sure && best.heard ? 'taken' : 'doubtful', reason);
}

function reading(key: string, marked: boolean): Meaning {
  return { kind: 'reading', values: key.split(' ').map((value) => ({ value })), ...(marked ? { marked: true } : {}) };
}

/** Values each call may have had: heard, confusable with what was heard, or on the marks of its neighbours. */
function statesOf(calls: readonly RunCall[], frame: Frame, words: Words, clear: readonly (string | null)[]): State[][] {
  const tops = calls.map((call) => topsOf(call));
  return calls
    .map((call, i) => {
      if (call.settled !== null)
        return [{ key: call.settled, values: [Number(call.settled)], emission: 1, heard: true }];
      const sure = clear[i] ?? null;
      if (sure !== null) return [{ key: sure, values: [Number(sure)], emission: 1, heard: true }];
      // Several in one breath were taken because nothing else was possible.
      if (call.current && !call.current.doubtful && call.current.values.length > 1)
        return [
          { key: call.current.values.join(' '), values: call.current.values.map(Number), emission: 1, heard: true },
        ];
      const keys = new Set<string>();
      const heard = new Set<string>();
      for (const { candidate } of call.understood?.candidates ?? []) {
        if (candidate.kind !== 'reading' || heard.size >= 10) continue;
        keys.add(keyOf(candidate));
        heard.add(keyOf(candidate));
      }
      if (call.current) keys.add(call.current.values.join(' '));
      for (const top of nth(tops, i))
        for (const partner of partners(top, words)) if (partner.share >= 0.01) keys.add(partner.value);
      if (frame.stepMl !== null)
        for (let j = Math.max(0, i - 3); j <= Math.min(calls.length - 1, i + 3); j++) {
          if (j === i) continue;
          for (const top of nth(tops, j)) keys.add(text(Number(top) + (i - j) * frame.stepMl, decimalsOf(top)));
        }
      return [...keys]
        .filter((key) => key.split(' ').every((value) => /^\d/.test(value) && Number(value) <= frame.capacityMl))
        .map(
          (key): State => ({
            key,
            values: key.split(' ').map(Number),
            emission: emissionOf(key.split(' '), call, words),
            heard: heard.has(key),
          }),
        );
    })
    .map((list, i) =>
      list.length > 0
        ? list
        : [
            {
              key: String(nth(calls, i).current?.values[0] ?? '0'),
              values: [Number(nth(calls, i).current?.values[0] ?? 0)],
              emission: 1,
              heard: false,
            },
          ],
    );
}

/** A list in one breath is rare; a "mark" says nothing of its value. */
function emissionOf(values: readonly Decimal[], call: RunCall, words: Words): number {
  if (call.marked || call.understood === null) return 1;
  let product = values.length > 1 ? 0.015 : 1;
  const { witnesses } = call.understood;
  for (const witness of witnesses) product *= channel(values, witness, words) ** (witnesses.length > 1 ? 0.85 : 1);
  return product;
}

/**
 * The values of calls that were heard clearly and taken, where no other clear one contradicts them: between their clear
 * neighbours, and on one curve with them. These stand; the calls around them are judged by them.
 */
function clearValues(calls: readonly RunCall[]): (string | null)[] {
  const own = calls.map(({ current, understood, settled }) => {
    const value = current?.values.length === 1 ? (current.values[0] ?? null) : null;
    if (settled !== null) return settled;
    return value !== null && !current?.doubtful && understood && clearKey(understood) === value ? value : null;
  });
  const levels = calls.map(({ current }) => Number(current?.values.at(-1) ?? Number.NaN));
  return own.map((value, i) => {
    if (value === null) return null;
    const before = own.slice(0, i).findLast((one) => one !== null) ?? null;
    const after = own.slice(i + 1).find((one) => one !== null) ?? null;
    const rises =
      (before === null || Number(before) < Number(value)) && (after === null || Number(value) < Number(after));
    return rises && !leavesCurve(calls, levels, i)(Number(value)) ? value : null;
  });
}

function topsOf(call: RunCall): Decimal[] {
  if (call.settled !== null) return [call.settled];
  const tops = new Set<string>(call.current?.values.slice(-1) ?? []);
  for (const { candidate } of call.understood?.candidates ?? [])
    if (candidate.kind === 'reading' && candidate.values.length === 1 && tops.size < 3)
      tops.add(last(candidate.values));
  return [...tops];
}

const decimalsOf = (value: string) => value.split('.')[1]?.length ?? 0;
const text = (value: number, decimals: number) =>
  decimals > 0 ? value.toFixed(decimals) : String(Number(value.toFixed(6)));

/** Sounds without words between two calls: marks that may have been passed. */
function silentBetween(all: readonly RunCall[], before: RunCall | null, call: RunCall): number {
  if (!before) return 0;
  return all.slice(all.indexOf(before) + 1, all.indexOf(call)).length;
}

/** Rate between each call and the one before it as the intervals around tell it, mL/s; null where too few are known. */
function ratesOf(calls: readonly RunCall[], best: readonly number[]): (number | null)[] {
  const rates = calls.map((call, i) =>
    i === 0 ? Number.NaN : (nth(best, i) - nth(best, i - 1)) / (call.timeS - nth(calls, i - 1).timeS),
  );
  return calls.map((_, i) => {
    const others = rates.filter((rate, k) => k !== i && Math.abs(k - i) <= 4 && Number.isFinite(rate));
    if (others.length < 3) return null;
    const rate = median(others);
    return rate > 0 ? rate : null;
  });
}

function forwardBackward(
  calls: readonly RunCall[],
  states: readonly (readonly State[])[],
  frame: Frame,
  rates: readonly (number | null)[],
  silent: readonly number[],
  first: boolean,
): number[][] {
  const within = (state: State) => {
    let p = 1;
    for (let k = 1; k < state.values.length; k++)
      p *= nextValue(nth(state.values, k), nth(state.values, k - 1), 1, frame, null);
    return p;
  };
  const local = states.map((list) => list.map((state) => state.emission * within(state)));
  const steps = states.slice(1).map((list, k) => {
    const i = k + 1;
    const gap = nth(calls, i).timeS - nth(calls, i - 1).timeS;
    const rate = rates[i] ?? null;
    return nth(states, i - 1).map((from) => {
      const lastMl = last(from.values);
      const ahead = rate === null ? 0 : rate * gap;
      const prediction =
        rate === null
          ? null
          : { volumeMl: lastMl + ahead, uMl: Math.max(0.3 * (frame.stepMl ?? ahead), 0.25 * ahead, 1e-6) };
      return list.map((to) => {
        const [volumeMl, skipped] = [nth(to.values, 0), nth(silent, i)];
        const plain = nextValue(volumeMl, lastMl, 1, frame, prediction);
        if (skipped === 0) return plain;
        return 0.5 * plain + 0.5 * nextValue(volumeMl, lastMl, 1 + skipped, frame, prediction);
      });
    });
  });
  const forward: number[][] = [];
  const started = ({ values }: State): number => {
    const volumeMl = nth(values, 0);
    return first ? firstValue(volumeMl, frame) * (onMarks(volumeMl, frame) ? 1 : startsOffMarks) : 1;
  };
  for (const [i, list] of states.entries()) {
    const before = forward.at(-1);
    const reached = (state: State, k: number): number =>
      before ? sum(before.map((p, j) => p * entry(nth(steps, i - 1), j, k))) : started(state);
    forward.push(normalised(list.map((state, k) => reached(state, k) * entry(local, i, k))));
  }
  const backward: number[][] = states.map((list) => list.map(() => 1));
  for (let i = states.length - 2; i >= 0; i--) {
    const next = nth(local, i + 1).map((p, j) => p * entry(backward, i + 1, j));
    backward[i] = normalised(nth(steps, i).map((row) => sum(row.map((p, j) => p * nth(next, j)))));
  }
  return states.map((list, i) => normalised(list.map((_, k) => entry(forward, i, k) * entry(backward, i, k))));
}

const onMarks = (value: number, { anchorMl, stepMl }: Frame): boolean =>
  anchorMl === undefined ||
  stepMl === null ||
  Math.abs((value - anchorMl) / stepMl - Math.round((value - anchorMl) / stepMl)) < 1e-6;

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);

function normalised(values: readonly number[]): number[] {
  const total = sum(values);
  return total > 0 ? values.map((value) => value / total) : values.map(() => 1 / values.length);
}

const likeliest = (states: readonly State[], shares: readonly number[]): State => nth(states, argmax(shares));

function argmax(values: readonly number[]): number {
  let at = 0;
  values.forEach((value, k) => {
    if (value > nth(values, at)) at = k;
  });
  return at;
}
