import { fileURLToPath } from 'node:url';
import { faultHost, faultRun } from '../browser/fault-injector.ts';
import { withBuiltApp } from './built.ts';
import { inPieces, numberFlag } from './pieces.ts';

/**
 * `npm run bench -- faults --runs=500 --seed=1`: spoken runs in the real browser with one to three faults each.
 * `--abreast=4`: so many at the same time, each in a browser and on a host of its own. In pieces: see `pieces.ts`.
 */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const runs = process.argv.includes('--quick') ? 5 : numberFlag('runs', 50);
  const abreast = numberFlag('abreast', 1);
  await withBuiltApp((dist) =>
    inPieces('faults', Math.ceil(runs / abreast), async (seed) => {
      const counts: Record<string, number> = { 'spoken runs': 0, 'readings acknowledged': 0, 'runs wrong': 0 };
      const wrong: string[] = [];
      const one = async (own: number): Promise<void> => {
        const host = await faultHost(dist);
        const run = await faultRun(host, own).finally(() => host.close());
        const add = (name: string, count: number): void => {
          counts[name] = (counts[name] ?? 0) + count;
        };
        add('spoken runs', 1);
        add('readings acknowledged', run.acknowledged);
        for (const fault of run.faults) add(fault, 1);
        if (run.wrong.length === 0) return;
        add('runs wrong', 1);
        wrong.push(`run ${own} (${run.faults.join(', ')}): ${run.wrong.join('; ')}`);
      };
      const own = Array.from({ length: abreast }, (_, i) => (seed - 1) * abreast + i + 1);
      await Promise.all(own.map(one));
      return { counts, wrong };
    }),
  );
}
