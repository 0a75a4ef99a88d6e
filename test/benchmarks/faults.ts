import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { faultHost, faultRun } from '../browser/fault-injector.ts';

/** `npm run bench -- faults --runs=500 --seed=1`: spoken runs in the real browser with one to three faults each. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const number = (name: string, otherwise: number): number =>
    Number(process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3) ?? otherwise);
  const runs = process.argv.includes('--quick') ? 5 : number('runs', 50);
  const first = number('seed', 1);
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const dist = mkdtempSync(join(tmpdir(), 'meniscall-faults-dist-'));
  execFileSync(
    process.execPath,
    [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--outDir', dist, '--emptyOutDir'],
    { cwd: root, env: { ...process.env, NODE_ENV: 'production' } },
  );
  const host = await faultHost(dist);
  const counts = new Map<string, number>();
  let acknowledged = 0;
  let bad = 0;
  try {
    for (let seed = first; seed < first + runs; seed++) {
      const run = await faultRun(host, seed);
      acknowledged += run.acknowledged;
      for (const fault of run.faults) counts.set(fault, (counts.get(fault) ?? 0) + 1);
      if ((seed - first + 1) % 10 === 0) console.error(`  ${seed - first + 1} of ${runs}`);
      if (run.wrong.length === 0) continue;
      bad++;
      console.log(`  WRONG seed ${seed} (${run.faults.join(', ')}): ${run.wrong.join('; ')}`);
    }
  } finally {
    await host.close();
    rmSync(dist, { recursive: true, force: true });
  }
  console.log(
    `  ${runs} spoken runs, seeds ${first} to ${first + runs - 1}: ${acknowledged} acknowledged readings, ${bad} runs wrong`,
  );
  console.log(`  faults: ${[...counts].map(([name, count]) => `${name} ${count}`).join(', ')}`);
}
