import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { unusedExports } from './house/measures.ts';
import { circlesIn, wrongImports } from './house/rooms.ts';
import { sourceFiles } from './house/source.ts';

/** `npm run check`: types, lint and format, direction of imports, no circles, no unused exports. Before every commit. */
const root = fileURLToPath(new URL('..', import.meta.url));
const bin = (path: string): string => fileURLToPath(new URL(`../node_modules/${path}`, import.meta.url));

const checks: readonly { name: string; run: () => boolean }[] = [
  { name: 'types', run: () => node(bin('typescript/bin/tsc'), '-p', '.') },
  { name: 'lint and format', run: () => node(bin('@biomejs/biome/bin/biome'), 'check', '--error-on-warnings', '.') },
  {
    name: 'direction of imports',
    run: () => {
      const wrong = wrongImports(fileURLToPath(new URL('../src', import.meta.url)));
      for (const { file, imports, why } of wrong) console.error(`src/${file} imports ${imports}: ${why}`);
      return wrong.length === 0;
    },
  },
  {
    name: 'no circles of imports',
    run: () => {
      const circles = circlesIn(fileURLToPath(new URL('../src', import.meta.url)));
      for (const circle of circles) console.error(`these import each other: ${circle.join(', ')}`);
      return circles.length === 0;
    },
  },
  {
    name: 'every export is used',
    run: () => {
      const src = sourceFiles(fileURLToPath(new URL('../src', import.meta.url)));
      const unused = unusedExports(src, [...src, ...sourceFiles(fileURLToPath(new URL('.', import.meta.url)))]);
      for (const { file, name } of unused) console.error(`src/${file}: nothing uses ${name}`);
      return unused.length === 0;
    },
  },
];

function node(...args: string[]): boolean {
  return spawnSync(process.execPath, args, { cwd: root, stdio: 'inherit' }).status === 0;
}

const failed = checks.filter(({ name, run }) => {
  const good = run();
  console.log(`${good ? 'ok  ' : 'FAIL'} ${name}`);
  return !good;
});
process.exitCode = failed.length === 0 ? 0 : 1;
