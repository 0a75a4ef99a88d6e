import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import type { Plugin } from 'vite';
import solid from 'vite-plugin-solid';
import { defineConfig } from 'vitest/config';
import { headersFile, pagePolicy } from './src/commands/headers.ts';
import { checkedAccessByName } from './test/checked-access.ts';

/** The policy in the page, so that it holds on any host, and the headers for hosts that read them from a file. */
function contentSecurityPolicy(): Plugin {
  return {
    name: 'content-security-policy',
    apply: 'build',
    transformIndexHtml: () => [
      {
        tag: 'meta',
        attrs: { 'http-equiv': 'Content-Security-Policy', content: pagePolicy },
        injectTo: 'head-prepend',
      },
    ],
    generateBundle() {
      this.emitFile({ type: 'asset', fileName: headersName, source: headersFile() });
    },
  };
}

/** The notices that the packages inside ask for; Help links to it. Written after all plugins have run. */
const licences = 'licences.txt';

/** Read by some hosts and hidden by them: not a file that can be fetched. */
const headersName = '_headers';

/**
 * Tells the service worker its version and which files make it, each with its SHA-256, from what was written: the worker
 * serves nothing else.
 */
function serviceWorkerFiles(): Plugin {
  return {
    name: 'service-worker-files',
    apply: 'build',
    enforce: 'post',
    writeBundle: {
      order: 'post',
      sequential: true,
      handler({ dir = 'dist' }) {
        const worker = join(dir, 'service-worker.js');
        const files = readdirSync(dir, { recursive: true, withFileTypes: true })
          .filter((entry) => entry.isFile())
          .map((entry) => relative(dir, join(entry.parentPath, entry.name)).split(sep).join('/'))
          .filter((name) => name !== 'service-worker.js' && name !== headersName)
          .sort();
        const sums = files.map((name) => [
          name === 'index.html' ? './' : name,
          createHash('sha256')
            .update(readFileSync(join(dir, name)))
            .digest('hex'),
        ]);
        const version = createHash('sha256').update(JSON.stringify(sums)).digest('hex').slice(0, 16);
        writeFileSync(
          worker,
          readFileSync(worker, 'utf8')
            .replaceAll('__VERSION__', JSON.stringify(version))
            .replaceAll('__FILES__', JSON.stringify(sums)),
        );
      },
    },
  };
}

const germanModules = 'virtual:german';
/** Ends the address of a module's German half. */
const germanHalf = '.german.ts';

/** Every source file of the page that holds texts of several languages; what the commands say runs in Node alone. */
const catalogues = (): string[] =>
  readdirSync('src', { recursive: true, encoding: 'utf8' })
    .filter((path) => /\.tsx?$/.test(path) && !path.startsWith(`commands${sep}`))
    .map((path) => join(import.meta.dirname, 'src', path))
    .filter((path) => /= catalogue[<(]/.test(readFileSync(path, 'utf8')));

/**
 * Takes the German texts out of the first load. `catalogue(en, de)` becomes `catalogue(en, undefined, place)` in its module
 * and `catalogue(undefined, de, place)` in the module's German half; one module imports all halves (`screens/german.ts`).
 */
function germanLater(): Plugin {
  let building = false;
  return {
    name: 'german-later',
    enforce: 'post',
    configResolved(config) {
      building = config.command === 'build' && config.mode !== 'test';
    },
    resolveId: (id) => (id === germanModules || id.endsWith(germanHalf) ? id : null),
    load(id) {
      if (id === germanModules)
        return building
          ? catalogues()
              .map((path) => `import ${JSON.stringify(`${path}${germanHalf}`)};`)
              .join('\n')
          : '';
      return id.endsWith(germanHalf)
        ? { code: readFileSync(id.slice(0, -germanHalf.length), 'utf8'), moduleSideEffects: true }
        : null;
    },
    transform(code, id) {
      if (!building || !/= catalogue\(/.test(code)) return null;
      const german = id.endsWith(germanHalf);
      const place = relative(import.meta.dirname, german ? id.slice(0, -germanHalf.length) : id);
      let made = code;
      let count = 0;
      for (const [from, to, args] of catalogueCalls(this.parse(code)).reverse()) {
        const [en, de] = args;
        const half = german ? `undefined, ${code.slice(...de)}` : `${code.slice(...en)}, undefined`;
        made = `${made.slice(0, from)}catalogue(${half}, ${JSON.stringify(`${place} ${count++}`)})${made.slice(to)}`;
      }
      return { code: made, map: null };
    },
  };
}

type Span = readonly [number, number];
type Call = readonly [number, number, readonly [Span, Span]];

const spanOf = (node: object): Span | null =>
  'start' in node && typeof node.start === 'number' && 'end' in node && typeof node.end === 'number'
    ? [node.start, node.end]
    : null;

/** The call and its two arguments where a node of the syntax tree is `catalogue(en, de)`; else null. */
function catalogueCall(node: object): Call | null {
  if (!('type' in node && node.type === 'CallExpression' && 'callee' in node && 'arguments' in node)) return null;
  const { callee, arguments: given } = node;
  const named = typeof callee === 'object' && callee !== null && 'name' in callee && callee.name === 'catalogue';
  if (!named || !Array.isArray(given) || given.length !== 2) return null;
  const [call, en, de] = [node, given[0], given[1]].map(spanOf);
  return call && en && de ? [...call, [en, de]] : null;
}

/** All such calls of a module, in order. */
function catalogueCalls(tree: unknown): Call[] {
  if (typeof tree !== 'object' || tree === null) return [];
  const call = Array.isArray(tree) ? null : catalogueCall(tree);
  return call ? [call] : Object.values(tree).flatMap(catalogueCalls);
}

export default defineConfig({
  // Relative addresses: the built app works from any static host and from a sub-path.
  base: './',
  plugins: [solid(), germanLater(), contentSecurityPolicy(), serviceWorkerFiles()],
  build: {
    target: 'es2022',
    // The policy forbids data: addresses for scripts and styles; small assets stay files.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    license: { fileName: licences },
    rolldownOptions: {
      input: { index: 'index.html', 'service-worker': 'src/service-worker.ts' },
      output: {
        entryFileNames: ({ name }) => (name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  worker: { format: 'es' },
  test: {
    environment: 'node',
    projects: [
      {
        extends: true,
        plugins: [checkedAccessByName()],
        test: {
          name: 'unit',
          environment: 'node',
          include: ['test/**/*.test.ts'],
          exclude: ['test/browser/**'],
          // No test fails because the machine is busy.
          testTimeout: 60_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        extends: true,
        plugins: [checkedAccessByName()],
        test: {
          name: 'browser',
          environment: 'node',
          include: ['test/browser/**/*.test.ts'],
          globalSetup: ['test/browser/global-setup.ts'],
          // One at a time and after the rest: their sound plays in real time and must not starve.
          fileParallelism: false,
          testTimeout: 120_000,
          hookTimeout: 120_000,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
