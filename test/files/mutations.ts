import { type Archive, readArchive, writeArchive } from '../../src/files/archive.ts';
import { type Arrival, readArrival } from '../../src/files/arrival.ts';
import { notebookLink, readLink } from '../../src/files/link.ts';
import { canonicalJson } from '../../src/log/checksum.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import type { Checked } from '../../src/log/refusal.ts';
import type { Notebook } from '../../src/log/state.ts';
import { the } from '../the.ts';

/** Seeded numbers in 0..1 (mulberry32), so that a found fault can be found again. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Damage as it happens to files and as it is done to them: bytes changed, cut, doubled, swapped, put in. */
export function mutate(bytes: Uint8Array, random: () => number): Uint8Array {
  const at = (length: number): number => Math.floor(random() * length);
  let out = Uint8Array.from(bytes);
  for (let times = 1 + at(3); times > 0 && out.length > 0; times--) {
    const from = at(out.length);
    const length = 1 + at(random() < 0.8 ? 8 : out.length);
    const to = Math.min(out.length, from + length);
    const piece = out.slice(from, to);
    switch (at(7)) {
      case 0:
        out[from] = at(256);
        break;
      case 1:
        out[from] = the(out[from]) ^ (1 << at(8));
        break;
      case 2:
        out = joined(out.subarray(0, from), out.subarray(to));
        break;
      case 3:
        out = joined(out.subarray(0, to), piece, out.subarray(to));
        break;
      case 4:
        out = out.slice(0, from);
        break;
      case 5:
        out = joined(out.subarray(0, from), new TextEncoder().encode(the(nasty[at(nasty.length)])), out.subarray(from));
        break;
      default: {
        // A figure for another figure: the change that JSON does not notice by itself.
        const digits = [...out.keys()].filter((i) => the(out[i]) >= 48 && the(out[i]) <= 57);
        const place = digits[at(digits.length)];
        if (place !== undefined) out[place] = 48 + at(10);
      }
    }
  }
  return out;
}

const nasty = [
  '"',
  '}',
  ']',
  '\\',
  '"__proto__":{"x":1},',
  '<script>globalThis.ran=1</script>',
  '1e999',
  '\u0000',
  '[[[[[[[[',
];

const joined = (...parts: Uint8Array[]): Uint8Array<ArrayBuffer> => {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
};

export interface Tally {
  equal: number;
  refused: number;
  /** What must not be: read as something else, a refusal without a sentence, an exception. */
  readonly wrong: string[];
  slowestMs: number;
}

/** Reads `count` damaged forms of a notebook's file, link and archive. */
export function tryMutations(notebook: Notebook, count: number, seed: number): Tally {
  const random = seeded(seed);
  const tally: Tally = { equal: 0, refused: 0, wrong: [], slowestMs: 0 };
  const encoder = new TextEncoder();
  const clips = [{ call: 'c1', type: 'audio/wav', bytes: Uint8Array.from({ length: 400 }, (_, i) => i % 251) }];
  const truth = canonicalJson(notebook);
  const sameNotebook = (found: Notebook): boolean => canonicalJson(found) === truth;
  const sameArchive = (archive: Archive): boolean =>
    sameNotebook(archive.notebook) &&
    archive.clips.every((clip) => clip.bytes.every((byte, i) => byte === i % 251) && clip.bytes.length === 400);
  const sameArrival = (arrival: Arrival): boolean => arrival.kind === 'notebook' && sameArchive(arrival);
  const forms: readonly { bytes: Uint8Array; read: (bytes: Uint8Array) => boolean | string }[] = [
    { bytes: encoder.encode(notebookToJson(notebook)), read: (bytes) => judged(readArrival(bytes), sameArrival) },
    {
      bytes: encoder.encode(notebookLink('https://bench.example/', notebook)),
      read: (bytes) =>
        judged(readLink(new TextDecoder().decode(bytes)), (c) => c.kind === 'notebook' && sameNotebook(c.notebook)),
    },
    { bytes: writeArchive(notebook, clips, 1.7e12), read: (bytes) => judged(readArchive(bytes), sameArchive) },
  ];
  for (let i = 0; i < count; i++) {
    const form = the(forms[i % forms.length]);
    const damaged = mutate(form.bytes, random);
    const started = performance.now();
    let found: boolean | string;
    try {
      found = form.read(damaged);
    } catch (error) {
      found = `threw ${String(error)}`;
    }
    tally.slowestMs = Math.max(tally.slowestMs, performance.now() - started);
    if (found === true) tally.equal++;
    else if (found === false) tally.refused++;
    else tally.wrong.push(`form ${i % forms.length}, turn ${i}: ${found}`);
  }
  return tally;
}

/** true: equal in meaning; false: refused with a sentence; otherwise what is wrong. */
function judged<T>(read: Checked<T>, same: (value: T) => boolean): boolean | string {
  if (read.ok) return same(read.value) || 'read as something else';
  return /^[A-Z].*\.$/.test(read.sentence) ? false : `no sentence: ${read.sentence}`;
}
