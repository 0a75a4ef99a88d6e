import { unzipSync, type Zippable, zipSync } from 'fflate';
import { z } from 'zod/mini';
import { crc32 } from '../log/checksum.ts';
import { notebookFromJson } from '../log/file.ts';
import { notebookToJson } from '../log/notebook-json.ts';
import { type Checked, refusal, refusals, type Sentences } from '../log/refusal.ts';
import type { Notebook } from '../log/state.ts';
import { nth } from '../numerics/nth.ts';

/**
 * One file with everything, for keeping and for moving to another device: a ZIP with `notebook.json`, the sound clips
 * under `clips/`, and `contents.json`, which says which clip belongs to which call and its sum.
 */
const Contents = z.strictObject({
  format: z.literal('meniscall-archive'),
  version: z.literal(1),
  clips: z
    .array(
      z.strictObject({
        call: z.string().check(z.minLength(1), z.maxLength(60)),
        file: z.string().check(z.regex(/^clips\/[\w.-]{1,80}$/)),
        /** Media type of the sound; nothing but sound is taken. */
        type: z.string().check(z.regex(/^audio\/[\w.+-]{1,40}(;[\w=".+ -]{0,60})?$/)),
        bytes: z.int().check(z.gte(0)),
        crc32: z.int().check(z.gte(0), z.lte(0xffffffff)),
      }),
    )
    .check(z.maxLength(20_000)),
});

export interface Clip {
  readonly call: string;
  readonly type: string;
  readonly bytes: Uint8Array;
}

export interface Archive {
  readonly notebook: Notebook;
  readonly clips: readonly Clip[];
  /** Sentences about what was left out. */
  readonly left: readonly Sentences[];
}

/** Largest archive that is unpacked, bytes: some 10,000 calls of a second each. */
export const largestArchive = 1_000_000_000;
/** Largest text of a notebook, bytes: three times a hundred runs of 500 readings. */
export const largestText = 100_000_000;
/** A notebook of nothing but repeated entries packs to a fiftieth; what packs to less than this is no notebook. */
const mostRatio = 150;
const mostFiles = 20_100;

/** Sound hardly compresses and is stored as it is. `atMs` dates the files (wall clock of the last event). */
export function writeArchive(notebook: Notebook, clips: readonly Clip[], atMs: number): Uint8Array {
  const files: Zippable = {};
  const contents = clips.map(({ call, type, bytes }, i) => ({
    call,
    file: `clips/${String(i + 1).padStart(4, '0')}.${type.includes('wav') ? 'wav' : 'sound'}`,
    type,
    bytes: bytes.length,
    crc32: crc32(bytes),
  }));
  const text = new TextEncoder();
  files['notebook.json'] = text.encode(notebookToJson(notebook));
  files['contents.json'] = text.encode(
    `${JSON.stringify({ format: 'meniscall-archive', version: 1, clips: contents }, null, 1)}\n`,
  );
  for (const [i, { file }] of contents.entries()) files[file] = [nth(clips, i).bytes, { level: 0 }];
  return zipSync(files, { level: 9, mtime: zipDate(atMs) });
}

/** ZIP knows the years 1980 to 2099 only. */
const zipDate = (ms: number): Date =>
  new Date(Math.min(Math.max(Number.isFinite(ms) ? ms : 0, Date.UTC(1980, 0, 2)), Date.UTC(2099, 0, 1)));

/**
 * Reads an archive; with `clips: false` the notebook alone. Never throws. Declared sizes are added up before anything is unpacked; unpacking never writes
 * beyond what was declared. A damaged clip is left out with a sentence, a damaged notebook refuses the whole.
 */
export function readArchive(
  bytes: Uint8Array,
  { limit = largestArchive, clips = true }: { readonly limit?: number; readonly clips?: boolean } = {},
): Checked<Archive> {
  let total = 0;
  let count = 0;
  let tooLarge = false;
  let files: Record<string, Uint8Array>;
  try {
    files = unzipSync(bytes, {
      filter: ({ name, size, originalSize }) => {
        const clip = /^clips\/[\w.-]{1,80}$/.test(name) || name === 'contents.json';
        const ours = name === 'notebook.json' || (clips && clip);
        total += ours ? originalSize : 0;
        count++;
        tooLarge ||=
          total > limit ||
          count > mostFiles ||
          (ours && originalSize > 1_000_000 && originalSize > mostRatio * size) ||
          (name === 'notebook.json' && originalSize > largestText);
        return ours && !tooLarge;
      },
    });
  } catch (error) {
    return refusal(refusals.archiveDamaged, String(error));
  }
  if (tooLarge) return refusal(refusals.archiveTooLarge, `${total} bytes`);
  const json = files['notebook.json'];
  if (!json) return refusal(refusals.archiveEmpty, 'notebook.json is missing');
  const text = textOf(json);
  if (text === null) return refusal(refusals.archiveDamaged, 'notebook.json is not UTF-8');
  const notebook = notebookFromJson(text);
  if (!notebook.ok) return notebook;
  const sound = clips ? clipsOf(files) : { clips: [], left: [] };
  return { ok: true, value: { notebook: notebook.value, ...sound } };
}

function clipsOf(files: Readonly<Record<string, Uint8Array>>): Pick<Archive, 'clips' | 'left'> {
  const contents = contentsOf(files['contents.json']);
  if (!contents) return { clips: [], left: [clipsLeft] };
  const clips: Clip[] = [];
  let damaged = 0;
  for (const { call, file, type, bytes: size, crc32: sum } of contents.clips) {
    const bytes = files[file];
    if (bytes && bytes.length === size && crc32(bytes) === sum) clips.push({ call, type, bytes });
    else damaged++;
  }
  return { clips, left: damaged > 0 ? [damagedClips(damaged)] : [] };
}

const clipsLeft: Sentences = {
  en: 'The list of sound clips is damaged; the clips were left out.',
  de: 'Die Liste der Tonaufnahmen ist beschädigt; sie fehlen.',
};

const damagedClips = (n: number): Sentences =>
  n === 1
    ? { en: '1 damaged sound clip was left out.', de: '1 beschädigte Tonaufnahme fehlt.' }
    : { en: `${n} damaged sound clips were left out.`, de: `${n} beschädigte Tonaufnahmen fehlen.` };

function contentsOf(bytes: Uint8Array | undefined): z.infer<typeof Contents> | null {
  const text = bytes && textOf(bytes);
  if (!text) return null;
  try {
    const parsed = Contents.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

function textOf(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}
