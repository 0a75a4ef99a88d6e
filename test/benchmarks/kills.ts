import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { serve } from '../../src/commands/serve.ts';
import { killKinds, killWrites } from '../browser/kill-writes.ts';

/** `npm run bench -- kills --kills=200 --seed=1`: that many kills in each of a spoken run, import,
 * deletion and second copy; `--only=voice` for one of them. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const number = (name: string, otherwise: number): number =>
    Number(process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3) ?? otherwise);
  const kills = process.argv.includes('--quick') ? 4 : number('kills', 100);
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const dist = mkdtempSync(join(tmpdir(), 'meniscall-kills-dist-'));
  execFileSync(
    process.execPath,
    [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--outDir', dist, '--emptyOutDir'],
    { cwd: root, env: { ...process.env, NODE_ENV: 'production' } },
  );
  const served = await serve(dist, 0);
  try {
    const only = process.argv.find((argument) => argument.startsWith('--only='))?.slice(7);
    for (const kind of killKinds.filter((kind) => only === undefined || kind === only)) {
      const tally = await killWrites(served.address, kind, kills, number('seed', 20));
      console.log(
        `  ${kind}: ${tally.kills} kills, ${tally.inTheMiddle} of them before the act was done, ${tally.acknowledged} spoken readings acknowledged, ${tally.wrong.length} wrong`,
      );
      for (const wrong of tally.wrong.slice(0, 5)) console.log(`  WRONG ${wrong}`);
    }
  } finally {
    await served.close();
    rmSync(dist, { recursive: true, force: true });
  }
}
