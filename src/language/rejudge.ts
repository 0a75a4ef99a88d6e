import type { Decimal, Meaning } from '../log/meaning.ts';
import { fitLinear } from '../numerics/least-squares.ts';
import { median } from '../numerics/median.ts';
import { clearKey } from './clear.ts';
import { confusability, partners } from './confusability.ts';
import { type Frame, firstValue, nextValue } from './course.ts';
import { channel, type Judgement, type Rival, rivalQuestion } from './expectation.ts';
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
/** How often the first reading lies off the marks that the later ones agree on (reasoned). */
const startsOffMarks = 0.05;
/** Belief below which a taken value becomes doubtful. */
const doubtBelow = 0.6;

/**
 * Judges the calls of a run again, each in the light of all others (sum over all courses of the run, forward and
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
  const silent = used.map((call, i) => silentBetween(calls, i === 0 ? null : used[i - 1]!, call));
  let best = used.map((call) => Number(call.settled ?? call.current?.values.at(-1) ?? Number.NaN));
  let marginals: number[][] = [];
  for (let pass = 0; pass < 2; pass++) {
    const rates = ratesOf(used, best);
    marginals = forwardBackward(used, states, frame, rates, silent, first);
    best = marginals.map((shares, i) => states[i]![argmax(shares)]!.values.at(-1)!);
  }
  const levels = used.map(({ current }) => Number(current?.values.at(-1) ?? Number.NaN));
  return used.flatMap((call, i): ChangeOfMind[] => {
    if (call.settled !== null) return [];
    const between = {
      after: i === 0 ? Number.NEGATIVE_INFINITY : best[i - 1]!,
      before:
        best[i + 1] === undefined ? Number.POSITIVE_INFINITY : states[i + 1]![argmax(marginals[i + 1]!)]!.values[0]!,
    };
    const judgement = changed(
      call,
      states[i]!,
      marginals[i]!,
      { ...between, alike: i === 0 ? firstAlikeFrom : alikeFrom, isAlone: leavesCurve(used, levels, i) },
      words,
    );
    // The latest call was judged just now by all that is known; only later ones can lift a doubt about it.
    if (i === used.length - 1 && call.current?.doubtful && judgement?.outcome === 'taken') return [];
    return judgement ? [{ id: call.id, judgement }] : [];
  });
}

function changed(
  call: RunCall,
  states: readonly State[],
  shares: readonly number[],
  between: { readonly after: number; readonly before: number; readonly alike: number; isAlone(value: number): boolean },
  words: Words,
): Judgement | null {
  const at = argmax(shares);
  const { key, heard } = states[at]!;
  const p = shares[at]!;
  const now = call.current?.values.join(' ') ?? null;
  const rivals = states
    .map((state, k) => ({ state, p: shares[k]! }))
    .filter(({ state, p: share }) => state.key !== key && share > 0.002)
    .sort((a, b) => b.p - a.p)
    .slice(0, 6)
    .map(
      ({ state, p: share }): Rival => ({
        meaning: reading(state.key, false),
        p: share,
        why: state.heard ? 'heard' : 'goes with the other readings',
      }),
    );
  const meaning = reading(key, call.marked);
  const shown = key.replaceAll(' ', ', ');
  const possible = (state: State): boolean =>
    state.heard && state.values[0]! > between.after && state.values.at(-1)! < between.before;
  const sure = p >= (heard || call.marked ? confirmFrom : confirmUnheardFrom) && !between.isAlone(Number(key));
  const doubt = (reason: string): Judgement => ({
    outcome: 'doubtful',
    meaning,
    rivals,
    p,
    reason,
    ...rivalQuestion(meaning, rivals, words),
  });
  // Heard clearly and alone, and the water can have stood there: marks alone bring no doubt.
  const asHeard = states.find((state) => state.key === now);
  if (now !== null && !call.current?.doubtful && call.understood && clearKey(call.understood) === now)
    if (asHeard && possible(asHeard)) {
      const fits = states
        .map((state, k) => ({ state, share: shares[k] ?? 0 }))
        .filter(({ state }) => state !== asHeard && state.values.length === 1 && !between.isAlone(state.values[0] ?? 0))
        .filter(({ state }) => state.heard || confusability(state.key, now, words).share >= between.alike)
        .sort((a, b) => b.share - a.share)[0];
      if (!fits || !between.isAlone(Number(now))) return null;
      return {
        ...doubt(
          `${now} leaves the curve of the readings around it, and only for a moment: ${fits.state.key} would fit`,
        ),
        meaning: reading(now, call.marked),
        p: shares[states.indexOf(asHeard)] ?? 0,
      };
    }
  if (now === key) {
    // What no ear heard is confirmed only where nothing that was heard can be.
    if (call.current?.doubtful && sure && (heard || call.marked || !states.some(possible)))
      return { outcome: 'taken', meaning, rivals, p, reason: `${shown} is confirmed by the readings around it` };
    if (!call.current?.doubtful && p < doubtBelow) return doubt(`${shown} hardly goes with the readings around it`);
    return null;
  }
  const current = states.find((state) => state.key === now);
  const share = shares[states.findIndex((state) => state.key === now)] ?? 0;
  // What was heard and is possible stays, in doubt, beside a better guess that nobody heard.
  if (!heard && current && possible(current)) {
    if (call.current?.doubtful || share >= doubtBelow) return null;
    return {
      ...doubt(`${now?.replaceAll(' ', ', ')} hardly goes with the readings around it: ${shown} would`),
      meaning: reading(current.key, call.marked),
      p: share,
    };
  }
  if (p < changeFrom) {
    const undecided = call.current?.doubtful && (p < 0.5 || p < 3 * share);
    if (now === null || share >= doubtBelow || undecided) return null;
    const plain = now.replaceAll(' ', ', ');
    if (p >= 0.6 || call.current?.doubtful)
      return doubt(`${plain} hardly goes with the readings around it: ${shown} would`);
    return {
      ...doubt(`${plain} hardly goes with the readings around it`),
      meaning: reading(now, call.marked),
      p: share,
    };
  }
  const reason =
    now === null
      ? `${shown} goes with the readings around it`
      : `${now.replaceAll(' ', ', ')} does not go with the readings around it: ${shown} does`;
  return sure && heard ? { outcome: 'taken', meaning, rivals, p, reason } : doubt(reason);
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
      for (const top of tops[i]!)
        for (const partner of partners(top, words)) if (partner.share >= 0.01) keys.add(partner.value);
      if (frame.stepMl !== null)
        for (let j = Math.max(0, i - 3); j <= Math.min(calls.length - 1, i + 3); j++) {
          if (j === i) continue;
          for (const top of tops[j]!) keys.add(text(Number(top) + (i - j) * frame.stepMl, decimalsOf(top)));
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
              key: String(calls[i]!.current?.values[0] ?? '0'),
              values: [Number(calls[i]!.current?.values[0] ?? 0)],
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
    if (candidate.kind === 'reading' && candidate.values.length === 1 && tops.size < 3) tops.add(candidate.values[0]!);
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
    i === 0 ? Number.NaN : (best[i]! - best[i - 1]!) / (call.timeS - calls[i - 1]!.timeS),
  );
  return calls.map((_, i) => {
    const others: number[] = [];
    for (let k = Math.max(1, i - 4); k <= Math.min(calls.length - 1, i + 4); k++)
      if (k !== i && Number.isFinite(rates[k])) others.push(rates[k]!);
    if (others.length < 3) return null;
    const rate = median(others);
    return rate > 0 ? rate : null;
  });
}

/** Scatter of a practised caller, s, and how many times it a single reading may lie off (reasoned). */
const callerS = 0.25;
const offFrom = 4;
/** What the heard number may have been instead must sound at least so much like it. */
const alikeFrom = 0.008;
/** The first of a run may be off the curve because the flow was not steady yet: then much more. */
const firstAlikeFrom = 0.05;

/**
 * Whether a value at call `i` leaves the curve for that one moment: no surge does that, since what has dripped stays.
 * The curve is a parabola through up to three readings on either side; where those do not lie on one (a surge among
 * them), and for the two latest calls, nothing can be told.
 */
function leavesCurve(calls: readonly RunCall[], levels: readonly number[], i: number): (value: number) => boolean {
  const now = calls[i];
  if (!now) return () => false;
  const points = calls.flatMap((call, k) => {
    const ml = levels[k] ?? Number.NaN;
    const sure = call.settled !== null || (call.current !== null && !call.current.doubtful);
    return k !== i && sure && Number.isFinite(ml) ? [{ s: call.timeS - now.timeS, ml, before: k < i }] : [];
  });
  const before = points.filter((point) => point.before).slice(-3);
  const after = points.filter((point) => !point.before).slice(0, before.length === 0 ? 5 : 3);
  const around = [...before, ...after];
  if (after.length < 2 || around.length < 4) return () => false;
  const columns = [around.map(() => 1), around.map(({ s }) => s), around.map(({ s }) => s * s)];
  const { coefficients, cofactor, residualSd } = fitLinear(
    columns,
    around.map(({ ml }) => ml),
  );
  const [level = 0, rate = 0] = coefficients;
  if (!(rate > 0)) return () => false;
  const scatterMl = Math.max(residualSd ?? 0, rate * callerS) * Math.sqrt(1 + (cofactor[0]?.[0] ?? 0));
  return (value) => Math.abs(value - level) > offFrom * scatterMl;
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
      p *= nextValue(state.values[k]!, state.values[k - 1]!, 1, frame, null);
    return p;
  };
  const local = states.map((list) => list.map((state) => state.emission * within(state)));
  const steps = states.slice(1).map((list, k) => {
    const i = k + 1;
    const gap = calls[i]!.timeS - calls[i - 1]!.timeS;
    const rate = rates[i] ?? null;
    return states[i - 1]!.map((from) => {
      const last = from.values.at(-1)!;
      const ahead = rate === null ? 0 : rate * gap;
      const prediction =
        rate === null
          ? null
          : { volumeMl: last + ahead, uMl: Math.max(0.3 * (frame.stepMl ?? ahead), 0.25 * ahead, 1e-6) };
      return list.map((to) => {
        const plain = nextValue(to.values[0]!, last, 1, frame, prediction);
        if (silent[i] === 0) return plain;
        return 0.5 * plain + 0.5 * nextValue(to.values[0]!, last, 1 + silent[i]!, frame, prediction);
      });
    });
  });
  const forward: number[][] = [];
  states.forEach((list, i) => {
    forward.push(
      normalised(
        list.map((state, k) => {
          const before =
            i === 0
              ? first
                ? firstValue(state.values[0]!, frame) * (onMarks(state.values[0]!, frame) ? 1 : startsOffMarks)
                : 1
              : sum(forward[i - 1]!.map((p, j) => p * steps[i - 1]![j]![k]!));
          return before * local[i]![k]!;
        }),
      ),
    );
  });
  const backward: number[][] = states.map((list) => list.map(() => 1));
  for (let i = states.length - 2; i >= 0; i--)
    backward[i] = normalised(
      states[i]!.map((_, k) =>
        sum(states[i + 1]!.map((_next, j) => steps[i]![k]![j]! * local[i + 1]![j]! * backward[i + 1]![j]!)),
      ),
    );
  return states.map((list, i) => normalised(list.map((_, k) => forward[i]![k]! * backward[i]![k]!)));
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

function argmax(values: readonly number[]): number {
  let at = 0;
  values.forEach((value, k) => {
    if (value > values[at]!) at = k;
  });
  return at;
}
