import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import type { Plugin } from 'vite';
import solid from 'vite-plugin-solid';
import { defineConfig } from 'vitest/config';

/**
 * Nothing inline, nothing remote, nothing evaluated. A meta element, so that it holds on any static host; only in
 * builds, since the development server injects styles.
 */
const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "media-src 'self' blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

function contentSecurityPolicy(): Plugin {
  return {
    name: 'content-security-policy',
    apply: 'build',
    transformIndexHtml: () => [
      { tag: 'meta', attrs: { 'http-equiv': 'Content-Security-Policy', content: policy }, injectTo: 'head-prepend' },
    ],
  };
}

/** The notices that the packages inside ask for; Help links to it. Written after all plugins have run. */
const licences = 'licences.txt';

/** Tells the service worker its version and which files make it, once the bundle is known. */
function serviceWorkerFiles(): Plugin {
  return {
    name: 'service-worker-files',
    apply: 'build',
    enforce: 'post',
    generateBundle(_, bundle) {
      const worker = bundle['service-worker.js'];
      if (worker?.type !== 'chunk') throw new Error('the build made no service-worker.js');
      const hash = createHash('sha256');
      const files = ['./', licences];
      for (const [name, item] of Object.entries(bundle)) {
        if (name === 'service-worker.js') continue;
        hash.update(name).update(item.type === 'chunk' ? item.code : item.source);
        if (name !== 'index.html') files.push(name);
      }
      for (const entry of readdirSync('public', { recursive: true, withFileTypes: true })) {
        if (!entry.isFile()) continue;
        const path = join(entry.parentPath, entry.name);
        hash.update(readFileSync(path));
        files.push(relative('public', path).split(sep).join('/'));
      }
      worker.code = worker.code
        .replaceAll('__VERSION__', JSON.stringify(hash.digest('hex').slice(0, 16)))
        .replaceAll('__FILES__', JSON.stringify(files));
    },
  };
}

export default defineConfig({
  // Relative addresses: the built app works from any static host and from a sub-path.
  base: './',
  plugins: [solid(), contentSecurityPolicy(), serviceWorkerFiles()],
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
        test: {
          name: 'unit',
          environment: 'node',
          include: ['test/**/*.test.ts'],
          exclude: ['test/browser/**'],
          sequence: { groupOrder: 0 },
        },
      },
      {
        extends: true,
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
