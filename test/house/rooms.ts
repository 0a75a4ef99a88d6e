import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';

/** The rooms of the house from the top floor down. A room may import from itself and from rooms below it. */
export const rooms = [
  'commands',
  'screens',
  'share',
  'session',
  'rehearse',
  'answer',
  'listen',
  'speech',
  'notebook',
  'kinetics',
  'chemistry',
  'numerics',
] as const;

export interface WrongImport {
  readonly file: string;
  readonly imports: string;
  readonly why: string;
}

const importOf = /(?:(?:from\s*|import\s*\(\s*|import\s+)['"](\.[^'"]+)['"]|new URL\(\s*['"](\.[^'"]+\.tsx?)['"])/g;

/** Imports in `src` that go up the house, or leave it. */
export function wrongImports(src: string): WrongImport[] {
  const wrong: WrongImport[] = [];
  for (const entry of readdirSync(src, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || !/\.tsx?$/.test(entry.name)) continue;
    const file = join(entry.parentPath, entry.name);
    const here = roomOf(src, file);
    for (const [, imported, addressed] of readFileSync(file, 'utf8').matchAll(importOf)) {
      const target = imported ?? addressed ?? '';
      const there = roomOf(src, resolve(dirname(file), target));
      const name = relative(src, file).split(sep).join('/');
      if (there === undefined) wrong.push({ file: name, imports: target, why: 'leaves src' });
      else if (here !== null && there === null) wrong.push({ file: name, imports: target, why: 'is above every room' });
      else if (here && there && rooms.indexOf(there) < rooms.indexOf(here))
        wrong.push({ file: name, imports: target, why: `${there} is above ${here}` });
    }
  }
  return wrong;
}

/** The room a path lies in; null for the files on top of the house (main.tsx); undefined outside src. */
function roomOf(src: string, path: string): (typeof rooms)[number] | null | undefined {
  const parts = relative(src, path).split(sep);
  if (parts[0] === '..') return undefined;
  if (parts.length === 1) return null;
  const room = rooms.find((known) => known === parts[0]);
  return room ?? undefined;
}
