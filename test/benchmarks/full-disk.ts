import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { serve } from '../../src/commands/serve.ts';
import { fullDisk } from '../browser/full-disk.ts';

/**
 * `npm run bench -- full-disk`: the browser's data on a disk of 64 MB that is filled in the middle of a run. By hand, as
 * it mounts that disk (tmpfs, Linux, needs root); `--folder=FOLDER` names one that is mounted already.
 */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const given = process.argv.find((argument) => argument.startsWith('--folder='))?.slice(9);
  const disk = given ?? mkdtempSync(join(tmpdir(), 'meniscall-disk-'));
  const mounts = given === undefined && process.platform === 'linux' && process.getuid?.() === 0;
  if (given === undefined && !mounts)
    console.log('  left out: it needs root on Linux, or --folder=FOLDER of a small disk');
  else {
    const root = fileURLToPath(new URL('../..', import.meta.url));
    const dist = mkdtempSync(join(tmpdir(), 'meniscall-full-dist-'));
    execFileSync(
      process.execPath,
      [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--outDir', dist, '--emptyOutDir'],
      { cwd: root, env: { ...process.env, NODE_ENV: 'production' }, stdio: 'ignore' },
    );
    if (mounts) execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=64m', 'tmpfs', disk]);
    const served = await serve(dist, 0);
    try {
      const { acknowledged, onlyInPage, said, wrong } = await fullDisk(served.address, disk);
      console.log(
        `  a disk of 64 MB filled in a run: ${acknowledged.length} marks taken, ${onlyInPage.length} said to be in the page only, ${wrong.length} wrong`,
      );
      console.log(`  the page says: ${said.slice(0, 300)}`);
      for (const one of wrong) console.log(`  WRONG ${one}`);
    } finally {
      await served.close();
      if (mounts) execFileSync('umount', [disk]);
      rmSync(dist, { recursive: true, force: true });
    }
  }
  if (given === undefined) rmSync(disk, { recursive: true, force: true });
}
