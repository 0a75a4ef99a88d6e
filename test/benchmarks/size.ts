import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import { gzipSync } from 'node:zlib';

/** Budget for what a browser must load before the Start screen and the Bench work, bytes gzipped. */
export const firstLoadBudget = 75_000;

export interface Sizes {
  /** Page, entry script with its static imports, styles: gzipped bytes. */
  readonly start: number;
  /** The same with the Bench's own chunk and what it imports statically. */
  readonly bench: number;
  /** Everything a version keeps on the device for offline use, plain bytes. */
  readonly offline: number;
  readonly files: readonly { readonly file: string; readonly gzip: number }[];
}

const zipped = (file: string): number => gzipSync(readFileSync(file), { level: 9 }).length;

/** Measures a built app (`vite build`) in `dist`. */
export function measureSizes(dist: string): Sizes {
  const html = readFileSync(join(dist, 'index.html'), 'utf8');
  const first = [...html.matchAll(/(?:src|href)="\.\/(assets\/[^"]+\.(?:js|css))"/g)].map(([, file = '']) => file);
  const assets = readdirSync(join(dist, 'assets'));
  const benchChunk = assets.filter((name) => /^Bench-.*\.(js|css)$/.test(name)).map((name) => `assets/${name}`);
  const startFiles = closure(dist, first);
  const benchFiles = closure(dist, [...first, ...benchChunk]);
  const sum = (files: Iterable<string>): number =>
    zipped(join(dist, 'index.html')) + [...files].reduce((total, file) => total + zipped(join(dist, file)), 0);
  const offline = readdirSync(dist, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((total, entry) => total + readFileSync(join(entry.parentPath, entry.name)).length, 0);
  return {
    start: sum(startFiles),
    bench: sum(benchFiles),
    offline,
    files: [...benchFiles].map((file) => ({ file, gzip: zipped(join(dist, file)) })),
  };
}

/** The files and what they import statically. */
function closure(dist: string, files: readonly string[]): Set<string> {
  const found = new Set<string>();
  const visit = (file: string): void => {
    if (found.has(file) || !existsSync(join(dist, file))) return;
    found.add(file);
    if (!file.endsWith('.js')) return;
    const code = readFileSync(join(dist, file), 'utf8');
    for (const [, target = ''] of code.matchAll(/(?:^|[;}\s])(?:import|export)[^;'"`()]*from\s*["'`](\.[^"'`]+)["'`]/g))
      visit(posix.join(posix.dirname(file), target));
    for (const [, target = ''] of code.matchAll(/(?:^|[;}\s])import\s*["'`](\.[^"'`]+)["'`]/g))
      visit(posix.join(posix.dirname(file), target));
  };
  for (const file of files) visit(file);
  return found;
}
