import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { flag } from './pieces.ts';

/** Builds the app into a folder of its own for as long as `work` goes on; `--dist=FOLDER` takes one that is built already. */
export async function withBuiltApp(work: (dist: string) => Promise<void>): Promise<void> {
  const given = flag('dist');
  if (given !== undefined) return work(given);
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const dist = mkdtempSync(join(tmpdir(), 'meniscall-bench-dist-'));
  try {
    execFileSync(
      process.execPath,
      [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--outDir', dist, '--emptyOutDir'],
      { cwd: root, env: { ...process.env, NODE_ENV: 'production' }, stdio: 'ignore' },
    );
    await work(dist);
  } finally {
    rmSync(dist, { recursive: true, force: true });
  }
}
