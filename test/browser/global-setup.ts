import { execFile } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { TestProject } from 'vitest/node';
import { serve } from '../../src/commands/serve.ts';

declare module 'vitest' {
  export interface ProvidedContext {
    /** Folder of the built app. */
    dist: string;
    /** Address at which it is served on the loopback, with a slash at its end. */
    address: string;
  }
}

/**
 * Builds the app once for all browser tests and serves it. Tests get at it by `inject('address')`. The build runs in
 * a process of its own, as `npm start` does it: inside the test runner it would be a development build.
 */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const dist = await mkdtemp(join(tmpdir(), 'meniscall-dist-'));
  const root = fileURLToPath(new URL('../..', import.meta.url));
  await promisify(execFile)(
    process.execPath,
    [join(root, 'node_modules', 'vite', 'bin', 'vite.js'), 'build', '--outDir', dist, '--emptyOutDir'],
    { cwd: root, env: { ...process.env, NODE_ENV: 'production' } },
  );
  const served = await serve(dist, 0);
  project.provide('dist', dist);
  project.provide('address', served.address);
  return async () => {
    await served.close();
    await rm(dist, { recursive: true, force: true });
  };
}
