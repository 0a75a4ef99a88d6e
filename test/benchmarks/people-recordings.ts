import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { RATE } from '../../src/hearing/ear/features.ts';
import { loudestChannel, readWav } from '../../src/hearing/wav.ts';

/**
 * Recordings of people that lie beside the project (`../shared/data/people`, whose README says what they are). Who is
 * left out of training is fixed by a hash of the person's name, the same as in `training/people.py`.
 */
/** `PEOPLE=FOLDER/` looks for them elsewhere. */
export const peopleFolder =
  process.env.PEOPLE ?? fileURLToPath(new URL('../../../shared/data/people/', import.meta.url));
const leftOut: Readonly<Record<string, number>> = { 'digits-by-phone': 10, 'read-sentences': 4, fsdd: 1 };
const toChoose: Readonly<Record<string, number>> = { 'digits-by-phone': 6, 'read-sentences': 2, fsdd: 0 };

export interface Recording {
  readonly file: string;
  readonly person: string;
  readonly text: string;
  readonly english?: string;
  readonly recorder?: string;
}

export const units = 'zero one two three four five six seven eight nine'.split(' ');

/** The people of a folder who are judged here. */
export function judged(name: string, people: readonly string[], choose = process.env.WHO === 'choose'): string[] {
  const hash = (person: string) => createHash('sha256').update(`${name}/${person}`).digest('hex');
  if (process.env.WITHOUT && name === 'fsdd') return [process.env.WITHOUT];
  const inOrder = [...new Set(people)].map((person) => ({ person, hash: hash(person) }));
  inOrder.sort((a, b) => (a.hash < b.hash ? -1 : 1));
  const out = leftOut[name] ?? 0;
  const [from, to] = choose ? [out, out + (toChoose[name] ?? 0)] : [0, out];
  return inOrder.slice(from, to).map(({ person }) => person);
}

export function recordings(name: string): Recording[] {
  const all = JSON.parse(readFileSync(`${peopleFolder}${name}/manifest.json`, 'utf8')) as Recording[];
  const people = judged(
    name,
    all.map(({ person }) => person),
  );
  return all.filter(({ person }) => people.includes(person));
}

/** Mono at 16 kHz, by ffmpeg; null where it is not installed. */
export function soundOf(path: string): Float32Array | null {
  const { status, stdout } = spawnSync(
    'ffmpeg',
    ['-v', 'error', '-i', path, '-f', 'f32le', '-ac', '1', '-ar', String(RATE), '-'],
    { maxBuffer: 1 << 28 },
  );
  if (status !== 0) return null;
  return new Float32Array(stdout.buffer.slice(stdout.byteOffset, stdout.byteOffset + stdout.byteLength));
}

export interface Known {
  readonly person: string;
  readonly word: string;
  readonly meaning: string;
  readonly samples: Float32Array;
  readonly rate: number;
}

/** @param others those who are not judged, instead */
export function singleDigits(others = false): Known[] {
  const files = readdirSync(`${peopleFolder}fsdd`).filter((file) => file.endsWith('.wav'));
  const people = judged(
    'fsdd',
    files.map((file) => file.split('_')[1] ?? ''),
  );
  return files.sort().flatMap((file) => {
    const [digit = '', person = ''] = file.split('_');
    if (people.includes(person) === others) return [];
    const sound = readWav(readFileSync(`${peopleFolder}fsdd/${file}`));
    const word = units[Number(digit)] ?? '';
    return [{ person, word, meaning: digit, samples: loudestChannel(sound), rate: sound.sampleRate }];
  });
}

const timeFolder = '/usr/share/saytime/';
/** One man's 0 to 20, 30, 40, 50 from Debian's package saytime (GPL: for tests only), where it is installed. */
export function sayTime(): Known[] {
  if (!existsSync(timeFolder)) return [];
  const teens = 'ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(' ');
  const words = new Map([...units, ...teens].map((word, n) => [n, word]));
  for (const [n, word] of [
    [20, 'twenty'],
    [30, 'thirty'],
    [40, 'forty'],
    [50, 'fifty'],
  ] as const)
    words.set(n, word);
  return [...words].flatMap(([n, word]) => {
    // Its files have no header: 8 kHz, mu-law.
    const { status, stdout } = spawnSync('ffmpeg', [
      '-v',
      'error',
      '-f',
      'mulaw',
      '-ar',
      '8000',
      '-ac',
      '1',
      '-i',
      `${timeFolder}${n}.au`,
      '-f',
      'f32le',
      '-',
    ]);
    if (status !== 0) return [];
    const samples = new Float32Array(stdout.buffer.slice(stdout.byteOffset, stdout.byteOffset + stdout.byteLength));
    return [{ person: 'saytime', word, meaning: String(n), samples, rate: 8000 }];
  });
}
