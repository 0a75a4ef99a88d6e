import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';

/** The rooms of the house from the top floor down. A room may import from itself and from rooms below it. */
export const rooms = [
  'commands',
  'screens',
  'class',
  'files',
  'results',
  'rehearsal',
  'bench',
  'planning',
  'answering',
  'hearing',
  'language',
  'analysis',
  'log',
  'chemistry',
  'numerics',
] as const;

export interface WrongImport {
  readonly file: string;
  readonly imports: string;
  readonly why: string;
}

const importOf = /(?:(?:from\s*|import\s*\(\s*|import\s+)['"](\.[^'"]+)['"]|new URL\(\s*['"](\.[^'"]+\.tsx?)['"])/g;

/** What screens may call of `analysis/`: a notebook's own figures, never a fit. Types and worker addresses are free. */
const openToScreens = ['analysis/notebook-analysis.ts', 'analysis/poured.ts'];

/** Imports in `src` that go up the house, leave it, or give a screen a fit. */
export function wrongImports(src: string): WrongImport[] {
  const wrong: WrongImport[] = [];
  for (const entry of readdirSync(src, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || !/\.tsx?$/.test(entry.name)) continue;
    const file = join(entry.parentPath, entry.name);
    const here = roomOf(src, file);
    const source = readFileSync(file, 'utf8');
    for (const [, imported, addressed] of source.matchAll(importOf)) {
      const target = imported ?? addressed ?? '';
      const there = roomOf(src, resolve(dirname(file), target));
      const name = relative(src, file).split(sep).join('/');
      const path = relative(src, resolve(dirname(file), target))
        .split(sep)
        .join('/');
      if (here === 'screens' && there === 'analysis' && addressed === undefined && !openToScreens.includes(path)) {
        if (!isTypeImport(source, target)) wrong.push({ file: name, imports: target, why: 'screens call no fit' });
      }
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

const isTypeImport = (source: string, target: string): boolean =>
  new RegExp(`import type [^;]*from '${target.replaceAll('.', '\\.')}'`).test(source);

/** Groups of files in `src` that import each other in a circle, each group sorted; by Tarjan's algorithm. */
export function circlesIn(src: string): string[][] {
  const imports = importsOf(src);
  const index = new Map<string, number>();
  const low = new Map<string, number>();
  const stack: string[] = [];
  const circles: string[][] = [];
  const visit = (file: string): void => {
    const mine = index.size;
    index.set(file, mine);
    low.set(file, mine);
    stack.push(file);
    for (const next of imports.get(file) ?? []) {
      if (!index.has(next)) visit(next);
      else if (!stack.includes(next)) continue;
      low.set(file, Math.min(low.get(file) ?? mine, low.get(next) ?? mine));
    }
    if (low.get(file) !== mine) return;
    const group = stack.splice(stack.indexOf(file));
    if (group.length > 1) circles.push(group.sort());
  };
  for (const file of imports.keys()) if (!index.has(file)) visit(file);
  return circles;
}

/** Every source file below the folders with the ones it imports, types included, paths from `src`. */
export function importsOf(src: string, folders: readonly string[] = ['']): Map<string, string[]> {
  const files = folders
    .flatMap((folder) => readdirSync(join(src, folder), { recursive: true, withFileTypes: true }))
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));
  const name = (path: string): string => relative(src, path).split(sep).join('/');
  const known = new Set(files.map(name));
  return new Map(
    files.map((file) => [
      name(file),
      [...readFileSync(file, 'utf8').matchAll(importOf)]
        .map(([, imported, addressed]) => name(resolve(dirname(file), imported ?? addressed ?? '')))
        .filter((target) => known.has(target)),
    ]),
  );
}
