import fc from 'fast-check';
import { deflateSync, zipSync } from 'fflate';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { writeArchive } from '../../src/files/archive.ts';
import { type Arrival, readArrival, readArrivalText } from '../../src/files/arrival.ts';
import { toBase64Url } from '../../src/files/base64url.ts';
import { makePartCollector } from '../../src/files/code-parts.ts';
import { firstWords, laterWords } from '../../src/files/deflate.ts';
import { type HandOut, handOutToJson } from '../../src/files/hand-out.ts';
import { packNotebook } from '../../src/files/pack.ts';
import { enteredEvents, pastedReadings } from '../../src/files/pasted-readings.ts';
import { ratesTable } from '../../src/files/rates-csv.ts';
import { canonicalJson, crc32 } from '../../src/log/checksum.ts';
import { EventBody } from '../../src/log/event.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { distinctLabel } from '../../src/log/runs.ts';
import type { Notebook } from '../../src/log/state.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { reportOf } from '../../src/results/report.ts';
import { anyNotebook } from './arbitrary-notebook.ts';
import { mutate, seeded } from './mutations.ts';

/**
 * Damage that knows the structure of what it damages: values of a notebook, a plan, a packed link, an archive or a table
 * are replaced, deleted, doubled and swapped where they stand, by what breaks programs; sums are made right again. What is
 * accepted is judged by rules of this file alone, not by the schema that accepted it.
 */
export interface FuzzTally {
  cases: number;
  accepted: number;
  refused: number;
  /** What must not be, with its seed. */
  readonly wrong: string[];
  slowestMs: number;
  slowest: string;
  /** Largest resident memory of the process, bytes. */
  peakBytes: number;
}

type Random = () => number;
type Raw = unknown;

const pick = <T>(random: Random, list: readonly T[]): T => {
  const item = list[Math.floor(random() * list.length)];
  if (item === undefined) throw new Error('nothing to pick from');
  return item;
};

/** Values that break programs. Made anew each time: they are put into trees that are changed. */
const nasties: readonly (() => Raw)[] = [
  () => 1e300,
  () => -1e300,
  () => 8.64e15,
  () => 8.65e15,
  () => -1,
  () => 0,
  () => -0,
  () => 0.1 + 0.2,
  () => 2 ** 53,
  () => 1e-320,
  () => null,
  () => true,
  () => '',
  () => 'constructor',
  () => '__proto__',
  () => 'toString',
  () => 'x'.repeat(5000),
  () => '\u202e\u0000\ud800',
  () => '=1+1',
  () => '<img src=x onerror=globalThis.ran=1>',
  () => '1e999',
  () => '-0',
  () => [],
  () => ({}),
  () => Array.from({ length: 3000 }, () => 0),
  () => JSON.parse('{"__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}}}'),
  () => JSON.parse(`${'['.repeat(200)}${']'.repeat(200)}`),
  () => 'undone',
  () => 'readings-entered',
];

interface Place {
  readonly holder: Record<string, Raw> | Raw[];
  readonly key: string | number;
}

function placesOf(root: Raw, most = 4000): Place[] {
  const places: Place[] = [];
  const visit = (value: Raw): void => {
    if (places.length >= most || typeof value !== 'object' || value === null) return;
    const holder = value as Record<string, Raw> | Raw[];
    for (const key of Object.keys(holder)) {
      const own = Array.isArray(holder) ? Number(key) : key;
      places.push({ holder, key: own });
      visit((holder as Record<string, Raw>)[key]);
    }
  };
  visit(root);
  return places;
}

const define = ({ holder, key }: Place, value: Raw): void => {
  Object.defineProperty(holder, key, { value, writable: true, enumerable: true, configurable: true });
};
const at = ({ holder, key }: Place): Raw => (holder as Record<string | number, Raw>)[key];

/** A copy of a JSON value, damaged in one to three places. */
export function damaged(root: Raw, random: Random): Raw {
  const copy: Raw = JSON.parse(JSON.stringify(root));
  for (let times = 1 + Math.floor(random() * 3); times > 0; times--) {
    const places = placesOf(copy);
    if (places.length === 0) return copy;
    const place = pick(random, places);
    const other = pick(random, places);
    switch (Math.floor(random() * 7)) {
      case 0:
        if (Array.isArray(place.holder)) place.holder.splice(Number(place.key), 1);
        else delete place.holder[place.key];
        break;
      case 1:
        if (Array.isArray(place.holder)) place.holder.splice(Number(place.key), 0, structuredClone(at(place)));
        else define({ holder: place.holder, key: `${place.key}x` }, structuredClone(at(place)));
        break;
      case 2: {
        const value = structuredClone(at(other));
        define(place, value);
        break;
      }
      case 3:
        if (typeof at(place) === 'number') define(place, Number(at(place)) * pick(random, [-1, 10, 1e6, 1e12, 0.5]));
        else define(place, pick(random, nasties)());
        break;
      case 4:
        if (!Array.isArray(place.holder))
          define(
            { holder: place.holder, key: pick(random, ['__proto__', 'constructor', 'prototype', 'x', '']) },
            pick(random, nasties)(),
          );
        break;
      default:
        define(place, pick(random, nasties)());
    }
  }
  return copy;
}

const encoder = new TextEncoder();

/** A link with a right sum over any text. Not packed as small as can be: that would be a third of all the work here. */
function linkOf(kind: string, text: string): string {
  const bytes = encoder.encode(text);
  const old = kind.endsWith('1');
  const packed = deflateSync(bytes, { level: 1, mem: 4, dictionary: old ? firstWords : laterWords });
  const whole = new Uint8Array(packed.length + 4);
  new DataView(whole.buffer).setUint32(0, crc32(old ? bytes : packed));
  whole.set(packed, 4);
  return `https://bench.example/#/open/${kind}/${toBase64Url(whole)}`;
}

const cells = [
  '0',
  '1:05',
  '65',
  '14',
  '16,5',
  '1e300',
  '-1',
  '',
  'NaN',
  'Infinity',
  '=1+1',
  '"',
  '""',
  'time_s',
  'run',
  'volume_mL',
  'conc_constructor_M',
  'conc___proto___M',
  'limiting',
  'constructor',
  '\u200b=1',
  '999999999999',
  '0x10',
  '1e-400',
  '1:99:99',
  'struck',
  '\u0000',
  '٣',
];

/** A table of cells that programs trip over, in any of the usual forms. */
function anyTable(random: Random): string {
  const separator = pick(random, [',', ';', '\t', ' ', ', ']);
  const heads = ['run,time_s,volume_mL', 'time;volume', 'Zeit (s)\tVolumen (mL)', 'run,rate,conc_A_M', '', 'sep=;'];
  const rows = Array.from({ length: Math.floor(random() * 12) }, (_, i) =>
    random() < 0.5
      ? [String(1 + (i >> 2)), String(i * 10), String(14 + 2 * i)].join(separator)
      : Array.from({ length: 1 + Math.floor(random() * 5) }, () => pick(random, cells)).join(separator),
  );
  return [pick(random, heads), ...rows].join(pick(random, ['\n', '\r\n', '\r', '\n\n']));
}

/** Everything that a notebook may hold is within these, by the rules of this file. */
function faultIn(value: Raw, path = '', depth = 0): string | null {
  if (depth > 40) return `${path}: too deep`;
  if (typeof value === 'number' && !(Number.isFinite(value) && Math.abs(value) <= 8.64e15)) return `${path}: ${value}`;
  if (typeof value === 'string' && value.length > 4000) return `${path}: a text of ${value.length}`;
  if (typeof value !== 'object' || value === null) return null;
  if (Array.isArray(value) && value.length > 2000 && path !== '.events') return `${path}: ${value.length} items`;
  if (!Array.isArray(value) && Object.getPrototypeOf(value) !== Object.prototype) return `${path}: another prototype`;
  for (const [key, inner] of Object.entries(value)) {
    if (key === '__proto__' || key === 'polluted') return `${path}.${key}`;
    const fault = faultIn(inner, `${path}.${key}`, depth + 1);
    if (fault) return fault;
  }
  return null;
}

function faultOfNotebook(notebook: Notebook, thorough: boolean): string | null {
  const fault = faultIn(notebook);
  if (fault) return fault;
  let last = 0;
  const ids = new Set<string>();
  for (const [i, { seq, id, atMs, wallMs }] of notebook.events.entries()) {
    if (seq !== i + 1 || ids.has(id) || atMs < last) return `order at ${i}`;
    if (Number.isNaN(new Date(wallMs).getTime())) return `date at ${i}`;
    ids.add(id);
    last = atMs;
  }
  const again = readArrivalText(notebookToJson(notebook));
  if (!again.ok || again.value.kind !== 'notebook') return 'does not read back';
  if (canonicalJson(again.value.notebook) !== canonicalJson(notebook)) return 'reads back as another';
  const state = reduce(notebook.events);
  for (const run of state.runs)
    for (const { timeMs, volumeMl } of run.readings)
      if (!Number.isFinite(timeMs) || !Number.isFinite(volumeMl)) return 'a reading that is no number';
  if (!thorough) return null;
  const report = JSON.stringify(reportOf(notebook, state, analysisOf(state), 'mL/s'));
  return /\bNaN\b|\bundefined\b|Invalid Date/.test(report.replaceAll(/"[^"]*(constructor|img src)[^"]*"/g, ''))
    ? 'a report with NaN in it'
    : null;
}

const faultOfArrival = (arrival: Arrival, thorough: boolean): string | null =>
  arrival.kind === 'plan' ? faultIn(arrival.handOut) : faultOfNotebook(arrival.notebook, thorough);

const plan: HandOut = {
  title: 'Iodide',
  plan: {
    reaction: 'own',
    own: { name: 'Own', gas: 'O2', gasPerLimiting: 0.5, limiting: 'A', orderSpecies: ['A', 'B'] },
    stocks: [{ id: 'a', name: 'A', species: 'A', strength: { value: 0.9, unit: 'mol/L' }, availableMl: 250 }],
    dilutions: [{ id: 'd', name: 'D', from: 'a', takeMl: 10, makeUpToMl: 100 }],
    runs: [{ label: '1', pours: [{ solution: 'a', volumeMl: 10 }] }],
  },
  groups: ['one', 'two'],
  questions: 'Why?',
};

const clip = { call: 'c1', type: 'audio/wav', bytes: Uint8Array.from({ length: 60 }, (_, i) => i) };

/** Another name of the same length, which the packer itself would trip over. */
function rename(zip: Uint8Array, from: string, to: string): void {
  const [was, is] = [encoder.encode(from), encoder.encode(to)];
  for (let i = 0; i + was.length <= zip.length; i++) if (was.every((byte, j) => zip[i + j] === byte)) zip.set(is, i);
}

/** Prototypes as they were: own names of what everything inherits from. */
const prototypes = [Object, Array, String, Number, Function, Map, Set, RegExp, Promise, Uint8Array].map(
  ({ prototype }) => prototype as object,
);
const ownNames = (): string => prototypes.map((one) => Reflect.ownKeys(one).map(String).join()).join(';');

/** null: refused with a sentence; '': accepted rightly; else what is wrong. */
type Outcome = string | null;

const judgedArrival = (read: ReturnType<typeof readArrival>, thorough: boolean): Outcome => {
  if (read.ok) return faultOfArrival(read.value, thorough) ?? '';
  return /^[A-Z].*\.$/.test(read.sentence) && /^[A-ZÄÖÜ].*\.$/.test(read.sentences.de)
    ? null
    : `no sentence: ${read.sentence}`;
};

const mapped = (row: object, change: (key: string, value: unknown) => unknown): object =>
  Object.fromEntries(Object.entries(row).map(([key, value]) => [key, change(key, value)]));

function judgedTable(text: string): Outcome {
  const pasted = pastedReadings(text, 'en');
  const table = ratesTable(text);
  if (table.ok) {
    // Infinitely many degrees of freedom: an uncertainty that was stated.
    const stated = (key: string, value: unknown) => (key === 'dfRate' && value === Infinity ? null : value);
    const read: Raw = table.kind === 'rates' ? table.rows.map((row) => mapped(row, stated)) : table.experiment;
    const fault = faultIn(read);
    if (fault) return `rates table ${fault}`;
  } else if (!/^[A-Z].*\.$/s.test(table.sentence) || !/^[A-ZÄÖÜ].*\.$/s.test(table.sentences.de))
    return `no sentence: ${table.sentence}`;
  if (!pasted.ok) return /^[A-Z].*\.$/s.test(pasted.sentence) ? null : `no sentence: ${pasted.sentence}`;
  let ids = 0;
  const how = { timing: 'file' as const, stated: pasted.stated, nowMs: 5000 };
  for (const body of enteredEvents(pasted.runs, how, distinctLabel, [], () => `r${++ids}`)) {
    const fault = faultIn(body) ?? (EventBody.safeParse(body).success ? null : 'an event that cannot be stored');
    if (fault) return `pasted: ${fault}`;
  }
  return '';
}

/** One damaged thing of each kind by turns. */
function tryOne(kind: number, notebook: Notebook, random: Random, thorough: boolean): Outcome {
  const raw = { format: 'meniscall-notebook', schema: 1, ...notebook };
  const text = JSON.stringify(damaged(raw, random));
  switch (kind) {
    case 0:
      return judgedArrival(readArrivalText(text), thorough);
    case 1: {
      const packed: Raw = JSON.parse(packNotebook(notebook));
      const link = linkOf(pick(random, ['n3', 'n3', 'n1']), JSON.stringify(damaged(packed, random)));
      return judgedArrival(readArrivalText(link), thorough);
    }
    case 2: {
      const contents = {
        format: 'meniscall-archive',
        version: 1,
        clips: [{ call: 'c1', file: 'clips/0001.wav', type: 'audio/wav', bytes: 60, crc32: crc32(clip.bytes) }],
      };
      const zip = zipSync({
        'notebook.json': encoder.encode(random() < 0.5 ? text : notebookToJson(notebook)),
        'contents.json': encoder.encode(JSON.stringify(damaged(contents, random))),
        [pick(random, ['clips/0001.wav', '../clips/0001.wav', '--proto--', 'clips/../x'])]: clip.bytes,
      });
      rename(zip, '--proto--', '__proto__');
      return judgedArrival(readArrival(random() < 0.5 ? zip : mutate(zip, random)), thorough);
    }
    case 3:
      return judgedTable(anyTable(random));
    case 4: {
      const { check: _, ...handOut } = JSON.parse(handOutToJson(plan));
      return judgedArrival(readArrivalText(JSON.stringify(damaged(handOut, random))), thorough);
    }
    case 5: {
      const parts = [plan.title, plan.plan, null, plan.groups, plan.questions];
      return judgedArrival(readArrivalText(linkOf('p3', JSON.stringify(damaged(parts, random)))), thorough);
    }
    case 6: {
      const collector = makePartCollector();
      const whole = encoder.encode(linkOf('n3', text).slice(0, 200));
      for (let i = 0; i < 4; i++) collector.catch(new TextDecoder().decode(mutate(whole, random)));
      return '';
    }
    default:
      return judgedArrival(readArrival(mutate(writeArchive(notebook, [clip], 1.7e12), random)), thorough);
  }
}

const kinds = ['file', 'link', 'archive', 'table', 'run sheet', 'run sheet link', 'code parts', 'archive bytes'];

/** Tries `cases` damaged things. @param thorough every so many accepted ones the report is made as well */
export function fuzz(
  cases: number,
  seed: number,
  thorough = 50,
  onCase: (soFar: Readonly<FuzzTally>) => void = () => {},
): FuzzTally {
  const tally: FuzzTally = { cases: 0, accepted: 0, refused: 0, wrong: [], slowestMs: 0, slowest: '', peakBytes: 0 };
  const whole = demoNotebook(1.7e12);
  const bases: Notebook[] = [
    { ...whole, events: whole.events.slice(0, 10) },
    ...fc.sample(anyNotebook, { numRuns: 30, seed }).map((one) => ({ ...one, events: one.events.slice(0, 10) })),
  ];
  const before = ownNames();
  for (let i = 0; i < cases; i++) {
    const caseSeed = seed * 1_000_003 + i;
    const random = seeded(caseSeed);
    const kind = i % kinds.length;
    const begun = performance.now();
    let outcome: Outcome;
    try {
      outcome = tryOne(kind, pick(random, bases), random, i % thorough === 0);
    } catch (error) {
      outcome = `threw ${error instanceof Error ? error.stack?.slice(0, 300) : String(error)}`;
    }
    const took = performance.now() - begun;
    if (took > tally.slowestMs) Object.assign(tally, { slowestMs: took, slowest: `${kinds[kind]}, seed ${caseSeed}` });
    tally.cases++;
    if (outcome === null) tally.refused++;
    else if (outcome === '') tally.accepted++;
    else tally.wrong.push(`${kinds[kind]}, seed ${caseSeed}: ${outcome}`);
    if (ownNames() !== before || 'polluted' in {} || 'ran' in globalThis)
      tally.wrong.push(`${kinds[kind]}, seed ${caseSeed}: a prototype was changed`);
    if (i % 500 === 0) tally.peakBytes = Math.max(tally.peakBytes, process.memoryUsage().rss);
    onCase(tally);
  }
  return tally;
}
