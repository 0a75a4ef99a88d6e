import type { RunData } from '../analysis/run-data.ts';
import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import type { Sentences } from '../log/refusal.ts';
import { doubtful, type InputKind, implausible } from '../planning/plausible-input.ts';
import { tableRefusals as t } from './table-refusals.ts';

/** Slips that no cell shows by itself, but a run or the whole table does. */
export interface TableSlips {
  /** Why the table is not taken; null where it is. */
  readonly refused: Sentences | null;
  /** What is taken, and is more often a slip. */
  readonly notes: readonly Sentences[];
}

type Say = (kind: InputKind, value: number, language: 'en' | 'de') => string | null;

/** What is said of a value, in both languages; null where nothing is. */
export const inBoth = (say: Say, kind: InputKind, value: number): Sentences | null => {
  const [en, de] = [say(kind, value, 'en'), say(kind, value, 'de')];
  return en !== null && de !== null ? { en, de } : null;
};

/** Runs called by hand take longer, and end the same day. Common practice, no source. */
const [shortestS, longestS] = [6, 6 * 3600];

/** Units that were mistaken, or columns that were swapped, as far as all readings together tell. */
export function tableSlips(runs: readonly RunData[]): TableSlips {
  const ofRuns = runs.map(spansOf);
  const greatest = Math.max(0, ...ofRuns.map(({ high }) => high));
  const size = greatest > 0 ? inBoth(implausible, 'greatestMl', greatest) : null;
  const small = greatest > 0 ? inBoth(doubtful, 'greatestMl', greatest) : null;
  const below = runs.find((run, i) => isBelowBaseline(run, ofRuns[i]));
  const refused = size
    ? t.greatest(size)
    : below
      ? t.belowBaseline(below.label, plain((below.baselineM3?.value ?? 0) * 1e6))
      : null;
  const longest = Math.max(0, ...ofRuns.map(({ seconds }) => seconds));
  const most = Math.max(0, ...runs.map(({ readings }) => readings.length));
  return {
    refused,
    notes: [
      ...(small ? [t.greatest(small)] : []),
      ...(longest > 0 && longest < shortestS && most >= 4 ? [t.shortRuns(plain(longest))] : []),
      ...(longest > longestS ? [t.longRuns(plain(longest / 3600))] : []),
      ...runs.flatMap((run, i) => wideOf(run, ofRuns[i])),
      ...runs.flatMap((run, i) => overCeilingOf(run, ofRuns[i])),
      ...oddOf(runs),
    ],
  };
}

interface Spans {
  /** Greatest and least volume, mL. */
  readonly high: number;
  readonly low: number;
  readonly seconds: number;
}

function spansOf({ readings }: RunData): Spans {
  let [high, low, first, last] = [-Infinity, Infinity, Infinity, -Infinity];
  for (const { volumeM3, timeS } of readings) {
    high = Math.max(high, volumeM3 * 1e6);
    low = Math.min(low, volumeM3 * 1e6);
    first = Math.min(first, timeS);
    last = Math.max(last, timeS);
  }
  return { high, low, seconds: last - first };
}

function isBelowBaseline({ baselineM3, readings }: RunData, spans: Spans | undefined): boolean {
  if (!baselineM3 || !spans || readings.length < 2) return false;
  // A reading or two a little below it are a matter of the eye.
  return spans.high < baselineM3.value * 1e6 - Math.max(1, spans.high - spans.low);
}

/** Stated uncertainties so large that they must be in another unit. */
function wideOf({ label, readings, uStated }: RunData, spans: Spans | undefined): Sentences[] {
  if (uStated === false || !spans || readings.length < 2) return [];
  const { high, low, seconds } = spans;
  const wideTime = readings.every(({ uTimeS }) => uTimeS > seconds);
  const wideVolume = high > low && readings.every(({ uVolumeM3 }) => uVolumeM3 * 1e6 > high - low);
  return [...(wideTime ? [t.wideTime(label)] : []), ...(wideVolume ? [t.wideVolume(label)] : [])];
}

function overCeilingOf({ label, ceilingM3, baselineM3 }: RunData, spans: Spans | undefined): Sentences[] {
  if (!ceilingM3 || !spans) return [];
  const displaced = spans.high - (baselineM3?.value ?? 0) * 1e6;
  const ceiling = ceilingM3.value * 1e6;
  return displaced > 1.05 * ceiling + 1 ? [t.overCeiling(label, plain(ceiling))] : [];
}

/** Temperatures, pressures and moles of gas that can be true and seldom are, each value once. */
function oddOf(runs: readonly RunData[]): Sentences[] {
  const celsius = runs.flatMap(({ temperatureK }) => (temperatureK ? [temperatureK.value - CELSIUS_ZERO_K] : []));
  const hPa = runs.flatMap(({ gas }) => (gas ? [gas.pressurePa.value / 100] : []));
  const perMol = runs.flatMap(({ gas }) => (gas ? [gas.gasPerLimiting] : []));
  return [
    ...[...new Set(celsius)].flatMap((value) => oddly('temperature_Cel', 'temperatureC', value)),
    ...[...new Set(hPa)].flatMap((value) => oddly('pressure_hPa', 'pressureHPa', value)),
    ...[...new Set(perMol)].flatMap((value) => oddly('gas_per_limiting', 'gasPerLimiting', value)),
  ];
}

function oddly(name: string, kind: InputKind, value: number): Sentences[] {
  const said = inBoth(doubtful, kind, value);
  return said ? [{ en: `${name}: ${said.en}`, de: `${name}: ${said.de}` }] : [];
}

const plain = (value: number): string => String(Number(value.toPrecision(3)));

/** Columns of a saved table that hold what a person reads and the computation does not. */
const forPeople = new Set([
  'reading',
  'as_taken',
  'heard',
  'timed_by',
  'reason',
  'changes',
  'note',
  'notes',
  'comment',
]);

/** Columns that were passed over though they have a name; null where there are none. */
export function passedOver(header: readonly string[], isRead: (name: string) => boolean): Sentences | null {
  const names = header.map((cell) => cell.replace(/\s+/g, ' ').trim());
  const unread = names.filter((name) => name !== '' && !isRead(name) && !forPeople.has(name.toLowerCase()));
  return unread.length > 0 ? t.passedOver(unread.slice(0, 10).map((name) => name.slice(0, 40))) : null;
}
