import { catalogue, type PageLanguage } from '../language/page-language.ts';
import type { NotebookStore } from '../log/store.ts';
import type { Archive } from './archive.ts';
import { mergeOf } from './merge.ts';

/** What became of a notebook that was taken in. */
export interface TakenIn {
  readonly id: string;
  readonly kind: 'new' | 'known' | 'continued' | 'copy';
  readonly addedEvents: number;
  readonly addedClips: number;
  /** For the person: what was done, and what was left out. */
  readonly sentence: string;
}

/**
 * Stores a notebook from a file, an archive or a link, without doubling what is here.
 * @throws what the store throws
 */
export async function takeIn(store: NotebookStore, arrival: Archive, language: PageLanguage = 'en'): Promise<TakenIn> {
  const { notebook } = arrival;
  let { id } = notebook;
  let merge = mergeOf((await store.load(id)).events, notebook);
  let parted = false;
  // A copy may itself have parted from an earlier copy; each step agrees with what is here for longer, so it ends.
  while (merge.kind === 'copy') {
    parted = true;
    id = merge.id;
    merge = mergeOf((await store.load(id)).events, notebook);
  }
  let addedEvents = 0;
  let revived = false;
  if (merge.kind === 'new') {
    revived = await store.adopt(id, notebook.events);
    addedEvents = notebook.events.length;
  } else if (merge.kind === 'continued') {
    await store.graft(id, merge.after, merge.added);
    addedEvents = merge.added.length;
  }
  const known = new Set(await store.clipCalls(id));
  const missing = arrival.clips.filter((clip) => !known.has(clip.call));
  let addedClips = 0;
  for (const { call, type, bytes } of missing) {
    // The figures are stored; a device without room for all the sounds keeps those that fit.
    const kept = await store.putClip(id, call, new Blob([new Uint8Array(bytes)], { type })).then(
      () => true,
      () => false,
    );
    if (!kept) break;
    addedClips++;
  }
  const t = takeInTexts[language];
  const clips = addedClips > 0 ? [t.clipsAdded(addedClips)] : [];
  const left = missing.length - addedClips;
  if (left > 0) clips.push(t.noRoom(left));
  const kind = parted && merge.kind === 'new' ? 'copy' : merge.kind;
  const done = kind === 'continued' ? t.continued(addedEvents) : revived ? t.revived : t[kind];
  return {
    id,
    kind,
    addedEvents,
    addedClips,
    sentence: [done, ...clips, ...arrival.left.map((sentences) => sentences[language])].join(' '),
  };
}

const takeInTexts = catalogue(
  {
    new: 'The notebook is now kept on this device.',
    revived: 'This notebook had been deleted on this device; now it is kept here again.',
    known: 'This notebook is on this device already; nothing was added.',
    continued: (n: number) =>
      `The notebook on this device was carried on: ${n === 1 ? '1 entry' : `${n} entries`} added.`,
    copy: 'The notebook on this device and this one went different ways; this one is kept beside it as a copy.',
    clipsAdded: (n: number) => (n === 1 ? '1 sound clip added.' : `${n} sound clips added.`),
    noRoom: (n: number) => `There was no room for ${n === 1 ? '1 sound clip' : `${n} sound clips`}.`,
  },
  {
    new: 'Das Heft ist jetzt auf diesem Gerät gespeichert.',
    revived: 'Dieses Heft war auf diesem Gerät gelöscht; jetzt ist es wieder hier gespeichert.',
    known: 'Dieses Heft ist schon auf diesem Gerät; nichts kam dazu.',
    continued: (n) =>
      `Das Heft auf diesem Gerät wurde fortgesetzt: ${n === 1 ? '1 Eintrag kam' : `${n} Einträge kamen`} dazu.`,
    copy: 'Das Heft auf diesem Gerät und dieses gingen verschiedene Wege; dieses liegt nun als Kopie daneben.',
    clipsAdded: (n) => (n === 1 ? '1 Tonaufnahme kam dazu.' : `${n} Tonaufnahmen kamen dazu.`),
    noRoom: (n) => `Für ${n === 1 ? '1 Tonaufnahme' : `${n} Tonaufnahmen`} war kein Platz.`,
  },
);
